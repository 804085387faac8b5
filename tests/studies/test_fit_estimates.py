"""Estimators for fits against published values, the source named beside each, and against samples of known laws."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from shopsim.distributions import Exponential, Gamma, LogNormal
from shopsim.published.statistics_fits import BEARINGS
from shopsim.studies.fit_estimates import (
    dispersion,
    exponential_life,
    mean_of,
    mean_of_times,
    robust_line,
    share_of,
    weibull_life,
)
from shopsim.studies.fit_rounded_up import fit_rounded_up, rounded_up_mean


def test_wilson_interval() -> None:
    # 81 of 263: 0.2553 to 0.3662. R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, table I (from memory).
    found = share_of(81, 263)
    assert (round(found.value, 4), round(found.low, 4), round(found.high, 4)) == (0.3080, 0.2553, 0.3662)
    # The same table: 0 of 20 gives 0 to 0.1611, 1 of 29 gives 0.0061 to 0.1718.
    assert [round(each, 4) for each in share_of(0, 20)[1:3]] == [0.0, 0.1611]
    assert [round(each, 4) for each in share_of(1, 29)[1:3]] == [0.0061, 0.1718]


def test_weibull_of_the_bearings() -> None:
    # Shape 2.10, scale 81.9: J. F. Lawless, Statistical Models and Methods for Lifetime Data (from memory).
    found = weibull_life(BEARINGS, [True] * 23)
    assert found.shape == pytest.approx(2.102059, abs=1e-5)
    assert found.scale == pytest.approx(81.87833, abs=1e-4)
    assert found.log_likelihood == pytest.approx(-113.691291, abs=1e-5)
    assert found.better


def test_weibull_with_lives_still_running_is_the_greatest_likelihood() -> None:
    # Derived: the log-likelihood written out, with scipy's density and survival, at the solution and beside it.
    lives, ended = (5.0, 9.0, 14.0, 20.0, 20.0, 20.0), (True, True, True, True, False, False)

    def likelihood(shape: float, scale: float) -> float:
        law = stats.weibull_min(shape, scale=scale)
        return sum(law.logpdf(x) if e else law.logsf(x) for x, e in zip(lives, ended, strict=True))

    found = weibull_life(lives, ended)
    top = likelihood(found.shape, found.scale)
    assert found.log_likelihood == pytest.approx(top, abs=1e-9)
    beside = [(found.shape * a, found.scale * b) for a, b in ((1.01, 1), (0.99, 1), (1, 1.01), (1, 0.99))]
    assert all(likelihood(*each) < top for each in beside)
    assert found.exponential_log_likelihood == pytest.approx(4 * math.log(4 / 88) - 4)


def test_exponential_with_time_censoring() -> None:
    # Ten failures in 2000 h: MTBF 200 h. B. Epstein and M. Sobel, JASA 48 (1953) 486-502: total time over failures;
    # 90 % bounds by chi-squared tables (20 and 22 degrees of freedom: 10.851 and 33.924).
    found = exponential_life(2000, 10, 90)
    assert found.value == 200
    assert found.low == pytest.approx(4000 / 33.924, rel=1e-4)
    assert found.high == pytest.approx(4000 / 10.851, rel=1e-4)


def test_exponential_interval_keeps_its_promise() -> None:
    rng = np.random.default_rng(5)
    held = 0
    for _ in range(2000):
        times = np.cumsum(rng.exponential(10, 200))
        failures = int((times < 100).sum())
        held += failures > 0 and (found := exponential_life(100, failures)).low <= 10 <= found.high
    # At least 95 % (the interval is conservative), three standard errors below at worst; none failed is no interval.
    assert held / 2000 >= 0.95 - 3 * math.sqrt(0.95 * 0.05 / 2000)


def test_dispersion_is_the_method_of_moments_of_a_negative_binomial() -> None:
    # C. I. Bliss and R. A. Fisher, Biometrics 9 (1953) 176-200: red mites on 150 apple leaves, mean 1.1467, variance
    # 2.2736 (from memory), so that the index by moments is 1.167.
    leaves = {0: 70, 1: 38, 2: 17, 3: 10, 4: 9, 5: 3, 6: 2, 7: 1}
    counts = [float(mites) for mites, times in leaves.items() for _ in range(times)]
    mean = sum(counts) / len(counts)
    found = dispersion(counts, [mean] * len(counts), 1)
    assert mean == pytest.approx(1.1467, abs=5e-5)
    assert found.value * mean == pytest.approx(2.2736, abs=5e-5)
    assert mean / (found.value - 1) == pytest.approx(1.167, abs=1e-3)


def test_line_eases_outliers() -> None:
    rng = np.random.default_rng(3)
    x = rng.uniform(5, 60, 400)
    y = (3 + 1.2 * x) * (1 + 0.1 * rng.standard_normal(400))
    y[::20] *= 8
    columns = np.column_stack([np.ones(400), x])
    found = robust_line(columns, y, x)
    for i, true in enumerate((3, 1.2)):
        assert abs(found.coefficients[i] - true) < 3 * found.errors[i]
    assert found.eased >= 20
    plain = np.linalg.lstsq(columns, y, rcond=None)[0]
    assert abs(plain[1] - 1.2) > 0.1


def test_line_without_scatter_is_exact() -> None:
    x = np.array([1.0, 2.0, 4.0, 8.0])
    found = robust_line(np.column_stack([np.ones(4), x]), 2 + 3 * x, x)
    assert found.coefficients == pytest.approx((2, 3), abs=1e-9)
    with pytest.raises(ValueError, match="depend on each other"):
        robust_line(np.ones((6, 2)), np.ones(6), np.ones(6))


def test_mean_interval() -> None:
    # Student's own sleep data, drug 2 minus drug 1: mean 1.58, 95 % interval 0.70 to 2.46 (Biometrika 6, 1908).
    found = mean_of([1.2, 2.4, 1.3, 1.3, 0.0, 1.0, 1.8, 0.8, 4.6, 1.4])
    assert [round(each, 2) for each in found[:3]] == [1.58, 0.70, 2.46]


@pytest.mark.parametrize(
    "law", [LogNormal(1.8, 5.0), Gamma(2.2, 0.8), Exponential(3.0)], ids=lambda law: law.describe()
)
def test_amounts_rounded_up_are_found_again(law: LogNormal | Gamma | Exponential) -> None:
    rng = np.random.default_rng(11)
    counts = np.maximum(1, np.ceil(law.sample(rng, 3000))).astype(int).tolist()
    found = fit_rounded_up(counts)
    assert found is not None
    error = float(np.std(counts)) / math.sqrt(len(counts))
    assert abs(rounded_up_mean(law) - np.mean(counts)) < 3 * error
    assert abs(rounded_up_mean(found.distribution) - np.mean(counts)) < error
    assert found.how.startswith(
        {"LogNormal": "log_normal", "Gamma": "gamma"}.get(type(law).__name__, "")
    ) or isinstance(law, Exponential)


def test_no_family_is_forced_on_amounts_that_follow_none() -> None:
    # Always a full or half dozen.
    assert fit_rounded_up([6] * 60 + [12] * 40 + [1] * 5) is None


def test_a_mean_of_times_is_as_wide_as_a_plain_one_but_lies_higher() -> None:
    # 2, 4, 6: mean 4, half-width 4.3027 x 2 / sqrt(3) = 4.9683; on the scale of logarithms 4.9683 / 4.
    found = mean_of_times([2.0, 4.0, 6.0])
    assert found.value == 4.0
    assert found.low == pytest.approx(4 * math.exp(-4.9683 / 4), rel=1e-4)
    assert found.high == pytest.approx(4 * math.exp(4.9683 / 4), rel=1e-4)
    with pytest.raises(ValueError, match="shortest must be above 0"):
        mean_of_times([0.0, 1.0])


def test_skewed_times_lie_inside_as_often_as_said() -> None:
    rng = np.random.default_rng(9)
    trials = rng.gamma(2.0, 0.5, (3000, 13))
    hits = {
        name: sum(found.low <= 1.0 <= found.high for found in map(of, trials.tolist()))
        for name, of in (("plain", mean_of), ("times", mean_of_times))
    }
    low, _ = stats.binom.ppf([0.005, 0.995], 3000, 0.95)
    assert hits["plain"] < low
    assert hits["times"] > hits["plain"] + 30


def test_the_ratio_of_two_coefficients_knows_that_they_pull_against_each_other() -> None:
    rng = np.random.default_rng(3)
    hits = {"ratio": 0, "scaled": 0}
    for _ in range(400):
        x = rng.uniform(5, 40, 120)
        y = (3 + x) * rng.triangular(0.7, 1.0, 1.3, 120) / 0.8
        line = robust_line(np.column_stack([np.ones(120), x]), y, x)
        for name, found in (
            ("ratio", line.ratio(0, 1)), ("scaled", line.estimate(0).scaled(1 / line.coefficients[1])),
        ):  # fmt: skip
            hits[name] += found.low <= 3 <= found.high
    low, high = stats.binom.ppf([0.005, 0.995], 400, 0.95)
    assert low <= hits["ratio"] <= high
    assert hits["ratio"] > hits["scaled"]


def test_a_share_and_a_mean_of_too_little() -> None:
    with pytest.raises(ValueError, match=r"^hits must be from 0 to 3, found 4$"):
        share_of(4, 3)
    one = mean_of([2.5])
    assert (one.value, one.low, one.high, one.n) == (2.5, 2.5, 2.5, 1)
