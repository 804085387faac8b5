"""Distributions fitted by maximum likelihood to published lives."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shopsim.distributions import Gamma, LogNormal, Weibull
from shopsim.published.case import Case, Finding
from shopsim.studies.fit_distributions import fit_all, fit_exponential, fit_gamma, fit_log_normal, fit_weibull

# Million revolutions.
BEARINGS = (
    17.88, 28.92, 33.00, 41.52, 42.12, 45.60, 48.48, 51.84, 51.96, 54.12, 55.56, 67.80, 68.64, 68.64, 68.88, 84.12,
    93.12, 98.64, 105.12, 105.84, 127.92, 128.04, 173.40,
)  # fmt: skip
# Weeks lived after irradiation.
MICE = (152, 152, 115, 109, 137, 88, 94, 77, 160, 165, 125, 40, 128, 123, 136, 101, 62, 153, 83, 69)


def _bearings(_full: bool) -> Iterator[Finding]:
    weibull, exponential, log_normal = fit_weibull(BEARINGS), fit_exponential(BEARINGS), fit_log_normal(BEARINGS)
    assert isinstance(weibull.distribution, Weibull)
    assert isinstance(log_normal.distribution, LogNormal)
    yield Finding("Weibull, shape", 2.10205887519, weibull.distribution.shape, 1e-4)
    yield Finding("Weibull, scale", 81.8783340516, weibull.distribution.scale, 1e-2)
    yield Finding("exponential, mean", 72.2243478261, exponential.distribution.mean, 1e-9)
    yield Finding("log-normal, mu", 4.15045449389, math.log(log_normal.distribution.median), 1e-9)
    yield Finding("log-normal, sigma", 0.521649334046, log_normal.distribution.sigma, 1e-9)
    yield Finding("Weibull, log likelihood", -113.691290932, weibull.log_likelihood, 1e-4)
    yield Finding("exponential, log likelihood", -121.434875981, exponential.log_likelihood, 1e-6)
    yield Finding("log-normal, log likelihood", -113.128566737, log_normal.log_likelihood, 1e-6)
    ranked = [type(fit.distribution) for fit in fit_all(BEARINGS)]
    yield Finding("best of the three", "LogNormal", next(kind.__name__ for kind in ranked if kind is not Gamma))


def _mice(_full: bool) -> Iterator[Finding]:
    found = fit_gamma(MICE).distribution
    assert isinstance(found, Gamma)
    yield Finding("gamma, shape", 8.80, found.cv**-2, 0.005)
    yield Finding("gamma, scale", 12.89, found.mean * found.cv**2, 0.005)


CASES = (
    Case(
        "E-19", "Lives of ball bearings, fitted by maximum likelihood",
        "J. Lieblein & M. Zelen, Journal of Research of the National Bureau of Standards 57 (1956) 273-316; shape "
        "2.10, scale 81.9 as in J. F. Lawless, Statistical Models and Methods for Lifetime Data (from memory; "
        "recomputed by profile likelihood and by scipy)",
        "what the search for the top of the likelihood leaves", _bearings,
    ),
    Case(
        "X-76", "Survival times fitted by a gamma",
        "Lawless, after A. J. Gross & V. A. Clark, Survival Distributions, Wiley, 1975: shape 8.80, scale 12.89 "
        "(data and values from memory)",
        "two printed digits", _mice,
    ),
)  # fmt: skip
