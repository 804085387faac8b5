"""How sure a mean over replications is: Student's t intervals, and how many replications a wanted width takes.

Law, Simulation Modeling and Analysis, 5th ed., sections 4.5 and 9.4.1. Values are one number a replication; NaN says
that a replication had nothing to measure (no order was late, say) and is left out.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

# Below this many replications the variance itself is too uncertain to plan with (Law, section 9.4.1).
LEAST_PLANNED = 10
MOST_PLANNED = 100_000
# The chance that as many replications as are planned do settle a question.
POWER = 0.8


@dataclass(frozen=True, slots=True)
class Interval:
    """A mean and the interval that holds the true mean with the asked confidence.

    `low`, `high` and `half_width` are None if `n`, the number of values used, is below 2; `mean` is NaN if it is 0.
    `left_out` counts values that were NaN.
    """

    mean: float
    low: float | None
    high: float | None
    half_width: float | None
    n: int
    left_out: int = 0

    @property
    def sign(self) -> int:
        """1 where all of it lies above 0, -1 where all of it lies below, 0 where that cannot be told."""
        if self.low is None or self.high is None:
            return 0
        return (self.low > 0) - (self.high < 0)


def interval(values: Iterable[float], confidence_pct: float = 95.0) -> Interval:
    """The mean of independent values with its t interval. Raises ValueError for a confidence outside 0 to 100 %."""
    given = list(values)
    used = [value for value in given if not math.isnan(value)]
    n, left_out = len(used), len(given) - len(used)
    quantile_at = upper_share(confidence_pct)
    mean = math.fsum(used) / n if n else math.nan
    if n < 2:
        return Interval(mean, None, None, None, n, left_out)
    half_width = t_quantile(n - 1, quantile_at) * math.sqrt(_variance(used, mean) / n)
    return Interval(mean, mean - half_width, mean + half_width, half_width, n, left_out)


def replications_for(values: Sequence[float], half_width: float, confidence_pct: float = 95.0) -> int | None:
    """How many replications in all bring the half-width down to a wanted one, judged by the variance so far.

    At least 10, and at least as many as were given; None if more than 100,000 would be needed, or if fewer than two
    values are known. Raises ValueError unless `half_width` is above 0.
    """
    if not half_width > 0:
        raise ValueError(f"half_width must be above 0, found {half_width!r}")
    quantile_at = upper_share(confidence_pct)
    return _least_n(values, lambda degrees: t_quantile(degrees, quantile_at), half_width)


def more_to_settle(values: Sequence[float], confidence_pct: float = 95.0, away_from: float = 0.0) -> int | None:
    """How many more replications would show, with a chance of 80 %, that the mean is not `away_from`.

    Judged by mean and variance so far, as if both were the true ones: the t quantiles of level and power together
    (W. G. Cochran and G. M. Cox, Experimental Designs, 2nd ed., Wiley, 1957, section 2.21; from memory). None from
    fewer than 10 values, whose variance is too uncertain to plan with, where the mean is just there, and for more than
    100,000.
    """
    used = [value for value in values if not math.isnan(value)]
    gap = abs(math.fsum(used) / len(used) - away_from) if used else 0.0
    if len(used) < LEAST_PLANNED or gap == 0:
        return None
    quantile_at = upper_share(confidence_pct)
    needed = _least_n(used, lambda degrees: t_quantile(degrees, quantile_at) + t_quantile(degrees, POWER), gap)
    return None if needed is None else max(1, needed - len(used))


def _least_n(values: Sequence[float], quantiles: Callable[[int], float], width: float) -> int | None:
    """The least number of values for which so many standard errors of their mean are at most a width."""
    used = [value for value in values if not math.isnan(value)]
    if len(used) < 2:
        return None
    spread = math.sqrt(_variance(used, math.fsum(used) / len(used)))
    least = max(LEAST_PLANNED, len(used))

    def enough(n: int) -> bool:
        return quantiles(n - 1) * spread / math.sqrt(n) <= width

    if not enough(MOST_PLANNED):
        return None
    low, high = least - 1, MOST_PLANNED
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high


def replications_for_share(values: Sequence[float], relative: float, confidence_pct: float = 95.0) -> int | None:
    """As `replications_for`, for an error of at most this share of the true mean, e.g. 0.1.

    The half-width may then be `relative / (1 + relative)` of the estimated mean (Law, section 9.4.1). None also if the
    mean is 0. Raises ValueError unless `relative` is above 0.
    """
    if not relative > 0:
        raise ValueError(f"relative must be above 0, found {relative!r}")
    mean = interval(values, confidence_pct).mean
    if math.isnan(mean) or mean == 0:
        return None
    return replications_for(values, relative / (1 + relative) * abs(mean), confidence_pct)


def t_quantile(degrees: float, share: float) -> float:
    """Student's t below which a share of the distribution lies."""
    from scipy.special import stdtrit

    return float(stdtrit(degrees, share))


def upper_share(confidence_pct: float) -> float:
    """The share below the upper end of a two-sided interval, e.g. 0.975. Raises ValueError outside 0 to 100 %."""
    if not 0 < confidence_pct < 100:
        raise ValueError(f"confidence_pct must be between 0 and 100, found {confidence_pct!r}")
    return 0.5 + confidence_pct / 200


def _variance(values: Sequence[float], mean: float) -> float:
    return math.fsum((value - mean) ** 2 for value in values) / (len(values) - 1)
