"""Finishing, inspection and packing against handbook rows FIN-01..FIN-08."""

import pytest

from shopsim.craft import finishing


@pytest.mark.parametrize(
    ("sides", "count"),
    [
        # 3 x 1 m at 0.5 m: 6 spaces along the width, 2 along the height.
        (("top", "right", "bottom", "left"), 16),
        (("top",), 7),
        (("top", "bottom"), 14),
        (("top", "left"), 9),
        (("left", "top", "right"), 11),
        ((), 0),
    ],
)
def test_eyelets_share_corners(sides, count):
    assert finishing.eyelet_count(3.0, 1.0, sides) == count


def test_eyelets_never_stand_wider_than_the_spacing():
    assert finishing.eyelet_count(1.1, 0.4, ("top",)) == 4
    assert finishing.eyelet_count(0.3, 0.3, ("top",)) == 2
    assert finishing.eyelet_count(0.3, 0.3, ("top",), spacing_m=0.1) == 4


def test_eyelet_minutes():
    assert finishing.eyelet_min(15, "hand") == pytest.approx(15 * 16 / 60 + 0.75)  # FIN-02
    assert finishing.eyelet_min(12, "automatic", marking_min=0.5) == pytest.approx(1.5)
    assert finishing.eyelet_min(0, "hand") == 0.0


def test_minutes_by_piece():
    assert finishing.HARDWARE_MIN == 1.5  # FIN-04
    assert finishing.ironing_min(5.0) == pytest.approx(4.0)  # FIN-05
    assert finishing.FRAME_FIT_MIN == 6.0  # FIN-06
    assert finishing.inspection_min(7.5) == pytest.approx(1 + 0.3 * 7.5)  # FIN-07
    assert [finishing.packing_min(way) for way in ("bag", "tube", "carton")] == [2.5, 5, 9]  # FIN-08
    assert finishing.packing_min("tube", 3) == 15.0


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: finishing.eyelet_count(1, 1, spacing_m=0), "spacing_m must be above 0, found 0"),
        (
            lambda: finishing.eyelet_count(1, 1, ("up",)),
            "a side must be one of top, right, bottom, left, found 'up'",
        ),
        (lambda: finishing.eyelet_min(3, "robot"), "way must be one of hand, automatic, found 'robot'"),
        (lambda: finishing.packing_min("pallet"), "way must be one of bag, tube, carton, found 'pallet'"),
        (lambda: finishing.inspection_min(-1.0), "area_m2 must be above 0, found -1.0"),
    ],
)
def test_impossible_finishing_is_refused(call, message):
    with pytest.raises(ValueError) as caught:
        call()
    assert str(caught.value) == message
