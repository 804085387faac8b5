"""Critical constants of multiple comparisons that have no closed form, by numerical integration.

C. W. Dunnett, "A multiple comparison procedure for comparing several treatments with a control", JASA 50 (1955)
1096-1121; Y. Rinott, "On two-stage selection procedures and related probability-inequalities", Communications in
Statistics A7 (1978) 799-811.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from shopsim.studies._checks import error_share, require_above_zero, require_count

Column = NDArray[np.float64]

GRID_POINTS = 321
# Beyond these shares on either side a density adds nothing to the sixth digit of a constant.
TAIL = 1e-14
Z_REACH = 8.5


@lru_cache(maxsize=256)
def dunnett_constant(options: int, degrees: float = math.inf, confidence_pct: float = 95.0) -> float:
    """How many standard errors of a difference an option must lie above the standard to be called better.

    One-sided, for `options` compared with one standard, all samples equally large (correlation 1/2), `degrees` of
    freedom of the pooled variance, infinity for a known one. All comparisons hold at once with the stated confidence.
    Raises ValueError for fewer than one option, degrees not above 0 and an impossible confidence.
    """
    require_count("options", options, 1)
    if math.isinf(degrees):
        scale, chance_of_scale = np.ones(1), np.ones(1)
    else:
        require_above_zero(degrees=degrees)
        squares, chance_of_scale = _chi_square_grid(degrees)
        scale = np.sqrt(squares / degrees)
    z, chance_of_z = _normal_grid()

    def covered(constant: float) -> float:
        each = _normal_cdf(z[None, :] + math.sqrt(2) * constant * scale[:, None])
        return float(chance_of_scale @ each**options @ chance_of_z)

    return _root(covered, 1 - error_share(confidence_pct))


@lru_cache(maxsize=256)
def rinott_constant(options: int, first: int, confidence_pct: float = 95.0) -> float:
    """Rinott's h, for choosing the best of `options` after `first` replications of each.

    The chance that the best is chosen is then at least the stated confidence, whatever the variances, provided it is
    better than the second by the indifference zone. Raises ValueError for fewer than two options or two replications,
    and unless the confidence is above that of a blind choice.
    """
    require_count("options", options, 2)
    require_count("first", first, 2)
    confidence = 1 - error_share(confidence_pct)
    if confidence <= 1 / options:
        raise ValueError(f"confidence_pct must be above {100 / options:.4g}, a blind choice, found {confidence_pct!r}")
    squares, chance = _chi_square_grid(first - 1)
    spread = np.sqrt((first - 1) * (1 / squares[:, None] + 1 / squares[None, :]))

    def covered(constant: float) -> float:
        beats_one = _normal_cdf(constant / spread) @ chance
        return float(chance @ beats_one ** (options - 1))

    return _root(covered, confidence)


def _chi_square_grid(degrees: float) -> tuple[Column, Column]:
    """Points and their weights; even steps of the logarithm, on which the density falls off fast at both ends."""
    from scipy.stats import chi2

    points = np.geomspace(chi2.ppf(TAIL, degrees), chi2.isf(TAIL, degrees), GRID_POINTS)
    return _weighed(points, chi2.logpdf(points, degrees) + np.log(points))


def _normal_grid() -> tuple[Column, Column]:
    points = np.linspace(-Z_REACH, Z_REACH, GRID_POINTS)
    return _weighed(points, -(points**2) / 2)


def _weighed(points: Column, log_density: Column) -> tuple[Column, Column]:
    weights = np.exp(log_density - log_density.max())
    return points, weights / weights.sum()


def _normal_cdf(z: Column) -> Column:
    from scipy.special import ndtr

    cdf: Column = ndtr(z)
    return cdf


def _root(covered: Callable[[float], float], confidence: float) -> float:
    from scipy.optimize import brentq

    high = 1.0
    while covered(high) < confidence or covered(-high) > confidence:
        high *= 2
    return float(brentq(lambda constant: covered(constant) - confidence, -high, high, xtol=1e-10))
