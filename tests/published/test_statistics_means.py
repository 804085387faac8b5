"""Means, intervals, autocorrelation and batch means against printed values: checks E-01, E-02, E-04, E-07.

Tolerances are those of the checks: the arithmetic is exact but for rounding in the last digits.
"""

from __future__ import annotations

import math
from itertools import cycle, islice

import pytest
from scipy.signal import lfilter

from shopsim.streams import stream
from shopsim.studies.batch_means import batch_interval, summary, von_neumann_ratio
from shopsim.studies.precision import interval, replications_for, replications_for_share, t_quantile
from shopsim.studies.run_length import replicate_until
from tests.published.repeated_studies import chance_range, least_by_chance

# A. M. Law, Simulation Modeling and Analysis, 5th ed. (2013/2015), Example 4.27: mean 1.34, S^2 = 0.17, 90 % interval
# 1.34 +- 0.24. Data confirmed in a public page; printed mean and half-width from memory and recomputed.
LAW_4_27 = [1.20, 1.50, 1.68, 1.89, 0.95, 1.49, 1.58, 1.55, 0.50, 1.09]

# Law, Table 9.1, average delays in a bank: mean 2.03, S^2 = 0.31, 90 % interval 2.03 +- 0.32 (data and mean confirmed
# in public course notes); section 9.4.1: 16 replications for +- 0.25, 27 for 10 % (these two from memory and
# recomputed).
LAW_9_1 = [1.53, 1.66, 1.24, 2.34, 2.00, 1.69, 2.69, 2.86, 1.70, 2.60]

# NIST Statistical Reference Datasets, Michelso (speed of light, Mm/s), hundredths above 299. Certified values confirmed
# in public repositories: mean 299.8524, s 0.0790105478190518, lag-1 autocorrelation 0.535199668621283.
HUNDREDTHS = """
85 74 90 107 93 85 95 98 98 88 100 98 93 65 76 81 100 100 96 96 96 94 96 94 88 80 85 88 90 84 83 79 81 88 88 83 80
79 76 80 88 88 88 86 72 72 62 86 97 95 88 91 85 87 84 84 85 84 84 84 89 81 81 82 80 77 76 74 75 76 91 92 89 86 88 72
84 85 85 78 89 84 78 81 76 81 79 81 82 85 87 87 81 74 81 94 95 80 81 87
"""
MICHELSO = [round(299 + int(hundredths) / 100, 2) for hundredths in HUNDREDTHS.split()]


def test_e01_interval_of_ten_observations() -> None:
    found = interval(LAW_4_27, 90)
    assert found.mean == pytest.approx(1.343, abs=1e-9)
    assert summary(LAW_4_27).deviation ** 2 == pytest.approx(0.167512222222, abs=1e-9)
    assert t_quantile(9, 0.95) == pytest.approx(1.83311293266, abs=1e-6)
    assert found.half_width == pytest.approx(0.237253414489, abs=1e-9)
    assert (found.low, found.high) == pytest.approx((1.10574658551, 1.58025341449), abs=1e-9)


def test_e02_replications_for_absolute_and_relative_precision() -> None:
    found = interval(LAW_9_1, 90)
    assert found.mean == pytest.approx(2.031, abs=1e-9)
    assert summary(LAW_9_1).deviation ** 2 == pytest.approx(0.309098888889, abs=1e-9)
    assert found.half_width == pytest.approx(0.322283404942, abs=1e-9)
    assert replications_for(LAW_9_1, 0.25, 90) == 16
    assert replications_for_share(LAW_9_1, 0.10, 90) == 27


def test_e04_nist_michelso() -> None:
    found = summary(MICHELSO)
    assert found.n == 100
    assert found.mean == pytest.approx(299.8524, abs=1e-9)
    assert found.deviation == pytest.approx(0.0790105478190518, rel=1e-9)
    assert found.lag_1 == pytest.approx(0.535199668621283, abs=1e-9)


# NIST StRD NumAcc2, 3, 4: 1001 values, the first once and then two alternating. Certified s 0.1, lag-1 -0.999 (from
# memory, confirmed by exact rational arithmetic). The wider tolerances are what the inputs' own rounding leaves: the
# spacing of doubles near 10,000,000 is 2e-9.
@pytest.mark.parametrize(
    ("first", "others", "deviation_within"),
    [
        (1.2, (1.1, 1.3), 1e-10),
        (1_000_000.2, (1_000_000.1, 1_000_000.3), 1e-7),
        (10_000_000.2, (10_000_000.1, 10_000_000.3), 1e-6),
    ],
)
def test_e04_nist_numerical_accuracy(first: float, others: tuple[float, float], deviation_within: float) -> None:
    found = summary([first, *islice(cycle(others), 1000)])
    assert found.mean == pytest.approx(first, abs=1e-7)
    assert found.deviation == pytest.approx(0.1, abs=deviation_within)
    assert found.lag_1 == pytest.approx(-0.999, abs=max(1e-9, 20 * deviation_within))


