"""Small published estimators with intervals, for inputs fitted from records.

W. Q. Meeker and L. A. Escobar, Statistical Methods for Reliability Data, Wiley, 1998, chapters 7 and 8 (exponential and
Weibull lives with censoring);
E. B. Wilson, "Probable inference, the law of succession, and statistical inference", JASA
22 (1927) 209-212; P. McCullagh and J. A. Nelder, Generalized Linear Models, 2nd ed., 1989 (Pearson's dispersion); P. J.
Huber, "Robust estimation of a location parameter", Annals of Mathematical Statistics 35 (1964) 73-101.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from shopsim.studies._checks import error_share, require_above_zero, require_count, require_numbers

Floats = NDArray[np.float64]
# Huber's constant: 95 % efficient for normal errors.
HUBER_K = 1.345


class Estimate(NamedTuple):
    """A value with its interval, and how many observations it rests on."""

    value: float
    low: float
    high: float
    n: int

    def scaled(self, factor: float) -> Estimate:
        """The same in another unit."""
        return Estimate(self.value * factor, self.low * factor, self.high * factor, self.n)


def normal_quantile(confidence_pct: float) -> float:
    """The two-sided standard normal quantile of a confidence, 1.96 for 95."""
    from scipy.special import ndtri

    return float(ndtri(1 - error_share(confidence_pct) / 2))


def share_of(hits: int, n: int, confidence_pct: float = 95.0) -> Estimate:
    """A share with Wilson's interval. Raises ValueError for no trials, and more hits than trials."""
    require_count("n", n, 1)
    if not 0 <= hits <= n:
        raise ValueError(f"hits must be from 0 to {n}, found {hits!r}")
    z = normal_quantile(confidence_pct)
    share, weight = hits / n, 1 + z * z / n
    middle = (share + z * z / (2 * n)) / weight
    half = z * math.sqrt(share * (1 - share) / n + z * z / (4 * n * n)) / weight
    return Estimate(share, max(0.0, middle - half) if hits else 0.0, min(1.0, middle + half) if hits < n else 1.0, n)


def mean_of(values: Sequence[float], confidence_pct: float = 95.0) -> Estimate:
    """A mean with Student's interval; all there is for one value. Raises ValueError for none."""
    from scipy.special import stdtrit

    require_numbers("values", values, 1)
    n = len(values)
    mean = math.fsum(values) / n
    if n == 1:
        return Estimate(mean, mean, mean, 1)
    deviation = math.sqrt(math.fsum((value - mean) ** 2 for value in values) / (n - 1))
    half = float(stdtrit(n - 1, 1 - error_share(confidence_pct) / 2)) * deviation / math.sqrt(n)
    return Estimate(mean, mean - half, mean + half, n)


def mean_of_times(values: Sequence[float], confidence_pct: float = 95.0) -> Estimate:
    """A mean of values above 0 with Student's interval on the scale of logarithms.

    Times are skewed to the right: the plain interval of a dozen of them ends too low (92 % of 95 for repairs in
    `tests/evidence`), this one hardly. Raises ValueError for none, and any that is not above 0.
    """
    plain = mean_of(values, confidence_pct)
    require_above_zero(shortest=min(values))
    factor = math.exp((plain.high - plain.value) / plain.value)
    return Estimate(plain.value, plain.value / factor, plain.value * factor, plain.n)


def exponential_life(total: float, failures: int, confidence_pct: float = 95.0) -> Estimate:
    """The mean time between failures from the total time under watch, which ends at a time (type-I censoring).

    Total over failures, with the chi-squared interval whose upper bound has one more pair of degrees of freedom for the
    life still running (Meeker & Escobar, section 7.7). Raises ValueError for no failure.
    """
    from scipy.special import chdtri

    require_above_zero(total=total)
    require_count("failures", failures, 1)
    tail = error_share(confidence_pct) / 2
    low = 2 * total / float(chdtri(2 * failures + 2, tail))
    high = 2 * total / float(chdtri(2 * failures, 1 - tail))
    return Estimate(total / failures, low, high, failures)


class WeibullLife(NamedTuple):
    """A Weibull fitted to lives, some still running; the log-likelihoods of it and of the exponential."""

    shape: float
    scale: float
    log_likelihood: float
    exponential_log_likelihood: float

    @property
    def better(self) -> bool:
        """Whether Akaike's criterion prefers it to the exponential: by more than its further parameter costs."""
        return self.log_likelihood - self.exponential_log_likelihood > 1


