"""Tight nesting: best fit on the skyline, over several orders of the sizes and swaps of the best of them.

Methods: E. K. Burke, G. Kendall, G. Whitwell, "A new placement heuristic for the orthogonal stock-cutting problem",
Operations Research 52 (2004) 655-671 (lowest place first, best fitting piece); S. C. H. Leung, D. Zhang, K. M. Sim,
"A two-stage intelligent search algorithm for the two-dimensional strip packing problem", European Journal of
Operational Research 215 (2011) 57-69 (scores of fit, order of the pieces searched by swaps).
"""

from collections.abc import Iterator, Sequence
from itertools import count, islice
from math import inf
from operator import attrgetter
from typing import NamedTuple

from shopsim.craft._limits import count as whole_number
from shopsim.craft.layout_pieces import (
    SLACK_M,
    Layout,
    PieceSize,
    Placement,
    Shelf,
    SizeGroup,
    area_m2,
    fits_across,
    group_sizes,
)
from shopsim.craft.layout_shelves import nest_shelves

# Piece layings one unit of effort pays for: some 0.1 to 0.3 s in plain Python, whatever the number of pieces.
LAYINGS_PER_EFFORT = 40_000


class _Laying(NamedTuple):
    """One way of laying a size, and its pitches: the size with one gap added both ways."""

    number: int
    group: SizeGroup
    pitch_across_m: float
    pitch_along_m: float


class _Spot(NamedTuple):
    laying: _Laying
    x_m: float
    y_m: float


def nest_skyline(
    sizes: Sequence[PieceSize], web_width_m: float, gap_m: float, may_turn: bool, effort: int = 1
) -> Layout:
    """Nest pieces into the lowest place of the skyline, best fit first; never longer than `nest_shelves`.

    Numbers as in `nest_shelves`. `effort` bounds the search: `LAYINGS_PER_EFFORT` pieces each; 0 tries the sort orders
    only. The search ends early at the lower bound (area, longest piece). The same input gives the same layout. Shelves
    are the shortest bands that no piece crosses, often one for the whole layout.

    Raises ValueError for an impossible number, for no pieces, and for a piece that fits the web no way.
    """
    whole_number("effort", effort)
    shelves = nest_shelves(sizes, web_width_m, gap_m, may_turn)
    groups = group_sizes(sizes, web_width_m, gap_m, may_turn)
    bound_m = _lower_bound_m(groups, web_width_m, gap_m, may_turn)
    if shelves.length_m <= bound_m + SLACK_M:
        return shelves
    layings = _layings(groups, web_width_m, gap_m, may_turn)
    counts = [len(group.pieces) for group in groups]
    tries = LAYINGS_PER_EFFORT * effort // len(sizes)
    spots, top_m = _search(layings, counts, web_width_m + gap_m, bound_m + gap_m, tries)
    if top_m - gap_m >= shelves.length_m - SLACK_M:
        return shelves
    return _lay_out(spots, area_m2(groups), web_width_m, gap_m)


def _lower_bound_m(groups: list[SizeGroup], web_width_m: float, gap_m: float, may_turn: bool) -> float:
    """No layout is shorter: each piece carries one gap both ways, the web one gap more across and along."""
    pitch_area_m2 = sum((g.across_m + gap_m) * (g.along_m + gap_m) * len(g.pieces) for g in groups)
    longest_m = max(
        min(g.across_m, g.along_m) if may_turn and fits_across(g.quarter_turn(), web_width_m) else g.along_m
        for g in groups
    )
    return max(longest_m, pitch_area_m2 / (web_width_m + gap_m) - gap_m)


def _layings(groups: list[SizeGroup], web_width_m: float, gap_m: float, may_turn: bool) -> list[_Laying]:
    ways = [(number, group) for number, group in enumerate(groups)]
    if may_turn:
        ways += [(number, group.quarter_turn()) for number, group in ways if group.across_m != group.along_m]
    return [
        _Laying(number, group, group.across_m + gap_m, group.along_m + gap_m)
        for number, group in ways
        if fits_across(group, web_width_m)
    ]


def _search(
    layings: list[_Laying], counts: list[int], pitch_width_m: float, bound_m: float, tries: int
) -> tuple[list[_Spot], float]:
    """Pack by several sort orders, then swap two entries of the best order as long as nothing gets longer."""
    order: list[_Laying] = []
    best: list[_Spot] = []
    best_top_m = inf
    for candidate in _sort_orders(layings):
        packed = _pack(candidate, counts, pitch_width_m, best_top_m - SLACK_M)
        if packed is not None:
            order, (best, best_top_m) = candidate, packed
    for i, j in islice(_swaps(len(order)), tries):
        if best_top_m <= bound_m + SLACK_M:
            break
        candidate = order.copy()
        candidate[i], candidate[j] = order[j], order[i]
        packed = _pack(candidate, counts, pitch_width_m, best_top_m)
        if packed is not None:
            order, (best, best_top_m) = candidate, packed
    return best, best_top_m


def _sort_orders(layings: list[_Laying]) -> Iterator[list[_Laying]]:
    yield sorted(layings, key=lambda lay: -lay.pitch_across_m * lay.pitch_along_m)
    yield sorted(layings, key=lambda lay: (-lay.pitch_along_m, -lay.pitch_across_m))
    yield sorted(layings, key=lambda lay: (-lay.pitch_across_m, -lay.pitch_along_m))
    yield sorted(layings, key=lambda lay: -lay.pitch_across_m - lay.pitch_along_m)
    yield sorted(layings, key=lambda lay: -max(lay.pitch_across_m, lay.pitch_along_m))


