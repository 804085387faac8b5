"""Work measurement against checks G-01 and G-02."""

import pytest

from shopsim.craft import sewing, time_study


@pytest.mark.parametrize(("observed_min", "rating_pct"), [(0.20, 100), (0.16, 125), (0.25, 80)])
def test_basic_time_does_not_depend_on_pace(observed_min, rating_pct):
    assert time_study.basic_time_min(observed_min, rating_pct) == pytest.approx(0.20, abs=1e-12)


def test_the_two_allowance_conventions_differ():
    basic_min = time_study.basic_time_min(4.0, 85)
    assert basic_min == pytest.approx(3.4)
    assert time_study.standard_min_of_total(basic_min, 0.13) == pytest.approx(3.90804597701)
    assert sewing.standard_minutes(basic_min, 0.13) == pytest.approx(3.842)
    assert time_study.standard_min_of_total(15.36, 0.15) == pytest.approx(18.0705882353)


def test_sample_sizes():
    assert time_study.cycles_needed(3.0, 1.0, 0.05) == pytest.approx(170.7, abs=0.05)
    assert time_study.cycles_needed(3.0, 0.5, 0.05) == pytest.approx(170.7 / 4, abs=0.05)
    assert time_study.observations_needed(0.25, 0.03) == pytest.approx(800.333, abs=1e-3)
    assert time_study.observations_needed(0.25, 0.03, normal=2.0) == pytest.approx(833.333333333)
    assert time_study.sampling_half_width(0.25, 500) == pytest.approx(0.0379552367928)


def test_impossible_numbers_are_refused():
    with pytest.raises(ValueError) as caught:
        time_study.standard_min_of_total(3.4, 1.0)
    assert str(caught.value) == "allowance_share_of_total must be from 0 to below 1, found 1.0"
    with pytest.raises(ValueError) as caught:
        time_study.observations_needed(1.5, 0.03)
    assert str(caught.value) == "busy_share must be from 0 to 1, found 1.5"
