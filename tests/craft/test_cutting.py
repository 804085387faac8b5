"""Cutting minutes against handbook rows CUT-01..CUT-08."""

import pytest

from shopsim.craft import cutting


@pytest.mark.parametrize(
    ("method", "row", "speed", "edge"),
    [
        ("hand", "CUT-01", 4, "raw"),
        ("hot_knife", "CUT-02", 2.5, "sealed"),
        ("flatbed_knife", "CUT-03", 18, "raw"),
        ("laser", "CUT-04", 22, "sealed"),
        ("xy_trimmer", "CUT-05", 15, "either"),
    ],
)
def test_methods(method, row, speed, edge):
    assert cutting.CUT_METHODS[method].row == row
    assert cutting.CUT_METHODS[method].edge == edge
    assert cutting.contour_min(method, 2 * speed) == pytest.approx(2.0)


def test_load_is_contour_and_pieces_not_area():
    # 3 x 1.5 m: 9 m of contour at 18 m/min and 1.2 min of handling (CUT-03, CUT-08).
    assert cutting.contour_m(3.0, 1.5) == 9.0
    assert cutting.piece_min("flatbed_knife", 3.0, 1.5) == pytest.approx(0.5 + 1.2)
    assert cutting.piece_min("flatbed_knife", 6.0, 3.0) == pytest.approx(1.0 + 3.0)


@pytest.mark.parametrize(("area_m2", "minutes"), [(1.9, 0.6), (2.0, 1.2), (8.0, 1.2), (8.1, 3.0)])
def test_handling_by_size(area_m2, minutes):
    assert cutting.handling_min(area_m2) == minutes  # CUT-08


def test_two_people_cut_long_pieces_by_hand_only():
    assert [cutting.cutting_people("hand", side_m) for side_m in (3.0, 3.1)] == [1, 2]
    assert cutting.cutting_people("hot_knife", 3.1) == 2
    assert [cutting.cutting_people(method, 10.0) for method in ("flatbed_knife", "laser", "xy_trimmer")] == [1, 1, 1]


def test_impossible_cutting_is_refused():
    with pytest.raises(ValueError) as caught:
        cutting.piece_min("saw", 1.0, 1.0)
    assert str(caught.value) == "method must be one of hand, hot_knife, flatbed_knife, laser, xy_trimmer, found 'saw'"
    with pytest.raises(ValueError) as caught:
        cutting.handling_min(0.0)
    assert str(caught.value) == "area_m2 must be above 0, found 0.0"
