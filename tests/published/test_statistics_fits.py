"""Distributions fitted by maximum likelihood: check E-19, a textbook's gamma, and known parameters found."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shopsim.distributions import Exponential, Gamma, LogNormal, Weibull
from shopsim.streams import stream
from shopsim.studies.fit_distributions import fit_all, fit_exponential, fit_gamma, fit_log_normal, fit_weibull

# J. Lieblein & M. Zelen, Journal of Research of the National Bureau of Standards 57 (1956) 273-316: lives of 23 ball
# bearings, million revolutions. Weibull by maximum likelihood: shape 2.10, scale 81.9 as in J. F. Lawless, Statistical
# Models and Methods for Lifetime Data (from memory; recomputed by profile likelihood and by scipy).
BEARINGS = [
    17.88, 28.92, 33.00, 41.52, 42.12, 45.60, 48.48, 51.84, 51.96, 54.12, 55.56, 67.80, 68.64, 68.64, 68.88, 84.12,
    93.12, 98.64, 105.12, 105.84, 127.92, 128.04, 173.40,
]  # fmt: skip


def test_e19_weibull() -> None:
    found = fit_weibull(BEARINGS)
    assert isinstance(found.distribution, Weibull)
    assert found.distribution.shape == pytest.approx(2.10205887519, abs=1e-4)
    assert found.distribution.scale == pytest.approx(81.8783340516, abs=1e-2)
    assert found.log_likelihood == pytest.approx(-113.691290932, abs=1e-4)


def test_e19_exponential() -> None:
    found = fit_exponential(BEARINGS)
    assert found.distribution.mean == pytest.approx(72.2243478261, abs=1e-9)
    assert found.log_likelihood == pytest.approx(-121.434875981, abs=1e-6)


def test_e19_log_normal() -> None:
    found = fit_log_normal(BEARINGS)
    assert isinstance(found.distribution, LogNormal)
    assert math.log(found.distribution.median) == pytest.approx(4.15045449389, abs=1e-9)
    assert found.distribution.sigma == pytest.approx(0.521649334046, abs=1e-9)
    assert found.log_likelihood == pytest.approx(-113.128566737, abs=1e-6)


def test_e19_best_of_the_three_is_log_normal() -> None:
    ranked = [type(fit.distribution) for fit in fit_all(BEARINGS)]
    assert [kind for kind in ranked if kind is not Gamma] == [LogNormal, Weibull, Exponential]


# -- further cases ----------------------------------------------------------------------------------------------------


def test_gamma_of_survival_times() -> None:
    # Lawless, after A. J. Gross & V. A. Clark, Survival Distributions, Wiley, 1975: weeks that 20 mice lived after
    # irradiation; gamma by maximum likelihood: shape 8.80, scale 12.89 (data and values from memory).
    weeks = [152, 152, 115, 109, 137, 88, 94, 77, 160, 165, 125, 40, 128, 123, 136, 101, 62, 153, 83, 69]
    found = fit_gamma(weeks).distribution
    assert isinstance(found, Gamma)
    assert found.cv**-2 == pytest.approx(8.80, abs=0.005)
    assert found.mean * found.cv**2 == pytest.approx(12.89, abs=0.005)


@pytest.mark.parametrize("truth", [Exponential(30), Gamma(30, 0.4), LogNormal(30, 90), Weibull(30, 0.5)])
def test_known_parameters_come_back(truth: Exponential | Gamma | LogNormal | Weibull) -> None:
    # 20,000 values: the standard error of a mean is below 1 % of it, and the true family is ahead by dozens of Akaike's
    # points (the exponential is a special case of gamma and Weibull, which gain next to nothing).
    sample = truth.sample(stream(19, 0, "fit"), 20_000).tolist()
    fits = fit_all(sample)
    best = next(fit for fit in fits if type(fit.distribution) is type(truth))
    assert best.akaike <= fits[0].akaike + 4
    assert best.distribution.mean == pytest.approx(truth.mean, rel=0.03)
    assert math.sqrt(best.distribution.variance) == pytest.approx(math.sqrt(truth.variance), rel=0.05)


def test_likelihood_is_at_its_top() -> None:
    # Exact for the gamma's density (Law, section 6.2.2): no neighbour fits better.
    def log_likelihood(shape: float, scale: float) -> float:
        x = np.array(BEARINGS)
        return float(np.sum((shape - 1) * np.log(x) - x / scale - shape * math.log(scale) - math.lgamma(shape)))

    found = fit_gamma(BEARINGS)
    assert isinstance(found.distribution, Gamma)
    shape, scale = found.distribution.cv**-2, found.distribution.mean * found.distribution.cv**2
    assert found.log_likelihood == pytest.approx(log_likelihood(shape, scale), abs=1e-9)
    for more_shape, more_scale in [(1.01, 1), (0.99, 1), (1, 1.01), (1, 0.99), (1.01, 0.99)]:
        assert log_likelihood(shape * more_shape, scale * more_scale) < found.log_likelihood
