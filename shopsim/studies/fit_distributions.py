"""Distributions fitted to measured times by maximum likelihood.

A. M. Law, Simulation Modeling and Analysis, 5th ed., chapter 6; J. F. Lawless, Statistical Models and Methods for
Lifetime Data, 2nd ed., Wiley, 2003 (Weibull by its profile likelihood); H. Akaike, "A new look at the statistical model
identification", IEEE Transactions on Automatic Control 19 (1974) 716-723, to rank them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shopsim.distributions import Exponential, Gamma, LogNormal, Weibull, weibull_cv
from shopsim.distributions.formulas import Z_P90
from shopsim.studies._checks import require_numbers

# Standard deviations of the logarithm within which all families have parameters: 0.2 % and a factor of 20.
LEAST_SPREAD, MOST_SPREAD = 0.002, 3.0
LEAST_SHAPE, MOST_SHAPE = 0.001, 1e7


@dataclass(frozen=True, slots=True)
class Fit:
    """A fitted distribution, the logarithm of its likelihood, and Akaike's criterion (the lower the better)."""

    distribution: Exponential | Gamma | LogNormal | Weibull
    log_likelihood: float
    akaike: float


def fit_all(values: Sequence[float]) -> tuple[Fit, ...]:
    """Exponential, gamma, log-normal and Weibull, the best by Akaike's criterion first. Raises as `fit_gamma`."""
    fits = [fit(values) for fit in (fit_exponential, fit_gamma, fit_log_normal, fit_weibull)]
    return tuple(sorted(fits, key=lambda fit: fit.akaike))


def fit_exponential(values: Sequence[float]) -> Fit:
    """The exponential with the mean of the values. Raises ValueError for none and any not positive and finite."""
    _require_times(values, 1)
    mean = math.fsum(values) / len(values)
    return _fit(Exponential(mean), -len(values) * (1 + math.log(mean)), 1)


def fit_log_normal(values: Sequence[float]) -> Fit:
    """The log-normal whose logarithm has the values' own mean and deviation. Raises ValueError as `fit_gamma`."""
    logs = _logs(values)
    mu, sigma, n = float(logs.mean()), float(logs.std()), len(values)
    log_likelihood = -n * (math.log(sigma) + math.log(2 * math.pi) / 2 + 0.5 + mu)
    return _fit(LogNormal(math.exp(mu), math.exp(mu + Z_P90 * sigma)), log_likelihood, 2)


def fit_gamma(values: Sequence[float]) -> Fit:
    """The gamma with the values' mean and mean logarithm.

    Raises ValueError for fewer than two values, any that is not positive and finite, and values that hardly vary or
    vary beyond all measure.
    """
    from scipy.optimize import brentq
    from scipy.special import digamma

    mean_log = float(_logs(values).mean())
    n, mean = len(values), math.fsum(values) / len(values)
    excess = math.log(mean) - mean_log
    shape = brentq(lambda k: math.log(k) - float(digamma(k)) - excess, LEAST_SHAPE, MOST_SHAPE, xtol=1e-12)
    scale = mean / shape
    log_likelihood = n * ((shape - 1) * mean_log - shape - shape * math.log(scale) - math.lgamma(shape))
    return _fit(Gamma(mean, shape**-0.5), log_likelihood, 2)


def fit_weibull(values: Sequence[float]) -> Fit:
    """The Weibull by its profile likelihood. Raises ValueError as `fit_gamma`."""
    from scipy.optimize import brentq

    logs = _logs(values)
    n, mean_log, top = len(values), float(logs.mean()), float(logs.max())

    def slope(shape: float) -> float:
        # Powers of the share of the greatest value, which cannot overflow.
        powers = np.exp(shape * (logs - top))
        return float(powers @ logs / powers.sum()) - 1 / shape - mean_log

    shape = brentq(slope, LEAST_SHAPE, MOST_SHAPE, xtol=1e-12)
    log_scale = top + math.log(float(np.exp(shape * (logs - top)).mean())) / shape
    log_likelihood = n * (math.log(shape) - shape * log_scale + (shape - 1) * mean_log - 1)
    mean = math.exp(log_scale) * math.gamma(1 + 1 / shape)
    return _fit(Weibull(mean, weibull_cv(shape)), log_likelihood, 2)


def _fit(distribution: Exponential | Gamma | LogNormal | Weibull, log_likelihood: float, parameters: int) -> Fit:
    return Fit(distribution, log_likelihood, 2 * parameters - 2 * log_likelihood)


def _require_times(values: Sequence[float], at_least: int) -> None:
    require_numbers("values", values, at_least)
    if min(values) <= 0:
        raise ValueError(f"values must all be above 0, found {min(values)!r}")


def _logs(values: Sequence[float]) -> NDArray[np.float64]:
    _require_times(values, 2)
    logs: NDArray[np.float64] = np.log(np.asarray(values, dtype=float))
    if not LEAST_SPREAD <= logs.std() <= MOST_SPREAD:
        raise ValueError(
            f"values must vary by a factor of {math.exp(LEAST_SPREAD):.3f} to {math.exp(MOST_SPREAD):.0f} "
            f"(one standard deviation), found {math.exp(logs.std()):.4g}"
        )
    return logs
