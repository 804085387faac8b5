"""Measured values beside fitted quantiles: places by hand, lives cut off, every family's quantile against scipy's."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import pytest
from scipy import stats

from shopsim.answers.drawn import of_fit
from shopsim.distributions import Distribution, Exponential, Fixed, Gamma, LogNormal, Weibull
from shopsim.studies.fit_estimates import Estimate
from shopsim.studies.fit_found import Fitted
from shopsim.studies.fit_samples import MOST_POINTS, Sample, points_of


def test_places_without_lives_cut_off() -> None:
    found = points_of(Sample(Exponential(10.0), (6.0, 2.0, 30.0, 12.0), "min"))
    assert [point.measured for point in found] == [2.0, 6.0, 12.0, 30.0]
    # Shares 1/8, 3/8, 5/8, 7/8.
    assert [point.fitted for point in found] == pytest.approx([-10 * math.log(1 - k / 8) for k in (1, 3, 5, 7)])


def test_a_life_cut_off_moves_those_after_it() -> None:
    # Kaplan and Meier by hand: 4 lives, 1 seen to end at 1 (left 3/4), one cut off at 2, then 3/4 x 1/2 = 3/8, then 0.
    found = points_of(Sample(Exponential(1.0), (1.0, 3.0, 5.0), "running h", (2.0,)))
    shares = [1 - math.exp(-point.fitted) for point in found]
    assert shares == pytest.approx([1 / 8, 1 - (3 / 4 + 3 / 8) / 2, 1 - 3 / 16])


def test_one_still_running_at_the_end() -> None:
    found = points_of(Sample(Exponential(1.0), (1.0, 2.0), "running h", (9.0,)))
    assert [1 - math.exp(-point.fitted) for point in found] == pytest.approx([1 / 6, 1 / 2])


@pytest.mark.parametrize(
    ("ours", "theirs"),
    [
        (Gamma(24.0, 0.3), stats.gamma(0.3**-2, scale=24 * 0.3**2)),
        (LogNormal(3.0, 5.0), stats.lognorm(math.log(5 / 3) / stats.norm.ppf(0.9), scale=3.0)),
        (Weibull(100.0, 0.5), None),
    ],
)
def test_quantiles_of_each_family(ours: Distribution, theirs: object) -> None:
    if theirs is None:
        assert isinstance(ours, Weibull)
        theirs = stats.weibull_min(ours.shape, scale=100 / math.gamma(1 + 1 / ours.shape))
    found = points_of(Sample(ours, (1.0, 2.0, 3.0, 4.0, 5.0), "min"))
    expected = [theirs.ppf((k - 0.5) / 5) for k in range(1, 6)]  # type: ignore[attr-defined]
    assert [point.fitted for point in found] == pytest.approx(expected, rel=1e-6)


def test_many_values_are_shown_by_some() -> None:
    values = tuple(float(i) for i in range(1, 1001))
    found = points_of(Sample(Exponential(500.0), values, "min"))
    assert (len(found), found[0].measured, found[-1].measured) == (MOST_POINTS, 1.0, 1000.0)
    assert points_of(Sample(Fixed(3.0), (3.0, 3.0), "min")) == []


def test_pictures_say_how_many_were_cut_off_and_why_this_law() -> None:
    sample = Sample(Exponential(10.0), (6.0, 2.0, 30.0, 12.0), "running h", (4.0,))
    one = Fitted("", 10.0, "life of press", Estimate(10.0, 5.0, 20.0, 4), "breakdowns", "exponential", (), sample)
    told = Fitted("", 1.0, "a share", Estimate(1.0, 1.0, 1.0, 1), "orders", "as seen")
    fit: Any = SimpleNamespace(fitted=(one, told))
    (drawn,) = of_fit(fit)
    assert drawn.name == "life of press"
    assert drawn.words.endswith("Exponential. 1 still running at the end of the log, counted as cut off.")
    assert drawn.words.startswith("life of press, 4 values: measured and fitted differ by ")