def weibull_life(lives: Sequence[float], ended: Sequence[bool]) -> WeibullLife:
    """The Weibull by maximum likelihood, right-censored lives included (Meeker & Escobar, section 8.3).

    Raises ValueError unless at least two lives of different length have ended.
    """
    from scipy.optimize import brentq

    require_numbers("lives", lives, 2)
    require_above_zero(shortest=min(lives))
    logs = np.log(np.asarray(lives, dtype=float))
    own = logs[np.asarray(ended, dtype=bool)]
    failures = len(own)
    if failures < 2 or float(own.max() - own.min()) < 1e-9:
        raise ValueError(f"at least two lives of different length must have ended, found {failures}")
    top, mean_log = float(logs.max()), float(own.mean())

    def slope(shape: float) -> float:
        powers = np.exp(shape * (logs - top))
        return float(powers @ logs / powers.sum()) - 1 / shape - mean_log

    shape = brentq(slope, 0.02, 200.0, xtol=1e-12)
    log_scale = top + math.log(float(np.exp(shape * (logs - top)).sum()) / failures) / shape
    found = failures * (math.log(shape) - shape * log_scale) + (shape - 1) * failures * mean_log - failures
    total = float(np.exp(logs).sum())
    return WeibullLife(shape, math.exp(log_scale), found, -failures * (1 + math.log(total / failures)))


def dispersion(counts: Sequence[float], expected: Sequence[float], parameters: int,
               confidence_pct: float = 95.0) -> Estimate:  # fmt: skip
    """Variance over mean of counts: Pearson's statistic over its degrees of freedom.

    The interval comes from the scatter of the squared residuals, on the scale of logarithms. With a common expectation
    it is the method of moments for a negative binomial (mean² / (variance − mean) is its index). Raises ValueError
    unless there are more counts than parameters, each expected above 0.
    """
    require_numbers("counts", counts, parameters + 2)
    require_above_zero(least_expected=min(expected))
    squares = (np.asarray(counts, dtype=float) - np.asarray(expected)) ** 2 / np.asarray(expected)
    n = len(squares)
    value = float(squares.sum()) / (n - parameters)
    error = float(squares.std(ddof=1)) / math.sqrt(n) / max(float(squares.mean()), 1e-12)
    factor = math.exp(normal_quantile(confidence_pct) * error)
    return Estimate(value, value / factor, value * factor, n)


class Line(NamedTuple):
    """A fitted linear relation: one coefficient a column, their covariance, and how many outliers were eased."""

    coefficients: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    eased: int
    n: int

    @property
    def errors(self) -> tuple[float, ...]:
        """The standard error of each coefficient."""
        return tuple(math.sqrt(max(0.0, row[i])) for i, row in enumerate(self.covariance))

    def estimate(self, i: int, confidence_pct: float = 95.0) -> Estimate:
        """One coefficient with its interval."""
        half = normal_quantile(confidence_pct) * self.errors[i]
        return Estimate(self.coefficients[i], self.coefficients[i] - half, self.coefficients[i] + half, self.n)

    def ratio(self, i: int, j: int, confidence_pct: float = 95.0) -> Estimate:
        """One coefficient over another with its interval (delta method): what pulls one down lifts the other."""
        of, cov = self.coefficients[j], self.covariance
        value = self.coefficients[i] / of
        variance = (cov[i][i] - 2 * value * cov[i][j] + value**2 * cov[j][j]) / of**2
        half = normal_quantile(confidence_pct) * math.sqrt(max(0.0, variance))
        return Estimate(value, value - half, value + half, self.n)


def robust_line(columns: Floats, values: Floats, size: Floats) -> Line:
    """Least squares of values on columns, errors in proportion to `size`, outliers eased by Huber's weights.

    Standard errors allow for uneven scatter (the sandwich of P. J. Huber, 1967, and H. White, Econometrica 48, 1980;
    with leverage: J. G. MacKinnon and H. White, Journal of Econometrics 29 (1985) 305-325).
    Raises ValueError for fewer rows than columns and two, and columns that depend on each other.
    """
    n, k = columns.shape
    require_count("rows", n, k + 2)
    x, y = columns / size[:, None], values / size
    if np.linalg.matrix_rank(x) < k:
        raise ValueError("the columns depend on each other; more different rows are needed")
    weights: Floats = np.ones(n)
    found: Floats = np.zeros(k)
    for _ in range(50):
        root = np.sqrt(weights)
        new: Floats = np.asarray(np.linalg.lstsq(x * root[:, None], y * root, rcond=None)[0], dtype=np.float64)
        residual = y - x @ new
        spread = float(np.median(np.abs(residual - np.median(residual)))) / 0.6745
        done = bool(np.allclose(new, found, rtol=1e-10, atol=1e-12))
        found = new
        if spread <= 1e-12 or done:
            break
        weights = np.minimum(1.0, HUBER_K * spread / np.maximum(np.abs(residual), 1e-300))
    # An eased residual no longer moves with the coefficients (the derivative of Huber's function).
    free = x[weights >= 1.0]
    bread = np.linalg.pinv(free.T @ free)
    # A row that pulls the line to itself has too small a residual (HC3 of MacKinnon and White).
    leverage = np.minimum(0.9, np.einsum("ij,jk,ik->i", x, bread, x))
    scores = x * (weights * residual / (1 - leverage))[:, None]
    spreads = bread @ (scores.T @ scores) @ bread
    return Line(tuple(found.tolist()), tuple(map(tuple, spreads.tolist())), int((weights < 0.5).sum()), n)
