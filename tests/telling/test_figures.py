"""Numbers in words: digits as the interval deserves, bounds outward, nothing where there is nothing."""

import math

import pytest

from shopsim.figures import Figure, figure, measured, percent, plain, signed
from shopsim.report.told import step, told_by
from shopsim.studies.precision import Interval


def found(mean: float, half_width: float) -> Interval:
    return Interval(mean, mean - half_width, mean + half_width, half_width, 5)


@pytest.mark.parametrize(("mean", "half_width", "text"), [
    (3.94, 0.31, Figure("3.9", "3.6 to 4.3", "±0.4")),  # 3.63 and 4.25 go outward
    (3.94, 0.12, Figure("3.94", "3.82 to 4.06", "±0.12")),
    (112.307, 0.0071, Figure("112", "112 to 113", "±1")),  # three digits are enough
    (69463.2, 70.4, Figure("69,463", "69,392 to 69,534", "±71")),
    (0.5, 2.0, Figure("0", "−2 to 3", "±2")),
    (0.0, 0.25, Figure("0.0", "−0.3 to 0.3", "±0.3")),
    (-857.0, 12.0, Figure("−857", "−869 to −845", "±12")),
])  # fmt: skip
def test_digits_follow_the_interval(mean: float, half_width: float, text: Figure) -> None:
    assert figure(found(mean, half_width)) == text


def test_a_mean_without_an_interval_stands_alone() -> None:
    alone = Interval(12.3456, None, None, None, 1)
    assert figure(alone) == Figure("12.3", "", "")
    assert figure(alone, digits_alone=0) == Figure("12", "", "")
    assert figure(alone).short == "12.3"


def test_nothing_measured_is_a_dash() -> None:
    assert figure(Interval(math.nan, None, None, None, 0, 3)) == Figure("-", "", "")
    assert plain(math.nan) == "-"


def test_runs_that_agree_say_so() -> None:
    assert figure(found(872.4, 0.0)) == Figure("872", "all runs alike", "")
    # A sum in another order differs in its last bit.
    assert figure(found(872.4, 1e-12)) == Figure("872", "all runs alike", "")


def test_shares_stay_between_none_and_all() -> None:
    assert percent(found(0.99, 0.03)) == Figure("99", "96 to 100", "±3")
    assert percent(found(0.01, 0.03)) == Figure("1", "0 to 4", "±3")
    assert percent(Interval(0.667, None, None, None, 1)).mean == "67"
    assert percent(Interval(0.997, None, None, None, 1)).mean == "99.7"


def test_differences_of_shares_stay_within_a_hundred_points() -> None:
    assert signed(found(0.03, 1.23), 100) == Figure("+3", "−100 to +100", "±123")
    assert signed(found(3, 123)) == Figure("+3", "−120 to +126", "±123")


def test_times_counts_and_cost_have_no_bound_below_nothing_but_what_is_left_over_has() -> None:
    assert measured(found(72, 168), "lead_time_p90_h", 1 / 24) == Figure("3", "0 to 10", "±7")
    assert measured(found(72, 168), "margin_per_week", 1) == Figure("72", "−96 to 240", "±168")


def test_scale_turns_hours_into_days() -> None:
    assert figure(found(96.0, 12.0), 1 / 24) == Figure("4.0", "3.5 to 4.5", "±0.5")


@pytest.mark.parametrize(
    ("value", "text"), [(0.0, "0"), (3.0, "3"), (0.277, "0.28"), (12.34, "12.3"), (1234.5, "1,234")]
)
def test_plain_numbers(value: float, text: str) -> None:
    assert plain(value) == text


def test_what_no_run_tells_is_a_dash() -> None:
    nothing = Interval(math.nan, None, None, None, 0)
    assert signed(nothing) == Figure("-", "", "")
    assert told_by({"mean": None}) == step({"mean": None}) == "–"
    assert (told_by({"mean": 1.0, "low": 0.5, "high": 1.5}), step({"mean": 1.0, "low": 0.5, "high": 1.5})) == (
        "1.0 (0.5 to 1.5)", "+1.0 (+0.5 to +1.5)",
    )  # fmt: skip
