"""Nesting on the web against strip packing of known optimum: checks D-01 to D-03, whose data may not be in the project,
and what goes beyond `shopsim.published.packing`.

D-01, D-02: E. Hopper, B. C. H. Turton, European Journal of Operational Research 128 (2001) 34-57; D-03: E. K. Burke,
G. Kendall, G. Whitwell, Operations Research 52 (2004) 655-671. Data confirmed from a public repository and not part of
the project; first-fit lengths recomputed. Shelves are first fit by decreasing length (E. G. Coffman et al., SIAM
Journal on Computing 9 (1980) 808-826). Tolerance: none below the optimum; above it 20 %, for a fast heuristic.
"""

from __future__ import annotations

import math

import pytest

from shopsim.craft.layout import PieceSize, Placement, nest_shelves, nest_skyline
from shopsim.published.packing import FAST_BAND, cut_up, faults
from tests.published.data_folder import rows

# Name, web width, pieces, optimum, first-fit length.
PROBLEMS = [("ht_c1p1", 20, 16, 20, 25), ("ht_c2p1", 40, 25, 15, 17), ("bkw_n1", 40, 10, 40, 46)]


def sizes_of(name: str) -> list[PieceSize]:
    return [PieceSize(across, along) for _, across, along in rows(f"{name}.csv")]


@pytest.mark.parametrize(("name", "width", "pieces", "optimum", "first_fit"), PROBLEMS)
def test_published_problem(name: str, width: float, pieces: int, optimum: int, first_fit: int) -> None:
    sizes = sizes_of(name)
    assert len(sizes) == pieces
    assert math.ceil(sum(across * along for across, along in sizes) / width) == optimum
    shelves = nest_shelves(sizes, width, 0.0, may_turn=False)
    tight = nest_skyline(sizes, width, 0.0, may_turn=False)
    for layout in (shelves, tight):
        assert faults(layout.placements, sizes, width, layout.length_m) == 0
    assert shelves.length_m == first_fit
    assert shelves.length_m <= 1.7 * optimum + max(along for _, along in sizes)
    assert tight.length_m == optimum
    for may_turn in (False, True):
        fast = nest_skyline(sizes, width, 0.0, may_turn, effort=0)
        assert optimum <= fast.length_m <= (1 + FAST_BAND) * optimum


@pytest.mark.parametrize(("name", "width", "optimum"), [(p[0], p[1], p[3]) for p in PROBLEMS])
def test_the_published_layout_is_sound_and_a_moved_piece_is_not(name: str, width: float, optimum: float) -> None:
    sizes = sizes_of(name)
    layout = [
        Placement(int(item), x, y, across, along, bool(turned))
        for item, x, y, across, along, turned in rows(f"{name}_optimal_layout.csv")
    ]
    assert faults(layout, sizes, width, optimum) == 0
    # Zero waste: there is no room to move to.
    moved = [layout[0]._replace(x_m=layout[0].x_m + (1 if layout[0].x_m == 0 else -1)), *layout[1:]]
    assert faults(moved, sizes, width, optimum) > 0


@pytest.mark.parametrize(("name", "width", "first_fit", "optimum"), [(p[0], p[1], p[4], p[3]) for p in PROBLEMS])
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


@pytest.mark.parametrize("pieces", [12, 40])
@pytest.mark.parametrize("across_cm", [152, 196, 248, 310, 496])
def test_sheets_cut_up_are_put_together_again_within_a_fifth(across_cm: int, pieces: int) -> None:
    sizes = cut_up(across_cm, 900, pieces)
    layout = nest_skyline(sizes, across_cm / 100, 0.0, may_turn=False, effort=0)
    assert 9.0 - 1e-9 <= layout.length_m <= (1 + FAST_BAND) * 9.0
    assert layout.yield_share == pytest.approx(9.0 / layout.length_m, abs=1e-9)
