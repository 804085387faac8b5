"""What holds for every layout, whatever the pieces."""

from itertools import combinations

from hypothesis import example, given, settings
from hypothesis import strategies as st

from shopsim.craft.layout import Layout, PieceSize, nest_shelves, nest_skyline, split_panels

CLOSE_M = 1e-6
WEB_M = 3.06

widths = st.integers(1, 306).map(lambda centimetres: centimetres / 100)
lengths = st.integers(1, 800).map(lambda centimetres: centimetres / 100)
gaps = st.sampled_from([0.0, 0.01, 0.035])
few_sizes = st.lists(st.builds(PieceSize, widths, lengths), min_size=1, max_size=5)
gangs = few_sizes.flatmap(lambda kinds: st.lists(st.sampled_from(kinds), min_size=1, max_size=25))


def check_pieces(layout: Layout, sizes: list[PieceSize], gap_m: float, may_turn: bool) -> None:
    assert sorted(placed.piece for placed in layout.placements) == list(range(len(sizes)))
    for placed in layout.placements:
        across_m, along_m = sizes[placed.piece]
        assert may_turn or not placed.turned
        laid = (along_m, across_m) if placed.turned else (across_m, along_m)
        assert (placed.across_m, placed.along_m) == laid
        assert placed.x_m >= 0 and placed.x_m + placed.across_m <= layout.image_width_m + CLOSE_M <= WEB_M + 2 * CLOSE_M
        assert placed.y_m >= 0 and placed.y_m + placed.along_m <= layout.length_m + CLOSE_M
    for one, other in combinations(layout.placements, 2):
        beside = max(one.x_m - other.x_m - other.across_m, other.x_m - one.x_m - one.across_m)
        behind = max(one.y_m - other.y_m - other.along_m, other.y_m - one.y_m - one.along_m)
        assert max(beside, behind) >= gap_m - CLOSE_M


def check_shelves(layout: Layout, gap_m: float) -> None:
    placed_by_piece = {placed.piece: placed for placed in layout.placements}
    order = [piece for shelf in layout.shelves for piece in shelf.pieces]
    assert order == [placed.piece for placed in layout.placements]
    end_m = 0.0
    for shelf in layout.shelves:
        assert abs(shelf.start_m - end_m) < CLOSE_M
        end_m = shelf.start_m + shelf.length_m
        gap_after_m = gap_m if shelf is not layout.shelves[-1] else 0.0
        for placed in map(placed_by_piece.get, shelf.pieces):
            assert placed.y_m >= shelf.start_m - CLOSE_M
            assert placed.y_m + placed.along_m <= end_m - gap_after_m + CLOSE_M
    assert abs(end_m - layout.length_m) < CLOSE_M


def check_sums(layout: Layout, sizes: list[PieceSize], gap_m: float) -> None:
    area_m2 = sum(across_m * along_m for across_m, along_m in sizes)
    assert abs(layout.used_area_m2 - area_m2) < CLOSE_M * area_m2
    assert layout.yield_share <= 1 + CLOSE_M
    pitch_area_m2 = sum((across_m + gap_m) * (along_m + gap_m) for across_m, along_m in sizes)
    assert layout.length_m >= pitch_area_m2 / (WEB_M + gap_m) - gap_m - CLOSE_M


@given(gangs, gaps, st.booleans())
def test_shelves_are_a_sound_layout(sizes, gap_m, may_turn):
    layout = nest_shelves(sizes, WEB_M, gap_m, may_turn)
    check_pieces(layout, sizes, gap_m, may_turn)
    check_shelves(layout, gap_m)
    check_sums(layout, sizes, gap_m)


@settings(deadline=None, max_examples=60)
@given(gangs, gaps, st.booleans(), st.sampled_from([0, 0, 1]))
# The 0.03 m piece ends 25 mm before the second long one, beside which it lies: too little to part two shelves.
@example([PieceSize(0.02, 3.01), PieceSize(0.02, 3.01), PieceSize(0.01, 0.03)], 0.035, True, 0)
def test_skyline_is_a_sound_layout_and_never_longer_than_shelves(sizes, gap_m, may_turn, effort):
    layout = nest_skyline(sizes, WEB_M, gap_m, may_turn, effort)
    check_pieces(layout, sizes, gap_m, may_turn)
    check_shelves(layout, gap_m)
    check_sums(layout, sizes, gap_m)
    assert layout.length_m <= nest_shelves(sizes, WEB_M, gap_m, may_turn).length_m + CLOSE_M


@given(gangs, gaps)
def test_leave_to_turn_never_makes_shelves_longer(sizes, gap_m):
    free = nest_shelves(sizes, WEB_M, gap_m, may_turn=True)
    assert free.length_m <= nest_shelves(sizes, WEB_M, gap_m, may_turn=False).length_m + CLOSE_M


@given(gangs, gaps, st.booleans())
def test_same_input_gives_the_same_layout(sizes, gap_m, may_turn):
    assert nest_shelves(sizes, WEB_M, gap_m, may_turn) == nest_shelves(list(sizes), WEB_M, gap_m, may_turn)


@given(st.floats(0.1, 30), st.floats(0.1, 30), st.sampled_from([0.0, 0.02, 0.05]), st.booleans())
def test_panels_fit_the_web_and_make_up_the_piece(across_m, along_m, overlap_m, may_turn):
    panels = split_panels(across_m, along_m, WEB_M, overlap_m, may_turn)
    assert len(set(panels.sizes)) == 1 and panels.seams == len(panels.sizes) - 1
    width_m, length_m = panels.sizes[0]
    joined_m = len(panels.sizes) * width_m - panels.seams * overlap_m
    assert width_m <= WEB_M + CLOSE_M
    assert abs(panels.seam_length_m - panels.seams * length_m) < CLOSE_M
    as_given = abs(joined_m - across_m) < CLOSE_M and length_m == along_m
    turned = abs(joined_m - along_m) < CLOSE_M and length_m == across_m
    assert as_given or (may_turn and turned)
    fewer = panels.seams
    assert fewer == 0 or fewer * WEB_M - (fewer - 1) * overlap_m < joined_m
