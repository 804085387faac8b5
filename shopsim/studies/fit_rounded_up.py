"""Distributions for whole numbers that are a continuous amount rounded up, as the model draws pieces of a line.

Each whole number k stands for an amount above k − 1 and up to k: maximum likelihood from interval-censored data (J. F.
Lawless, Statistical Models and Methods for Lifetime Data, 2nd ed., 2003, section 2.3), ranked by Akaike's criterion. A
family is kept only if Pearson's chi-squared test does not reject it at 1 %.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from shopsim.distributions import Distribution, Exponential, Gamma, LogNormal
from shopsim.distributions.formulas import Z_P90

_LEAST = 30
_REJECTED_BELOW = 0.01
_LEAST_EXPECTED = 5.0
_NEGLIGIBLE = 1e-9


@dataclass(frozen=True, slots=True)
class RoundedUp:
    """The chosen distribution before rounding, and why."""

    distribution: Distribution
    how: str


def fit_rounded_up(counts: Sequence[int]) -> RoundedUp | None:
    """The best family for whole numbers from 1 on; None for fewer than 30, for all alike, or if none fits."""
    from scipy.optimize import minimize
    from scipy.stats import chi2

    seen, times = np.unique(np.asarray(counts), return_counts=True)
    if len(counts) < _LEAST or len(seen) < 3:
        return None
    mean = float(np.mean(counts))
    start = {"log_normal": [math.log(max(0.6, mean * 0.7)), math.log(0.8)], "gamma": [0.3, math.log(mean)],
             "exponential": [math.log(mean)]}  # fmt: skip
    found = []
    for name, guess in start.items():
        best = minimize(lambda p, name=name: -_log_likelihood(name, p, seen, times), guess, method="Nelder-Mead",
                        options={"xatol": 1e-6, "fatol": 1e-8, "maxiter": 2000})  # fmt: skip
        found.append((2 * len(guess) + 2 * float(best.fun), name, best.x))
    found.sort(key=lambda each: each[0])
    _, name, parameters = found[0]
    statistic, freedom = _chi_squared(name, parameters, np.asarray(counts))
    if freedom > 0 and float(chi2.sf(statistic, freedom)) < _REJECTED_BELOW:
        return None
    ahead = found[1][0] - found[0][0]
    how = f"{name} rounded up, AIC {ahead:.1f} ahead of {found[1][1]}"
    return RoundedUp(_distribution(name, parameters), how)


def _cdf(name: str, parameters: Any, at: Any) -> Any:
    from scipy.special import gammainc, ndtr

    at = np.asarray(at, dtype=float)
    if name == "log_normal":
        with np.errstate(divide="ignore"):
            return ndtr((np.log(at) - parameters[0]) / math.exp(parameters[1]))
    if name == "gamma":
        return gammainc(math.exp(parameters[0]), at / math.exp(parameters[1]))
    return -np.expm1(-at / math.exp(parameters[0]))


def _log_likelihood(name: str, parameters: Any, seen: Any, times: Any) -> float:
    if max(abs(each) for each in parameters) > 12:
        return -1e12
    chances = _cdf(name, parameters, seen) - _cdf(name, parameters, seen - 1)
    return float(times @ np.log(np.maximum(chances, 1e-300)))


def _chi_squared(name: str, parameters: Any, counts: Any) -> tuple[float, int]:
    """Pearson's statistic over cells of at least five expected, and its degrees of freedom."""
    n, edges, low = len(counts), [0], 0
    for k in range(1, int(counts.max()) + 2):
        inside = n * float(_cdf(name, parameters, k) - _cdf(name, parameters, low))
        rest = n * (1 - float(_cdf(name, parameters, k)))
        if inside >= _LEAST_EXPECTED and rest >= _LEAST_EXPECTED:
            edges.append(k)
            low = k
    chances = np.diff([*(float(_cdf(name, parameters, edge)) for edge in edges), 1.0])
    observed = np.histogram(counts, bins=[*(edge + 0.5 for edge in edges), np.inf])[0]
    expected = n * chances
    return float(((observed - expected) ** 2 / expected).sum()), len(expected) - 1 - len(parameters)


def _distribution(name: str, parameters: Any) -> Distribution:
    if name == "log_normal":
        mu, sigma = float(parameters[0]), math.exp(float(parameters[1]))
        return LogNormal(math.exp(mu), math.exp(mu + Z_P90 * sigma))
    if name == "gamma":
        shape, scale = math.exp(float(parameters[0])), math.exp(float(parameters[1]))
        return Gamma(shape * scale, shape**-0.5)
    return Exponential(math.exp(float(parameters[0])))


def rounded_up_mean(distribution: LogNormal | Gamma | Exponential) -> float:
    """The mean of an amount rounded up to whole numbers: the sum of the chances to exceed 0, 1, 2, …"""
    name, parameters = _parameters(distribution)
    total, k = 1.0, 1
    while (rest := 1 - float(_cdf(name, parameters, k))) > _NEGLIGIBLE:
        total += rest
        k += 1
    return total


def _parameters(distribution: LogNormal | Gamma | Exponential) -> tuple[str, list[float]]:
    if isinstance(distribution, LogNormal):
        spread = math.log(distribution.p90 / distribution.median) / Z_P90
        return "log_normal", [math.log(distribution.median), math.log(spread)]
    if isinstance(distribution, Gamma):
        shape = distribution.cv**-2
        return "gamma", [math.log(shape), math.log(distribution.mean / shape)]
    return "exponential", [math.log(distribution.mean)]
