"""How much later one curve crosses a target than another, both known from the same replications.

Replication k meets the same orders on either curve, so what luck does to one root it does to the other; two separate
intervals know nothing of that. The jackknife leaves one replication out of both at a time: R. G. Miller, "The jackknife
- a review", Biometrika 61 (1974) 1-15 (pseudo-values taken as independent, with Student's t; from memory).
"""

from __future__ import annotations

import math

import numpy as np

from shopsim.studies.precision import Interval, t_quantile, upper_share
from shopsim.studies.root_finding import Curve, Floats, ahead_of, crossing, interpolated


def root_difference(
    option: Curve, base: Curve, target: float, confidence_pct: float = 95.0, falling: bool = True
) -> Interval:
    """The option's root less the base's, over the replications that both have at every x.

    The mean is NaN where one of them does not cross within its x; there is no interval where that is so without some
    replication, or from fewer than two. Raises ValueError for an impossible confidence.
    """
    share = upper_share(confidence_pct)
    both = [ahead_of(curve, target, falling) for curve in (option, base)]
    n = min(ahead.shape[1] for _, ahead in both)
    known = np.logical_and.reduce([np.isfinite(ahead[:, :n]).all(axis=0) for _, ahead in both])
    found = [interpolated(xs, ahead[:, :n][:, known]) for xs, ahead in both] if known.any() else []
    used = int(known.sum())
    if not found:
        return Interval(math.nan, None, None, None, 0, n)
    mean = _root(*found[0]) - _root(*found[1])
    no_interval = Interval(mean, None, None, None, used, n - used)
    if used < 2 or math.isnan(mean):
        return no_interval
    left_out = [_root(*found[0], k) - _root(*found[1], k) for k in range(used)]
    spread = float(np.std(left_out)) * math.sqrt(used - 1)
    if math.isnan(spread):
        return no_interval
    half_width = t_quantile(used - 1, share) * spread
    return Interval(mean, mean - half_width, mean + half_width, half_width, used, n - used)


def _root(fine: Floats, curves: Floats, without: int | None = None) -> float:
    """Where the mean of the curves crosses 0, one of them left out; NaN if it does not."""
    kept = curves if without is None else np.delete(curves, without, axis=1)
    estimate, _ = crossing(fine, kept.mean(axis=1))
    return math.nan if estimate is None else estimate
