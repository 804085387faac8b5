"""Nesting on the web against packings whose shortest length is known."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations, cycle, islice

from shopsim.craft.layout import PieceSize, Placement, nest_shelves, nest_skyline
from shopsim.published.case import Case, Finding

FAST_BAND = 0.20
"""How far a fast heuristic may end above the shortest length, as a share."""
_SLACK_M = 1e-9


def faults(placements: Sequence[Placement], sizes: Sequence[PieceSize], width: float, length: float) -> int:
    """Pieces missing, twice or of another size, pieces outside the strip, and pairs of pieces one over the other."""
    found = abs(len(placements) - len(sizes)) + len(set(range(len(sizes))) ^ {placed.piece for placed in placements})
    for placed in placements:
        laid = (placed.along_m, placed.across_m) if placed.turned else (placed.across_m, placed.along_m)
        found += laid != sizes[placed.piece]
        found += placed.x_m < -_SLACK_M or placed.x_m + placed.across_m > width + _SLACK_M
        found += placed.y_m < -_SLACK_M or placed.y_m + placed.along_m > length + _SLACK_M
    for one, other in combinations(placements, 2):
        beside = max(one.x_m - other.x_m - other.across_m, other.x_m - one.x_m - one.across_m)
        behind = max(one.y_m - other.y_m - other.along_m, other.y_m - one.y_m - one.along_m)
        found += max(beside, behind) < -_SLACK_M
    return found


def _nested(
    name: str, sizes: Sequence[PieceSize], width: float, shortest: float, effort: int, band: float
) -> Iterator[Finding]:
    layout = nest_skyline(sizes, width, 0.0, may_turn=False, effort=effort)
    wrong = faults(layout.placements, sizes, width, layout.length_m)
    yield Finding(f"{name}: length, m", shortest, layout.length_m, max(_SLACK_M, band * shortest))
    yield Finding(f"{name}: pieces missing, outside or over others", 0, wrong)


# Sides of different squares that fill a rectangle.
MORON = [18, 15, 14, 10, 9, 8, 7, 4, 1]
DUIJVESTIJN = [50, 42, 37, 35, 33, 29, 27, 25, 24, 19, 18, 17, 16, 15, 11, 9, 8, 7, 6, 4, 2]


def _squares(full: bool) -> Iterator[Finding]:
    for name, sides, width, shortest, hard in (
        ("nine squares, web 32", MORON, 32, 33, False),
        ("nine squares, web 33", MORON, 33, 32, False),
        ("twenty-one squares, web 112", DUIJVESTIJN, 112, 112, True),
    ):
        sizes = [PieceSize(float(side), float(side)) for side in sides]
        yield Finding(f"{name}: area over width, m", shortest, sum(side * side for side in sides) / width, 1e-9)
        effort, band = (40, 0.0) if full else (1, FAST_BAND if hard else 0.0)
        yield from _nested(name, sizes, width, shortest, effort, band)


def cut_up(across_cm: int, along_cm: int, pieces: int) -> list[PieceSize]:
    """Pieces of a sheet cut up by straight cuts through: the largest piece each time, across its longer side, at 2/5,
    1/3, 3/7 and 1/2 in turn, in whole centimetres. They can be put together again, so the sheet is the shortest."""
    sheets = [(across_cm, along_cm)]
    for part, of in islice(cycle(((2, 5), (1, 3), (3, 7), (1, 2))), pieces - 1):
        sheets.sort(key=lambda sheet: (sheet[0] * sheet[1], sheet))
        across, along = sheets.pop()
        if across > along:
            cut = across * part // of
            sheets += [(cut, along), (across - cut, along)]
        else:
            cut = along * part // of
            sheets += [(across, cut), (across, along - cut)]
    return [PieceSize(across / 100, along / 100) for across, along in sheets]


def _cut_sheets(full: bool) -> Iterator[Finding]:
    for pieces in (9, 16, 25):
        sizes = cut_up(310, 600, pieces)
        yield from _nested(f"{pieces} pieces of 3.1 x 6 m", sizes, 3.1, 6.0, *((20, 0.05) if full else (1, FAST_BAND)))


def _by_hand(_full: bool) -> Iterator[Finding]:
    ten = [PieceSize(1.0, 2.0)] * 10
    yield Finding("ten of 1 x 2 m on 3.2 m: length, m", 8, nest_shelves(ten, 3.2, 0.0, may_turn=False).length_m, 1e-9)
    # Two gaps across leave room for three; three gaps along.
    gapped = nest_shelves(ten, 3.2, 0.05, may_turn=False).length_m
    yield Finding("the same 5 cm apart: length, m", 8.15, gapped, 1e-9)
    wide = [PieceSize(2.0, 1.0)] * 9
    yield Finding("nine of 2 x 1 m on 3.2 m: length, m", 9, nest_shelves(wide, 3.2, 0.0, may_turn=False).length_m, 1e-9)
    turned = nest_shelves(wide, 3.2, 0.0, may_turn=True).length_m
    yield Finding("the same, if they may turn: length, m", 6, turned, 1e-9)
    mixed = [PieceSize(2.0, 3.0), PieceSize(1.2, 2.5), PieceSize(1.6, 1.0), PieceSize(1.6, 1.0)]
    yield Finding("four mixed pieces on 3.2 m: length, m", 4, nest_shelves(mixed, 3.2, 0.0, may_turn=False).length_m,
                  1e-9)  # fmt: skip


CASES = (
    Case(
        "X-39", "Squares of different sizes that fill a rectangle",
        "Z. Moron, 1925: 32 x 33; A. J. W. Duijvestijn, 1978: the simple perfect square of least order, side 112 (both "
        "from memory; the areas agree)",
        "none for nine squares and for the long search; 20 % for twenty-one in the short one, a fast heuristic",
        _squares, seconds=0.4,
    ),
    Case(
        "X-40", "Sheets cut up by straight cuts and nested again",
        "derived: perfect packings made here; making problems so: P. Y. Wang, C. L. Valenzuela, European Journal of "
        "Operational Research 134 (2001) 378-391 (from memory)",
        "20 % above the shortest for a fast heuristic, 5 % for the long search", _cut_sheets, seconds=0.5,
    ),
    Case(
        "X-41", "Banners on shelves, worked out by hand",
        "derived; longest first on the first shelf with room: E. G. Coffman, M. R. Garey, D. S. Johnson, R. E. Tarjan, "
        "SIAM Journal on Computing 9 (1980) 808-826",
        "1e-9 for rounding", _by_hand,
    ),
)  # fmt: skip