def _swaps(entries: int) -> Iterator[tuple[int, int]]:
    """Pairs of positions without end, spread evenly over all pairs by the golden ratio."""
    pairs = [(i, j) for i in range(entries) for j in range(i + 1, entries)]
    for step in count(1) if pairs else ():
        yield pairs[int(len(pairs) * (step * 0.6180339887498949 % 1.0))]


def _pack(
    order: list[_Laying], counts: list[int], pitch_width_m: float, limit_m: float
) -> tuple[list[_Spot], float] | None:
    """Pack all pieces; of equal fits the first in `order` is taken. None if the layout would pass the limit."""
    skyline = _Skyline(pitch_width_m)
    left = counts.copy()
    spots: list[_Spot] = []
    highest_m = 0.0
    for _ in range(sum(counts)):
        laying = skyline.best_fit(order, left)
        while laying is None:
            skyline.fill_lowest()
            laying = skyline.best_fit(order, left)
        spot = skyline.lay(laying)
        highest_m = max(highest_m, spot.y_m + laying.pitch_along_m)
        if highest_m > limit_m:
            return None
        left[laying.number] -= 1
        spots.append(spot)
    return spots, highest_m


class _Skyline:
    """The upper edge of what is laid: steps from left to right, each with start, width and top."""

    __slots__ = ("low", "starts", "tops", "widths")

    def __init__(self, width_m: float) -> None:
        self.starts, self.widths, self.tops = [0.0], [width_m], [0.0]
        self.low = 0

    def _walls(self) -> tuple[float, float]:
        low, tops = self.low, self.tops
        return (tops[low - 1] if low else inf), (tops[low + 1] if low + 1 < len(tops) else inf)

    def best_fit(self, order: list[_Laying], left: list[int]) -> _Laying | None:
        """Choose for the lowest step: filling its width counts two, ending level with a neighbour one."""
        room_m = self.widths[self.low] + SLACK_M
        tight_m = room_m - 2.0 * SLACK_M
        base_m = self.tops[self.low]
        left_rise_m, right_rise_m = (wall - base_m for wall in self._walls())
        best, best_score = None, -1
        for laying in order:
            if not left[laying.number] or laying.pitch_across_m > room_m:
                continue
            rise_m = laying.pitch_along_m
            level = abs(rise_m - left_rise_m) <= SLACK_M or abs(rise_m - right_rise_m) <= SLACK_M
            score = 2 * (laying.pitch_across_m >= tight_m) + level
            if score > best_score:
                best, best_score = laying, score
                if score == 3:
                    break
        return best

    def lay(self, laying: _Laying) -> _Spot:
        """Lay a piece on the lowest step, against the neighbour it ends level with, else the higher one."""
        low = self.low
        x_m, base_m, room_m = self.starts[low], self.tops[low], self.widths[low]
        left_m, right_m = self._walls()
        across_m, top_m = laying.pitch_across_m, base_m + laying.pitch_along_m
        rest_m = room_m - across_m
        if rest_m <= SLACK_M:
            self.tops[low] = top_m
        else:
            at_left = abs(top_m - left_m) <= SLACK_M or (left_m >= right_m and abs(top_m - right_m) > SLACK_M)
            spot_x_m, rest_x_m = (x_m, x_m + across_m) if at_left else (x_m + rest_m, x_m)
            new = [(spot_x_m, across_m, top_m), (rest_x_m, rest_m, base_m)]
            if not at_left:
                new.reverse()
            self.starts[low : low + 1] = [step[0] for step in new]
            self.widths[low : low + 1] = [step[1] for step in new]
            self.tops[low : low + 1] = [step[2] for step in new]
            x_m = spot_x_m
            low += not at_left
        self._join(low)
        return _Spot(laying, x_m, base_m)

    def fill_lowest(self) -> None:
        """Give up the lowest step: raise it to its lower neighbour."""
        self.tops[self.low] = min(self._walls())
        self._join(self.low)

    def _join(self, step: int) -> None:
        """Join a changed step with neighbours level with it, then find the lowest step."""
        tops = self.tops
        for right in (step + 1, step):
            if 0 < right < len(tops) and abs(tops[right] - tops[right - 1]) <= SLACK_M:
                tops[right - 1] = max(tops[right - 1], tops[right])
                self.widths[right - 1] += self.widths[right]
                del tops[right], self.widths[right], self.starts[right]
        self.low = tops.index(min(tops))


def _lay_out(spots: list[_Spot], used_area_m2: float, web_width_m: float, gap_m: float) -> Layout:
    unused = {spot.laying.number: iter(spot.laying.group.pieces) for spot in spots}
    placements = []
    for laying, x_m, y_m in sorted(spots, key=attrgetter("y_m", "x_m")):
        group = laying.group
        piece = next(unused[laying.number])
        placements.append(Placement(piece, x_m, y_m, group.across_m, group.along_m, group.turned))
    length_m = max(placed.y_m + placed.along_m for placed in placements)
    image_width_m = max(placed.x_m + placed.across_m for placed in placements)
    shelves = tuple(_bands(placements, length_m, gap_m))
    return Layout(tuple(placements), shelves, web_width_m, length_m, image_width_m, used_area_m2)


def _bands(placements: list[Placement], length_m: float, gap_m: float) -> Iterator[Shelf]:
    """Cut the layout wherever no piece crosses and the gap is kept all across; placements come by rising y."""
    start_m = end_m = 0.0
    pieces: list[int] = []
    for placed in placements:
        if pieces and placed.y_m >= end_m + gap_m - SLACK_M:
            yield Shelf(start_m, placed.y_m - start_m, tuple(pieces))
            start_m, pieces = placed.y_m, []
        pieces.append(placed.piece)
        end_m = max(end_m, placed.y_m + placed.along_m)
    yield Shelf(start_m, length_m - start_m, tuple(pieces))
