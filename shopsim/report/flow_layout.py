"""Places in rows, so that ways lead down wherever they can: a layered drawing after Sugiyama, Tagawa and Toda (1981).

Rows by the longest way from the start, ways that would lead up kept apart, places of a row in an order with few
crossings (barycentres, swept down and up). Everything in pixels, and the same for the same flow.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from shopsim.report.flow import Flow, Way

_SWEEPS = 8
WIDTH_PX = 680.0
# A bend lets a long way pass between boxes.
BEND_PX, GAP_PX, MOST_BOX_PX, LEAST_BOX_PX = 16.0, 12.0, 168.0, 96.0
LOOP_PX, LEFT_PX = 62.0, 8.0
"""Room at the right edge for the ways back, and at the left one."""


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a box or a bend stands: its row, its middle, its width."""

    row: int
    middle_px: float
    width_px: float


@dataclass(frozen=True, slots=True)
class Layout:
    """`spots` by place; `down` are ways with the bends they pass through; `up` lead back to an earlier row."""

    spots: Mapping[str, Spot]
    down: tuple[tuple[Way, tuple[Spot, ...]], ...]
    up: tuple[Way, ...]
    rows: int
    width_px: float


def laid_out(flow: Flow) -> Layout:
    """Where everything goes."""
    forward = [way for way in flow.ways if not way.loop]
    turned = _that_close_a_circle(flow, forward)
    down = [way for way in forward if way not in turned]
    row = _rows(list(flow.places), down)
    chains = {way: [way.start, *_bends(way, row), way.end] for way in down}
    in_rows: list[list[str]] = [[] for _ in range(max(row.values()) + 1)]
    for place in flow.places:
        in_rows[row[place]].append(place)
    for way, chain in chains.items():
        for number, bend in enumerate(chain[1:-1], start=row[way.start] + 1):
            in_rows[number].append(bend)
    links = [pair for chain in chains.values() for pair in pairwise(chain)]
    spots, width_px = _placed(_with_few_crossings(in_rows, links), set(flow.places))
    bends = tuple((way, tuple(spots[each] for each in chain[1:-1])) for way, chain in chains.items())
    up = (*turned, *(way for way in flow.ways if way.loop))
    return Layout({place: spots[place] for place in flow.places}, bends, up, len(in_rows), width_px)


def _bends(way: Way, row: Mapping[str, int]) -> list[str]:
    return [f"{way.start} {way.end} {number}" for number in range(row[way.start] + 1, row[way.end])]


def _that_close_a_circle(flow: Flow, ways: Sequence[Way]) -> list[Way]:
    """Those found leading back to a place still being followed, deepest first from the start of the flow."""
    after: dict[str, list[Way]] = defaultdict(list)
    for way in ways:
        after[way.start].append(way)
    state: dict[str, str] = {}
    found: list[Way] = []

    def follow(place: str) -> None:
        state[place] = "followed"
        for way in after[place]:
            if state.get(way.end) == "followed":
                found.append(way)
            elif way.end not in state:
                follow(way.end)
        state[place] = "done"

    for place in flow.places:
        if place not in state:
            follow(place)
    return found


def _rows(places: Sequence[str], down: Sequence[Way]) -> dict[str, int]:
    """The longest way from the start to each place."""
    row = dict.fromkeys(places, 0)
    for _ in places:
        for way in down:
            row[way.end] = max(row[way.end], row[way.start] + 1)
    return row


def _with_few_crossings(rows: list[list[str]], links: Sequence[tuple[str, str]]) -> list[list[str]]:
    """Each row sorted by the mean position of its neighbours in the row before, then after, again and again."""
    above: dict[str, list[str]] = defaultdict(list)
    below: dict[str, list[str]] = defaultdict(list)
    for start, end in links:
        below[start].append(end)
        above[end].append(start)
    best, least = [list(row) for row in rows], _crossings(rows, below)
    for sweep in range(_SWEEPS):
        order = range(1, len(rows)) if sweep % 2 == 0 else range(len(rows) - 2, -1, -1)
        for number in order:
            beside = rows[number - 1] if sweep % 2 == 0 else rows[number + 1]
            at = {name: position for position, name in enumerate(beside)}
            neighbours = above if sweep % 2 == 0 else below
            mean = {name: _mean([at[other] for other in neighbours[name] if other in at]) for name in rows[number]}
            here = {name: position for position, name in enumerate(rows[number])}
            rows[number].sort(key=lambda name: (mean[name] if mean[name] is not None else here[name], here[name]))
        found = _crossings(rows, below)
        if found < least:
            best, least = [list(row) for row in rows], found
    return best


def _mean(values: Sequence[int]) -> float | None:
    return sum(values) / len(values) if values else None


def _crossings(rows: Sequence[Sequence[str]], below: Mapping[str, Sequence[str]]) -> int:
    count = 0
    for row, following in pairwise(rows):
        at = {name: position for position, name in enumerate(following)}
        ends = [(i, at[end]) for i, name in enumerate(row) for end in below.get(name, ()) if end in at]
        count += sum(a < c and b > d for k, (a, b) in enumerate(ends) for c, d in ends[k + 1 :])
        count += sum(a > c and b < d for k, (a, b) in enumerate(ends) for c, d in ends[k + 1 :])
    return count


def _placed(rows: Sequence[Sequence[str]], places: set[str]) -> tuple[dict[str, Spot], float]:
    """Middles and widths, each row centred in the room left of the loops, and the width of all; wider than a page only
    where a row has very many boxes."""
    least = max(sum(LEAST_BOX_PX if name in places else BEND_PX for name in row) + GAP_PX * (len(row) - 1)
                for row in rows)  # fmt: skip
    room = max(WIDTH_PX - LOOP_PX - LEFT_PX, least)
    spots = {}
    for number, row in enumerate(rows):
        boxes = sum(name in places for name in row)
        free = room - GAP_PX * (len(row) - 1) - BEND_PX * (len(row) - boxes)
        box = max(LEAST_BOX_PX, min(MOST_BOX_PX, free / max(1, boxes)))
        widths = [box if name in places else BEND_PX for name in row]
        left = LEFT_PX + max(0.0, (room - sum(widths) - GAP_PX * (len(row) - 1)) / 2)
        for name, width in zip(row, widths, strict=True):
            spots[name] = Spot(number, left + width / 2, width)
            left += width + GAP_PX
    return spots, LEFT_PX + room + LOOP_PX
