"""Order-statistic intervals and Wilks's sizes: check E-15, further printed sizes, and the coverage tried out.

W. J. Conover, Practical Nonparametric Statistics, and G. J. Hahn & W. Q. Meeker, Statistical Intervals (1991), standard
tables, from memory; recomputed from the binomial distribution, hence the tolerance of 1e-9.
"""

from __future__ import annotations

import math

import pytest

from shopsim.streams import stream
from shopsim.studies.quantiles import quantile_interval, quantile_ranks, rank_coverage, wilks_size
from tests.published.repeated_studies import chance_range


def test_e15_median() -> None:
    assert rank_coverage(10, 0.5, 2, 9) == pytest.approx(0.978515625, abs=1e-9)
    assert rank_coverage(20, 0.5, 6, 15) == pytest.approx(0.958610534668, abs=1e-9)
    assert (quantile_ranks(10, 0.5), quantile_ranks(20, 0.5)) == ((2, 9), (6, 15))


def test_e15_ninety_percent_quantile_of_a_hundred() -> None:
    assert quantile_ranks(100, 0.9) == (84, 96)
    assert rank_coverage(100, 0.9, 84, 96) == pytest.approx(0.955690107191, abs=1e-9)
    found = quantile_interval([float(value) for value in range(100, 0, -1)], 0.9)
    assert (found.estimate, found.low, found.high) == (90.0, 84.0, 96.0)
    assert found.coverage_pct == pytest.approx(95.5690107191, abs=1e-7)


def test_e15_wilks() -> None:
    # S. S. Wilks, Annals of Mathematical Statistics 12 (1941) 91-96.
    assert wilks_size(0.95) == 59
    assert wilks_size(0.95, two_sided=True) == 93


# -- further cases ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("share", "confidence_pct", "one_sided", "two_sided"),
    [(0.90, 95, 29, 46), (0.95, 99, 90, 130), (0.99, 95, 299, 473), (0.90, 90, 22, 38)],
)
def test_further_sizes_of_wilks(share: float, confidence_pct: float, one_sided: int, two_sided: int) -> None:
    # Hahn & Meeker, Statistical Intervals (1991), tables of smallest samples for tolerance bounds, from memory.
    assert wilks_size(share, confidence_pct) == one_sided
    assert wilks_size(share, confidence_pct, two_sided=True) == two_sided


def test_order_statistics_hold_the_quantile_as_often_as_they_say() -> None:
    # Distribution-free: tried on the very skew exponential, whose 0.9 quantile is ln 10.
    hits = 0
    for study in range(1000):
        found = quantile_interval(stream(7, study, "quantile").exponential(1.0, 100).tolist(), 0.9)
        assert found.low is not None and found.high is not None
        hits += found.low <= math.log(10) <= found.high
    assert hits in chance_range(1000, 0.955690107191)


def test_the_greatest_value_bounds_the_share_as_often_as_promised() -> None:
    # Wilks (1941): the share below the greatest of n values is above 0.95 in 1 - 0.95^n of all samples.
    size = wilks_size(0.95, 95)
    hits = sum(float(stream(8, study, "wilks").random(size).max()) >= 0.95 for study in range(2000))
    assert hits in chance_range(2000, 0.9515)
