"""How long to run: replications until an interval is narrow enough, or the length of one long run.

Replications one at a time until the wanted half-width: Law, Simulation Modeling and Analysis, 5th ed., section 9.4.1,
after Y. S. Chow and H. Robbins, Annals of Mathematical Statistics 36 (1965) 457-462. One long run: W. Whitt, "Planning
queueing simulations", Management Science 35 (1989) 1341-1366.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from shopsim.studies._checks import require_above_zero, require_count
from shopsim.studies.batch_means import BatchMeans, summary
from shopsim.studies.precision import LEAST_PLANNED, Interval, interval, t_quantile, upper_share


@dataclass(frozen=True, slots=True)
class Stopped:
    """The interval after the last replication, all values, and whether the wanted half-width was reached."""

    interval: Interval
    values: tuple[float, ...]
    reached: bool


def replicate_until(
    observe: Callable[[int], float],
    half_width: float,
    confidence_pct: float = 95.0,
    at_least: int = LEAST_PLANNED,
    at_most: int = 1000,
) -> Stopped:
    """Run replications 0, 1, ... until the mean's half-width is at most the wanted one.

    NaN says that a replication had nothing to measure; it counts as run. Raises ValueError unless the half-width is
    above 0, for `at_least` below 2 or above `at_most`, and for an impossible confidence.
    """
    require_above_zero(half_width=half_width)
    require_count("at_least", at_least, 2)
    require_count("at_most", at_most, at_least)
    values = [observe(k) for k in range(at_least)]
    while True:
        found = interval(values, confidence_pct)
        reached = found.n >= at_least and found.half_width is not None and found.half_width <= half_width
        if reached or len(values) == at_most:
            return Stopped(found, tuple(values), reached)
        values.append(observe(len(values)))


def asymptotic_variance(run: BatchMeans) -> float:
    """The variance of a long run's mean times the run's length in values, estimated from its batch means.

    Too low for batches too short; see `BatchMeans.chance`.
    """
    return run.batch_size * summary(run.means).deviation ** 2


def run_length_for(variance: float, half_width: float, confidence_pct: float = 95.0) -> float:
    """How long a run brings the half-width of its mean down to a wanted one, warm-up not included.

    In the unit of time of the asymptotic variance, e.g. values of a series. Raises ValueError unless variance and
    half-width are above 0, and for an impossible confidence.
    """
    require_above_zero(variance=variance, half_width=half_width)
    return variance * (t_quantile(math.inf, upper_share(confidence_pct)) / half_width) ** 2
