"""Measured values beside the quantiles of the distribution fitted to them, lives that were cut off among them.

Each value that was seen to its end stands at the middle of the step that the estimate of E. L. Kaplan and P. Meier
("Nonparametric estimation from incomplete observations", JASA 53 (1958) 457-481) makes there (W. Q. Meeker and L. A.
Escobar, Statistical Methods for Reliability Data, Wiley, 1998, section 6.4; from memory); without lives cut off that
is (i - 1/2) / n.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from shopsim.distributions import Distribution, Exponential, Gamma, LogNormal, Weibull
from shopsim.distributions.formulas import Z_P90

# So many points draw a picture; of more values, evenly spread ones are shown.
MOST_POINTS = 200


class Sample(NamedTuple):
    """What a distribution was fitted to: values seen to their end, and those cut off while still `running`."""

    distribution: Distribution
    values: tuple[float, ...]
    unit: str
    running: tuple[float, ...] = ()


class Point(NamedTuple):
    """A measured value and the quantile that the fitted distribution has in its place."""

    fitted: float
    measured: float


def points_of(sample: Sample) -> list[Point]:
    """The points of a Q-Q picture in rising order, at most 200; none for a distribution without a shape."""
    if not isinstance(sample.distribution, Exponential | Gamma | LogNormal | Weibull):
        return []
    found = [
        Point(_quantile(sample.distribution, share), value) for share, value in _positions(sample) if 0 < share < 1
    ]
    if len(found) <= MOST_POINTS:
        return found
    step = (len(found) - 1) / (MOST_POINTS - 1)
    return [found[round(i * step)] for i in range(MOST_POINTS)]


def _positions(sample: Sample) -> list[tuple[float, float]]:
    """(share at the middle of its step, value) of each value seen to its end."""
    # What ends at the same time as something is cut off ends first.
    events = sorted([(value, 0) for value in sample.values] + [(value, 1) for value in sample.running])
    left, still = 1.0, len(events)
    made = []
    for value, cut_off in events:
        if not cut_off:
            after = left * (1 - 1 / still)
            made.append((1 - (left + after) / 2, value))
            left = after
        still -= 1
    return made


def _quantile(distribution: Exponential | Gamma | LogNormal | Weibull, share: float) -> float:
    from scipy.special import gammaincinv, ndtri

    if isinstance(distribution, Exponential):
        return -distribution.mean * math.log1p(-share)
    if isinstance(distribution, Gamma):
        shape = distribution.cv**-2
        return float(gammaincinv(shape, share)) * distribution.mean / shape
    if isinstance(distribution, LogNormal):
        spread = math.log(distribution.p90 / distribution.median) / Z_P90
        return distribution.median * math.exp(spread * float(ndtri(share)))
    scale = distribution.mean / math.gamma(1 + 1 / distribution.shape)
    return float(scale * (-math.log1p(-share)) ** (1 / distribution.shape))
