"""Sewing minutes against handbook section 6.2 and check G-03."""

import pytest

from shopsim.craft import sewing

AROUND = ("top", "right", "bottom", "left")


def around(edge):
    return dict.fromkeys(AROUND, edge)


@pytest.mark.parametrize(
    ("width_m", "height_m", "by_hand", "semi"),
    [(1, 1, 5.8, 4.0), (2, 2, 7.7, 4.9), (3, 2.5, 9.1, 5.5), (5, 2.5, 11.0, 6.4), (10, 3, 16.2, 8.7)],
)
def test_silicone_frames(width_m, height_m, by_hand, semi):
    for edge, minutes in (("silicone_hand", by_hand), ("silicone_semi", semi)):
        basic_min = sewing.basic_minutes(width_m, height_m, around(edge))
        assert sewing.standard_minutes(basic_min) == pytest.approx(minutes, abs=0.05)


def test_load_follows_perimeter_not_area():
    # Section 15, check 6: 1 x 3 m and 2 x 2 m have one perimeter.
    frames = [sewing.basic_minutes(w, h, around("silicone_hand")) for w, h in ((1, 3), (2, 2))]
    assert frames[0] == pytest.approx(frames[1])


@pytest.mark.parametrize(
    ("edges", "minutes"),
    [
        # SEW-14 on 3 x 2 m: 0.3 per m, 0.3 per corner, 1.0 per piece.
        ({"top": "hem", "bottom": "hem"}, 6 * 0.3 + 1.0),
        ({"top": "hem", "left": "hem"}, 5 * 0.3 + 0.3 + 1.0),
        ({"top": "hem", "left": "hem", "right": "hem"}, 7 * 0.3 + 2 * 0.3 + 1.0),
        # SEW-16: 0.35 per m, 0.3 per open end, 1.0 per piece.
        ({"top": "pole_pocket"}, 3 * 0.35 + 2 * 0.3 + 1.0),
        ({"top": "pole_pocket", "right": "pole_pocket"}, 5 * 0.35 + 4 * 0.3 + 1.0),
        # A banner with pockets above and below and hemmed sides shares no corner.
        (
            {"top": "pole_pocket", "bottom": "pole_pocket", "left": "hem", "right": "hem"},
            6 * 0.35 + 4 * 0.3 + 1.0 + 4 * 0.3 + 1.0,
        ),
        ({"left": "tube_zip"}, 2 * 0.40 + 5.5),
        ({}, 0.0),
    ],
)
def test_runs_corners_and_ends(edges, minutes):
    assert sewing.basic_minutes(3.0, 2.0, edges) == pytest.approx(minutes)


def test_panel_seams_and_labels():
    assert sewing.sewn_minutes("panel_seam", 8.0, ends=4, pieces=2) == pytest.approx(8 * 0.55 + 4 * 0.3 + 2 * 3.0)
    assert sewing.sewn_minutes("panel_seam", 1.0) == pytest.approx(0.55 + 3.0)
    assert sewing.sewn_minutes("label", 0.0, corners=4) == pytest.approx(4 * 0.8 + 0.4)
    assert sewing.sewn_minutes("label", 0.0) == pytest.approx(0.4)


def test_rows_and_times_are_those_of_the_handbook():
    times = {
        edge.row: (edge.min_per_m, edge.min_per_corner, edge.min_per_end, edge.min_per_piece)
        for edge in sewing.EDGES.values()
    }
    assert times == {
        "SEW-11": (0.40, 0.45, 0, 1.5),
        "SEW-12": (0.18, 0.30, 0, 1.5),
        "SEW-13": (0.40, 0, 0.4, 1.3),
        "SEW-14": (0.30, 0.30, 0, 1.0),
        "SEW-15": (0.45, 0.5, 0, 1.2),
        "SEW-16": (0.35, 0, 0.3, 1.0),
        "SEW-17": (0.60, 0, 0.3, 1.0),
        "SEW-18": (0.18, 0.15, 0, 0.7),
        "SEW-19": (0.28, 0.25, 0, 1.8),
        "SEW-20": (0.40, 0, 0, 5.5),
        "SEW-21": (0, 0.8, 0, 0.4),
        "SEW-22": (0.55, 0, 0.3, 3.0),
    }


def test_seam_time_from_stitches():
    assert sewing.needle_speed_m_per_min(2000, 3.3) == pytest.approx(6, abs=0.1)  # SEW-05
    hem_speed = sewing.needle_speed_m_per_min(4000, 4.0, 0.55)
    assert hem_speed == pytest.approx(5.5)  # G-03 (a)
    assert 3.2 / hem_speed + 0.35 == pytest.approx(0.931818181818)
    keder_speed = sewing.needle_speed_m_per_min(3000, 3.5, 0.70)
    assert 12.4 / keder_speed + 0.9 + 4 * 0.12 == pytest.approx(3.44666666667)  # G-03 (b)


def test_thread():
    assert sewing.thread_m(1.7, "406") == pytest.approx(30.6)  # G-03 (c)
    assert sewing.thread_m(12.4, "301", 0.15) == pytest.approx(35.65)
    classes = ("101", "301", "401", "504", "516", "602", "605")
    assert [sewing.thread_m(1.0, stitch) for stitch in classes] == [4, 2.5, 5.5, 14, 20, 25, 28]


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: sewing.basic_minutes(1, 1, {"front": "hem"}),
            "a side must be one of top, right, bottom, left, found 'front'",
        ),
        (
            lambda: sewing.basic_minutes(1, 1, {"top": "glue"}),
            f"edge must be one of {', '.join(sewing.EDGES)}, found 'glue'",
        ),
        (
            lambda: sewing.basic_minutes(1, 1, {"top": "label"}),
            "edge 'label' is not sewn along a side, use sewn_minutes",
        ),
        (lambda: sewing.basic_minutes(0, 1, {}), "width_m must be above 0, found 0"),
        (lambda: sewing.standard_minutes(5, -0.1), "allowance_share must be at least 0, found -0.1"),
        (lambda: sewing.sewn_minutes("hem", 1, corners=-1), "corners must be a whole number of at least 0, found -1"),
        (
            lambda: sewing.thread_m(1, "514"),
            "stitch must be one of 101, 301, 401, 406, 504, 516, 602, 605, found '514'",
        ),
    ],
)
def test_impossible_sewing_is_refused(call, message):
    with pytest.raises(ValueError) as caught:
        call()
    assert str(caught.value) == message
