"""Fixation against handbook rows FIX-05, FIX-06, FIX-14, FIX-17, CAL-03 and check J-01."""

import pytest

from shopsim.craft import fixation


@pytest.mark.parametrize(("plate_m", "dwell_s", "cap"), [(0.4, 45, 32), (0.8, 40, 72), (1.2, 40, 108), (1.2, 45, 96)])
def test_fixation_cap(plate_m, dwell_s, cap):
    assert fixation.fixation_cap_m_per_h(plate_m, dwell_s) == pytest.approx(cap)  # FIX-05, J-01 (b)


def test_the_slower_of_feed_and_cap_rules():
    speed = fixation.run_speed_m_per_h(28.125, 96.0)
    assert speed == 28.125  # J-01 (c)
    assert fixation.dwell_s(1.2, speed) == pytest.approx(153.6)
    assert fixation.width_at_cap_m(90.0, 96.0) == pytest.approx(0.9375)
    assert fixation.run_speed_m_per_h(120.0, 96.0) == 96.0
    assert fixation.run_speed_m_per_h(120.0, None) == 120.0


@pytest.mark.parametrize(("mm_per_s", "minutes"), [(4, 10.4), (8.1, 5.1), (20, 2.1)])
def test_tail(mm_per_s, minutes):
    assert fixation.tail_min(2.5, mm_per_s * 3.6) == pytest.approx(minutes, abs=0.05)  # FIX-06


def test_set_point_changes_take_time_in_proportion():
    assert fixation.stabilise_min(180, 190) == 4.0  # FIX-14
    assert fixation.stabilise_min(190, 180) == 8.0
    assert fixation.stabilise_min(190, 185) == 4.0
    assert fixation.stabilise_min(190, 190.5) == pytest.approx(0.2)
    assert fixation.stabilise_min(190, 190) == 0.0


@pytest.mark.parametrize(
    ("drum_m", "wrapped_share", "dwell_s", "speed"),
    # The row's 202 and 362 m/h imply wraps of 78 and 80 %, inside its range.
    [(0.4, 0.75, 35, 97), (0.6, 0.75, 35, 145), (0.8, 0.78, 35, 202), (1.2, 0.80, 30, 362)],
)
def test_calender_speed(drum_m, wrapped_share, dwell_s, speed):
    assert fixation.calender_speed_m_per_h(drum_m, wrapped_share, dwell_s) == pytest.approx(speed, abs=0.6)  # CAL-03


def test_useful_heat():
    # FIX-17 with MAT-01 fabric at its MAT-11 temperature and ink.
    assert fixation.useful_heat_kw(90, 205, 11, 190) == pytest.approx((1.1, 0.8), abs=0.05)
    # 1 kg/s of each from 20 to 120 °C: 1.3 * 100; 4.19 * 80 + 2257 + 2 * 20.
    assert fixation.useful_heat_kw(3600, 1000, 1000, 120) == pytest.approx((130.0, 2632.2))
    assert fixation.useful_heat_kw(3600, 1000, 0, 100, room_c=0) == pytest.approx((130.0, 0.0))


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: fixation.fixation_cap_m_per_h(0.8, 0), "dwell_s must be above 0, found 0"),
        (lambda: fixation.run_speed_m_per_h(30, 0), "cap_m_per_h must be above 0, found 0"),
        (lambda: fixation.tail_min(-1, 30), "length_m must be at least 0, found -1"),
        (
            lambda: fixation.calender_speed_m_per_h(0.6, 1.5, 35),
            "wrapped_share must be above 0 and at most 1, found 1.5",
        ),
        (lambda: fixation.useful_heat_kw(90, 205, 11, 300), "plate_c must be from 100 to below 300, found 300"),
        (lambda: fixation.useful_heat_kw(90, 205, 11, 60), "plate_c must be from 100 to below 300, found 60"),
    ],
)
def test_impossible_numbers_are_refused(call, message):
    with pytest.raises(ValueError) as caught:
        call()
    assert str(caught.value) == message
