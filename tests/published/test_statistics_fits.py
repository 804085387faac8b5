"""What goes beyond the published fits: known parameters come back, and the likelihood is at its top."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shopsim.distributions import Exponential, Gamma, LogNormal, Weibull
from shopsim.published.statistics_fits import BEARINGS
from shopsim.streams import stream
from shopsim.studies.fit_distributions import fit_all, fit_gamma


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