def test_e07_batch_means_of_michelso() -> None:
    # Method: G. S. Fishman, Management Science 24 (1978) 510-521, from memory; data confirmed; recomputed.
    ten, twenty = batch_interval(MICHELSO, 10), batch_interval(MICHELSO, 20)
    assert (ten.batch_size, twenty.batch_size) == (10, 5)
    assert summary(ten.means).deviation ** 2 == pytest.approx(0.00166537777778, abs=1e-12)
    assert ten.interval.half_width == pytest.approx(0.029193028871, abs=1e-10)
    assert ten.lag_1 == pytest.approx(0.314619305596, abs=1e-10)
    assert ten.von_neumann == pytest.approx(1.1238024072, abs=1e-10)
    assert twenty.interval.half_width == pytest.approx(0.0230434849469, abs=1e-10)
    assert twenty.lag_1 == pytest.approx(0.322439905516, abs=1e-10)
    # Taking the 100 values for independent makes the interval too short.
    assert interval(MICHELSO).half_width == pytest.approx(0.0156774068337, abs=1e-10)


# -- further cases ----------------------------------------------------------------------------------------------------


def test_student_intervals_hold_the_mean_as_often_as_promised() -> None:
    # W. S. Gosset (Student), Biometrika 6 (1908) 1-25: exact for normal values, however few.
    hits = 0
    for study in range(1000):
        found = interval(stream(8, study, "student").normal(3.0, 2.0, 5).tolist(), 90)
        assert found.low is not None and found.high is not None
        hits += found.low <= 3.0 <= found.high
    assert hits in chance_range(1000, 0.90)


def autoregressive(study: int, n: int, phi: float) -> list[float]:
    """A stationary series of mean 0 and variance 1 in which each value is phi times the last one plus noise."""
    noise = stream(21, study, "autoregressive").standard_normal(n)
    noise[1:] *= math.sqrt(1 - phi * phi)
    series: list[float] = lfilter([1.0], [1.0, -phi], noise).tolist()
    return series


def test_batch_means_hold_the_mean_of_an_autoregressive_series_as_often_as_promised() -> None:
    # Fishman (1978). Batches of 200 with phi = 0.6 have a lag-1 correlation of 0.01, so that the promise is nearly
    # exact; the interval that takes the 4000 values for independent is half as long as it should be, and fails.
    hits = naive = 0
    for study in range(500):
        series = autoregressive(study, 4000, 0.6)
        batched, all_alone = batch_interval(series, 20).interval, interval(series)
        assert batched.half_width is not None and all_alone.half_width is not None
        hits += abs(batched.mean) <= batched.half_width
        naive += abs(all_alone.mean) <= all_alone.half_width
    assert hits in chance_range(500, 0.95)
    # The naive interval reaches 1.96 / sqrt((1 + phi) / (1 - phi)) = 0.98 true standard errors: 67 %.
    assert naive in chance_range(500, 0.673)


def test_von_neumann_ratio_gives_false_alarm_as_often_as_stated_and_sees_short_batches() -> None:
    # J. von Neumann, Annals of Mathematical Statistics 12 (1941) 367-395: nearly normal for larger n, and of mean 2, as
    # the n - 1 steps have mean square 2 and the deviations of n values n - 1 degrees of freedom.
    chances = [
        batch_interval(stream(3, study, "noise").standard_normal(40).tolist(), 40).chance for study in range(1000)
    ]
    assert sum(chance is not None and chance < 0.05 for chance in chances) in chance_range(1000, 0.05)
    ratios = [von_neumann_ratio(stream(3, study, "noise").standard_normal(40).tolist()) for study in range(1000)]
    # The variance of the ratio is near 4 / n, so that of the mean of 1000 is 0.01 squared.
    assert sum(ratio or 0.0 for ratio in ratios) / 1000 == pytest.approx(2, abs=0.03)
    seen = [batch_interval(autoregressive(study, 400, 0.9), 40).chance for study in range(100)]
    assert sum(chance is not None and chance < 0.05 for chance in seen) >= least_by_chance(100, 0.9)


def test_sequential_stopping_covers_nearly_as_often_as_promised() -> None:
    # Chow & Robbins (1965): exact as the half-width goes to 0. Here some 100 replications are needed, and the loss for
    # normal values is about 1 point (N. Starr, Annals of Mathematical Statistics 37 (1966) 36-50; from memory).
    hits, sizes = 0, []
    for study in range(500):
        draws = stream(14, study, "sequential").normal(3.0, 1.0, 400)
        found = replicate_until(lambda k, draws=draws: float(draws[k]), 0.2, 95)  # type: ignore[misc]
        assert found.reached
        hits += abs(found.interval.mean - 3.0) <= 0.2
        sizes.append(len(found.values))
    assert hits in chance_range(500, 0.94)
    # (1.96 / 0.2)^2 = 96.
    assert sum(sizes) / 500 == pytest.approx(96, abs=5)
