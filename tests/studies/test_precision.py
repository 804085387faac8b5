"""Student intervals against printed textbook values; missing values; planning of replications."""

import math

import numpy as np
import pytest
from scipy import stats

from shopsim.studies.precision import (
    Interval,
    interval,
    more_to_settle,
    replications_for,
    replications_for_share,
    t_quantile,
)

# A. M. Law, Simulation Modeling and Analysis, 5th ed. (2013/2015), Example 4.27: printed mean 1.34, 90 % CI +- 0.24;
# digits beyond the printed ones recomputed (check value E-01).
LAW_4_27 = [1.20, 1.50, 1.68, 1.89, 0.95, 1.49, 1.58, 1.55, 0.50, 1.09]
# Law, Table 9.1: average delays in a bank, printed mean 2.03, 90 % CI +- 0.32, and section 9.4.1: 16 replications for a
# half-width of 0.25, 27 for a relative error of 10 % (check value E-02).
LAW_9_1 = [1.53, 1.66, 1.24, 2.34, 2.00, 1.69, 2.69, 2.86, 1.70, 2.60]


def test_law_example_4_27() -> None:
    found = interval(LAW_4_27, 90)
    assert found.mean == pytest.approx(1.343, abs=1e-9)
    assert found.half_width == pytest.approx(0.237253414489, abs=1e-9)
    assert found.low == pytest.approx(1.10574658551, abs=1e-9)
    assert found.high == pytest.approx(1.58025341449, abs=1e-9)
    assert (found.n, found.left_out) == (10, 0)
    assert t_quantile(9, 0.95) == pytest.approx(1.83311293266, abs=1e-6)


def test_law_table_9_1_and_the_replications_it_asks_for() -> None:
    found = interval(LAW_9_1, 90)
    assert found.mean == pytest.approx(2.031, abs=1e-9)
    assert found.half_width == pytest.approx(0.322283404942, abs=1e-9)
    assert replications_for(LAW_9_1, 0.25, 90) == 16
    assert replications_for_share(LAW_9_1, 0.10, 90) == 27


def test_one_value_has_no_interval_and_none_has_no_mean() -> None:
    assert interval([2.5]) == Interval(2.5, None, None, None, 1)
    nothing = interval([])
    assert math.isnan(nothing.mean) and (nothing.low, nothing.n) == (None, 0)


def test_missing_values_are_left_out_and_counted() -> None:
    found = interval([math.nan, 1.0, 3.0, math.nan])
    assert (found.mean, found.n, found.left_out) == (2.0, 2, 2)
    # t(1, 0.975) = tan(0.475 pi), by the closed form of the Cauchy distribution.
    assert found.half_width == pytest.approx(math.tan(0.475 * math.pi))


def test_equal_values_have_an_interval_without_width() -> None:
    assert interval([4.0, 4.0, 4.0]) == Interval(4.0, 4.0, 4.0, 0.0, 3)
    assert replications_for([4.0, 4.0, 4.0], 0.1) == 10


@pytest.mark.parametrize("values", [[], [1.0], [math.nan, 1.0]])
def test_no_plan_from_fewer_than_two_values(values: list[float]) -> None:
    assert replications_for(values, 0.1) is None


def test_a_plan_beyond_all_patience_is_none() -> None:
    assert replications_for([0.0, 1e9], 1e-3) is None
    assert replications_for_share([-1.0, 1.0], 0.1) is None


def test_a_plan_never_asks_for_fewer_replications_than_there_are() -> None:
    assert replications_for([1.0, 1.1] * 20, 5.0) == 40


def test_runs_to_settle_a_question_do_so_with_a_chance_of_80_percent() -> None:
    """The power of the t test at the number planned, by the noncentral t distribution."""
    rng = np.random.default_rng(2)
    for confidence_pct, gap in ((95.0, 0.3), (99.0, 0.5)):
        values = rng.normal(size=20)
        values = (values - values.mean()) / values.std(ddof=1) + gap
        more = more_to_settle(values.tolist(), confidence_pct)
        assert more is not None
        n = 20 + more
        limit = stats.t.ppf(0.5 + confidence_pct / 200, n - 1)
        assert stats.nct.sf(limit, n - 1, gap * math.sqrt(n)) == pytest.approx(0.8, abs=0.01)
        assert more_to_settle((values + 5).tolist(), confidence_pct, 5.0) == more


def test_nothing_is_planned_from_few_runs_or_for_no_difference() -> None:
    assert more_to_settle([1.0, 2.0] * 4 + [1.0]) is None
    assert more_to_settle([1.0, -1.0] * 5) is None
    assert more_to_settle([1e6, -1e6] * 5 + [1.0]) is None
    # What is clear already takes one more at least.
    assert more_to_settle([5.0, 5.1] * 5) == 1


@pytest.mark.parametrize("confidence_pct", [0, 100, -5])
def test_impossible_confidence(confidence_pct: float) -> None:
    with pytest.raises(ValueError) as error:
        interval([1.0, 2.0], confidence_pct)
    assert str(error.value) == f"confidence_pct must be between 0 and 100, found {confidence_pct!r}"


def test_impossible_half_width() -> None:
    with pytest.raises(ValueError) as error:
        replications_for([1.0, 2.0], 0.0)
    assert str(error.value) == "half_width must be above 0, found 0.0"
    with pytest.raises(ValueError) as error:
        replications_for_share([1.0, 2.0], -0.1)
    assert str(error.value) == "relative must be above 0, found -0.1"
