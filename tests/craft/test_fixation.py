"""Fixation against handbook rows FIX-05, FIX-14, CAL-03 and check J-01."""

import pytest

from shopsim.craft import fixation


@pytest.mark.parametrize(("plate_m", "dwell_s", "cap"), [(0.4, 45, 32), (0.8, 40, 72), (1.2, 40, 108), (1.2, 45, 96)])
def test_fixation_cap(plate_m, dwell_s, cap):
    assert fixation.fixation_cap_m_per_h(plate_m, dwell_s) == pytest.approx(cap)  # FIX-05, J-01 (b)


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


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: fixation.fixation_cap_m_per_h(0.8, 0), "dwell_s must be above 0, found 0"),
        (
            lambda: fixation.calender_speed_m_per_h(0.6, 1.5, 35),
            "wrapped_share must be above 0 and at most 1, found 1.5",
        ),
    ],
)
def test_impossible_numbers_are_refused(call, message):
    with pytest.raises(ValueError) as caught:
        call()
    assert str(caught.value) == message
