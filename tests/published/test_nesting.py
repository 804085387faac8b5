"""Nesting on the web against strip packing of known optimum: checks D-01 to D-03, and problems made to measure.

D-01, D-02: E. Hopper, B. C. H. Turton, European Journal of Operational Research 128 (2001) 34-57; D-03: E. K. Burke,
G. Kendall, G. Whitwell, Operations Research 52 (2004) 655-671. Data confirmed from a public repository and not part of
the project; first-fit lengths recomputed. Shelves are first fit by decreasing length (E. G. Coffman et al., SIAM
Journal on Computing 9 (1980) 808-826). Tolerance: none below the optimum; above it 20 %, for a fast heuristic.
"""

from __future__ import annotations

import math
import random
from itertools import combinations

import pytest

from shopsim.craft.layout import PieceSize, Placement, nest_shelves, nest_skyline
from tests.published.data_folder import rows

# Name, web width, pieces, optimum, next-fit and first-fit length.
PROBLEMS = [("ht_c1p1", 20, 16, 20, 27, 25), ("ht_c2p1", 40, 25, 15, 19, 17), ("bkw_n1", 40, 10, 40, 48, 46)]
FAST_BAND = 1.20


def sizes_of(name: str) -> list[PieceSize]:
    return [PieceSize(across, along) for _, across, along in rows(f"{name}.csv")]


def assert_sound(placements: list[Placement], sizes: list[PieceSize], width: float, length: float) -> None:
    """Every piece once, in its size, inside the strip, none over another."""
    assert sorted(placed.piece for placed in placements) == list(range(len(sizes)))
    for placed in placements:
        laid = (placed.along_m, placed.across_m) if placed.turned else (placed.across_m, placed.along_m)
        assert laid == sizes[placed.piece]
        assert placed.x_m >= 0 and placed.x_m + placed.across_m <= width
        assert placed.y_m >= 0 and placed.y_m + placed.along_m <= length
    for one, other in combinations(placements, 2):
        beside = max(one.x_m - other.x_m - other.across_m, other.x_m - one.x_m - one.across_m)
        behind = max(one.y_m - other.y_m - other.along_m, other.y_m - one.y_m - one.along_m)
        assert max(beside, behind) >= 0


@pytest.mark.parametrize(("name", "width", "pieces", "optimum", "next_fit", "first_fit"), PROBLEMS)
def test_published_problem(name: str, width: float, pieces: int, optimum: int, next_fit: int, first_fit: int) -> None:
    sizes = sizes_of(name)
    assert len(sizes) == pieces
    assert math.ceil(sum(across * along for across, along in sizes) / width) == optimum
    shelves = nest_shelves(sizes, width, 0.0, may_turn=False)
    tight = nest_skyline(sizes, width, 0.0, may_turn=False)
    for layout in (shelves, tight):
        assert_sound(list(layout.placements), sizes, width, layout.length_m)
    assert shelves.length_m == first_fit <= next_fit
    assert shelves.length_m <= 1.7 * optimum + max(along for _, along in sizes)
    assert tight.length_m == optimum
    for may_turn in (False, True):
        fast = nest_skyline(sizes, width, 0.0, may_turn, effort=0)
        assert optimum <= fast.length_m <= FAST_BAND * optimum


@pytest.mark.parametrize(("name", "width", "optimum"), [(p[0], p[1], p[3]) for p in PROBLEMS])
def test_the_published_layout_is_sound_and_a_moved_piece_is_not(name: str, width: float, optimum: float) -> None:
    sizes = sizes_of(name)
    layout = [
        Placement(int(item), x, y, across, along, bool(turned))
        for item, x, y, across, along, turned in rows(f"{name}_optimal_layout.csv")
    ]
    assert_sound(layout, sizes, width, optimum)
    # Zero waste: there is no room to move to.
    moved = [layout[0]._replace(x_m=layout[0].x_m + (1 if layout[0].x_m == 0 else -1)), *layout[1:]]
    with pytest.raises(AssertionError):
        assert_sound(moved, sizes, width, optimum)


@pytest.mark.parametrize(("name", "width", "first_fit", "optimum"), [(p[0], p[1], p[5], p[3]) for p in PROBLEMS])
@pytest.mark.parametrize("gap", [0.5, 0.25])
def test_a_gap_between_pieces_is_the_same_problem_shrunk(
    name: str, width: float, first_fit: int, optimum: int, gap: float
) -> None:
    """Each piece and the web lose what the gap takes up, and all lengths come out one gap shorter."""
    shrunk = [PieceSize(across - gap, along - gap) for across, along in sizes_of(name)]
    assert nest_shelves(shrunk, width - gap, gap, may_turn=False).length_m == first_fit - gap
    assert nest_skyline(shrunk, width - gap, gap, may_turn=False).length_m == optimum - gap


def test_more_effort_finds_the_optimum_with_turning() -> None:
    sizes = sizes_of("ht_c2p1")
    assert nest_skyline(sizes, 40, 0.0, may_turn=True).length_m <= 1.07 * 15
    assert nest_skyline(sizes, 40, 0.0, may_turn=True, effort=5).length_m == 15


# Squares of different sizes that fill a rectangle: no gap is possible, so the optimum is its length. Z. Moron (1925):
# 32 x 33; A. J. W. Duijvestijn (1978): the simple perfect square of least order, side 112 (both from memory; the areas
# agree: 1056 and 12 544).
MORON = [18, 15, 14, 10, 9, 8, 7, 4, 1]
DUIJVESTIJN = [50, 42, 37, 35, 33, 29, 27, 25, 24, 19, 18, 17, 16, 15, 11, 9, 8, 7, 6, 4, 2]


@pytest.mark.parametrize(("sides", "width", "optimum"), [(MORON, 32, 33), (MORON, 33, 32), (DUIJVESTIJN, 112, 112)])
def test_squared_rectangles(sides: list[int], width: int, optimum: int) -> None:
    sizes = [PieceSize(float(side), float(side)) for side in sides]
    assert sum(side * side for side in sides) == width * optimum
    layout = nest_skyline(sizes, width, 0.0, may_turn=False)
    assert_sound(list(layout.placements), sizes, width, layout.length_m)
    assert optimum <= layout.length_m <= FAST_BAND * optimum


def cut_up(rng: random.Random, across: int, along: int, pieces: int) -> list[PieceSize]:
    """Cut a sheet into pieces by straight cuts through, as P. Y. Wang and C. L. Valenzuela (European Journal of
    Operational Research 134 (2001) 378-391, from memory) make problems of known optimum; cuts in whole centimetres."""
    sheets = [(across, along)]
    while len(sheets) < pieces:
        sheets.sort(key=lambda sheet: sheet[0] * sheet[1])
        w, h = sheets.pop()
        if rng.random() < w / (w + h):
            cut = rng.randint(w // 4, w - w // 4)
            sheets += [(cut, h), (w - cut, h)]
        else:
            cut = rng.randint(h // 4, h - h // 4)
            sheets += [(w, cut), (w, h - cut)]
    return [PieceSize(w / 100, h / 100) for w, h in sheets]


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("pieces", [12, 40])
def test_sheets_cut_up_are_put_together_again_within_a_fifth(seed: int, pieces: int) -> None:
    sizes = cut_up(random.Random(seed), 310, 900, pieces)
    layout = nest_skyline(sizes, 3.1, 0.0, may_turn=False, effort=0)
    assert 9.0 - 1e-9 <= layout.length_m <= FAST_BAND * 9.0
    assert layout.yield_share == pytest.approx(9.0 / layout.length_m, abs=1e-9)
