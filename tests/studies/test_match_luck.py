"""The record against the runs: exact under a true model whatever the law, intervals by hand, three outcomes."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from shopsim.measures.lead_times import LEAD_SHARES
from shopsim.studies.match_figures import LEAD_CURVE, LEAD_P50, ON_TIME, ORDERS_OUT, Figures
from shopsim.studies.match_luck import Tolerance, _rank, judge, least_runs


def of(levels: dict[str, float], shape: np.ndarray | None = None) -> Figures:
    return Figures(levels, {} if shape is None else {LEAD_CURVE: shape}, {})


def test_as_many_runs_as_a_confidence_takes() -> None:
    # With 19 runs and the record 20 in all: one in twenty is the last.
    assert [least_runs(pct) for pct in (80, 90, 95, 99)] == [4, 9, 19, 99]
    runs = [of({LEAD_P50: float(i)}) for i in range(18)]
    with pytest.raises(ValueError, match="95 % takes at least 19 runs, found 18"):
        judge(runs[0], runs, Tolerance(), 95.0)


@pytest.mark.parametrize("pct", [80.0, 90.0, 95.0, 99.0])
def test_luck_goes_beyond_the_limit_as_rarely_as_told_and_no_more_rarely_than_it_must(pct: float) -> None:
    # The record is one of R + 1 alike: beyond the k-th smallest score of R runs lie R + 1 - k of them.
    for runs in range(least_runs(pct), 400):
        beyond = runs + 1 - _rank(runs, pct)
        assert beyond / (runs + 1) <= 1 - pct / 100 + 1e-9 < (beyond + 1) / (runs + 1)


def test_the_interval_by_hand() -> None:
    values = [float(i) for i in range(19)]
    judged = judge(of({LEAD_P50: 12.0}), [of({LEAD_P50: x}) for x in values], Tolerance(pct=50), 95.0)
    # The runs' scores are greatest at both ends: 9 off its 18 others' mean 9.5 (standard deviation 5.3385).
    ends = 9.5 / (np.std(values[1:], ddof=1) * math.sqrt(1 + 1 / 18))
    assert judged.limit == pytest.approx(ends, rel=1e-12)
    spread = np.std(values, ddof=1) * math.sqrt(1 + 1 / 19)
    (level,) = judged.levels
    assert judged.score == pytest.approx(3 / spread, rel=1e-12)
    half = ends * spread
    assert (level.mean, level.difference.mean) == (9.0, 3.0)
    # No figure lies below nothing, which cuts the upper end of the difference at what happened.
    assert (level.low, level.high) == (max(0.0, 9 - half), pytest.approx(9 + half))
    assert (level.difference.low, level.difference.high) == (pytest.approx(3 - half), min(12.0, 3 + half))
    assert judged.accepted


@pytest.mark.parametrize("law", ["normal", "skewed", "counts"])
def test_a_true_model_passes_as_often_as_said(law: str) -> None:
    rng = np.random.default_rng(11)
    trials, passed = 600, 0
    for _ in range(trials):
        passed += _passes(rng, law)
    low, high = stats.binom.ppf([0.005, 0.995], trials, 0.95)
    assert low <= passed <= high


def _passes(rng: np.random.Generator, law: str) -> bool:
    """One record and 19 runs of one law: three levels that hang together, and a shape."""
    common = rng.standard_normal((20, 1))
    draws = common + rng.standard_normal((20, 3))
    if law == "skewed":
        draws = np.exp(draws)
    if law == "counts":
        draws = np.floor(np.abs(draws))
    shapes = 5 + common + 0.3 * rng.standard_normal((20, len(LEAD_SHARES)))
    figures = [
        of({LEAD_P50: 10 + a, ORDERS_OUT: 10 + b, ON_TIME: c}, shape)
        for (a, b, c), shape in zip(draws.tolist(), shapes, strict=True)
    ]
    return judge(figures[0], figures[1:], Tolerance(), 95.0).accepted


def test_three_outcomes() -> None:
    rng = np.random.default_rng(5)
    runs = [
        of({LEAD_P50: 10 + 0.05 * rng.standard_normal(), ORDERS_OUT: 10 + 3 * rng.standard_normal()}) for _ in range(39)
    ]
    close = judge(of({LEAD_P50: 10.3, ORDERS_OUT: 11.0}), runs, Tolerance(pct=10), 95.0)
    # Surely apart, but nearer than what is good enough; and too much luck to tell.
    assert [level.outcome for level in close.levels] == ["agrees", "cannot tell"]
    assert not close.accepted
    far = judge(of({LEAD_P50: 10.3, ORDERS_OUT: 11.0}), runs, Tolerance(pct=1), 95.0)
    assert [level.outcome for level in far.levels] == ["differs", "cannot tell"]
    assert far.levels[0].tolerance == pytest.approx(0.103)


def test_shares_stay_within_nothing_and_all() -> None:
    rng = np.random.default_rng(6)
    runs = [of({ON_TIME: float(x)}) for x in rng.uniform(0.6, 1.0, 39)]
    (level,) = judge(of({ON_TIME: 0.9}), runs, Tolerance(points=50), 95.0).levels
    assert level.high == 1.0
    assert level.difference.low == pytest.approx(-0.1)
    assert level.tolerance == 0.5


def test_a_shape_that_differs_only_in_its_middle() -> None:
    rng = np.random.default_rng(7)
    n = len(LEAD_SHARES)
    runs = [of({LEAD_P50: 5.0}, 5 + 0.1 * rng.standard_normal(n)) for _ in range(39)]
    bent = 5 + np.where(np.abs(np.arange(n) - n // 2) < 5, 0.8, 0.0)
    judged = judge(of({LEAD_P50: 5.0}, bent), runs, Tolerance(pct=1), 95.0)
    (shape,) = judged.shapes
    assert shape.distance == pytest.approx(0.8 * 9 / n, abs=0.05)
    assert shape.luck < 0.2 < shape.distance
    assert (shape.outcome, judged.accepted) == ("differs", False)
    # What is the same in every run and on record says nothing against the model.
    assert [(level.outcome, level.difference.mean) for level in judged.levels] == [("agrees", 0.0)]


def test_what_some_run_does_not_have_is_not_compared() -> None:
    runs = [of({LEAD_P50: float(i), ORDERS_OUT: 1.0 + i}) for i in range(20)]
    runs[3] = of({LEAD_P50: math.nan, ORDERS_OUT: 4.0})
    judged = judge(of({LEAD_P50: 1.0, ORDERS_OUT: 2.0}), runs, Tolerance(), 95.0)
    assert [level.name for level in judged.levels] == [ORDERS_OUT]
