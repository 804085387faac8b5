"""Fast nesting: first-fit decreasing-height shelves, sizes taken in groups.

Method: E. G. Coffman, M. R. Garey, D. S. Johnson, R. E. Tarjan, "Performance bounds for level-oriented
two-dimensional packing algorithms", SIAM J. Comput. 9 (1980) 808-826.
"""

from collections.abc import Sequence

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


class _Row:
    """A shelf being filled: its extent along the web, the width still free, and runs of pieces of one group."""

    __slots__ = ("along_m", "free_m", "runs")

    def __init__(self, along_m: float, free_m: float) -> None:
        self.along_m = along_m
        self.free_m = free_m
        self.runs: list[tuple[SizeGroup, list[int]]] = []


def nest_shelves(sizes: Sequence[PieceSize], web_width_m: float, gap_m: float, may_turn: bool) -> Layout:
    """Nest pieces side by side on shelves, the longest pieces first, each on the first shelf with room.

    `web_width_m` is the usable width; `gap_m` is kept between pieces both ways, not at the edges. If turning is
    allowed, three ways of laying are tried (as given; fewest metres per piece with the web full across; fewest metres
    for the pieces there are) and the shortest layout is kept, the first of equals.

    Raises ValueError for an impossible number, for no pieces, and for a piece that fits the web no way.
    """
    groups = group_sizes(sizes, web_width_m, gap_m, may_turn)
    ways = _ways_of_laying(groups, web_width_m, gap_m) if may_turn else [groups]
    tried = [_fill_rows(way, web_width_m + gap_m, gap_m) for way in ways]
    rows = min(tried, key=lambda rows: sum(row.along_m + gap_m for row in rows)) if may_turn else tried[0]
    return _lay_out(rows, area_m2(groups), web_width_m, gap_m)


def _ways_of_laying(groups: list[SizeGroup], web_width_m: float, gap_m: float) -> list[list[SizeGroup]]:
    """List the distinct choices of direction per size worth trying."""
    as_given: list[SizeGroup] = []
    full_web: list[SizeGroup] = []
    these_pieces: list[SizeGroup] = []
    for group in groups:
        turned = group.quarter_turn()
        if not fits_across(group, web_width_m):
            group = turned
        as_given.append(group)
        if group is turned or not fits_across(turned, web_width_m):
            full_web.append(group)
            these_pieces.append(group)
            continue
        count = len(group.pieces)
        across, turned_across = (int((web_width_m + gap_m + SLACK_M) / (g.across_m + gap_m)) for g in (group, turned))
        shelf_m, turned_shelf_m = group.along_m + gap_m, turned.along_m + gap_m
        full_web.append(turned if turned_shelf_m / turned_across < shelf_m / across else group)
        saves_here = turned_shelf_m * -(-count // turned_across) < shelf_m * -(-count // across)
        these_pieces.append(turned if saves_here else group)
    ways = [as_given]
    for way in (full_web, these_pieces):
        if way not in ways:
            ways.append(way)
    return ways


def _fill_rows(groups: list[SizeGroup], pitch_width_m: float, gap_m: float) -> list[_Row]:
    """Fill shelves group by group; widths count one gap more than the web, one gap per piece."""
    rows: list[_Row] = []
    for group in sorted(groups, key=lambda group: (-group.along_m, -group.across_m, group.pieces[0])):
        pitch_m = group.across_m + gap_m
        left = group.pieces
        for row in rows:
            if row.free_m + SLACK_M >= pitch_m:
                left = _fill(row, group, left, pitch_m)
                if not left:
                    break
        while left:
            row = _Row(group.along_m, pitch_width_m)
            rows.append(row)
            left = _fill(row, group, left, pitch_m)
    return rows


def _fill(row: _Row, group: SizeGroup, left: list[int], pitch_m: float) -> list[int]:
    """Lay as many of the pieces left side by side as find room; return those that do not."""
    run = left[: int((row.free_m + SLACK_M) / pitch_m)]
    row.free_m -= len(run) * pitch_m
    row.runs.append((group, run))
    return left[len(run) :]


def _lay_out(rows: list[_Row], used_area_m2: float, web_width_m: float, gap_m: float) -> Layout:
    placements: list[Placement] = []
    shelves: list[Shelf] = []
    y_m = image_width_m = 0.0
    last_row = rows[-1]
    for row in rows:
        x_m = 0.0
        laid: list[int] = []
        for (across_m, along_m, turned, _), run in row.runs:
            laid += run
            for piece in run:
                placements.append(Placement(piece, x_m, y_m, across_m, along_m, turned))
                x_m += across_m + gap_m
        if x_m > image_width_m:
            image_width_m = x_m
        length_m = row.along_m + gap_m if row is not last_row else row.along_m
        shelves.append(Shelf(y_m, length_m, tuple(laid)))
        y_m += length_m
    return Layout(tuple(placements), tuple(shelves), web_width_m, y_m, image_width_m - gap_m, used_area_m2)
