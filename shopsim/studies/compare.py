"""Options against the base: how much higher each lies, and how sure that is.

Law, Simulation Modeling and Analysis, 5th ed., chapter 10: paired t under common random numbers, Welch's t for runs
that share none, Bonferroni's levels for several intervals at once. E. J. G. Pitman, "A note on normal correlation",
Biometrika 31 (1939) 9-12: how sure the ratio of two variances is whose values come in pairs. Values are one number a
replication; NaN says that a replication had nothing to measure and is left out, in pairs together with its partner.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from shopsim.studies._checks import require_count
from shopsim.studies.precision import Interval, interval, t_quantile, upper_share


@dataclass(frozen=True, slots=True)
class PairedDifference:
    """The mean of option minus base over replications that met the same orders, with its interval.

    `variance_reduction` says how many times as many replications independent runs would take for the same precision;
    below 1 the common random numbers did harm. It and `correlation` are None where nothing varies or fewer than two
    pairs are known. `reduction_between` is its interval at the same confidence, exact for normal values; None below
    three pairs too.
    """

    interval: Interval
    correlation: float | None
    variance_reduction: float | None
    reduction_between: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class WelchDifference:
    """The mean of one sample minus that of another, with its interval; `interval.n` counts the values of both.

    `degrees` of freedom are Welch's and Satterthwaite's; None without an interval.
    """

    interval: Interval
    degrees: float | None


def paired_difference(option: Sequence[float], base: Sequence[float], confidence_pct: float = 95.0) -> PairedDifference:
    """How much higher the option lies than the base, value k of both from replication k.

    Raises ValueError for lists of different length and for an impossible confidence.
    """
    if len(option) != len(base):
        raise ValueError(f"pairs need as many values of each, found {len(option)} and {len(base)}")
    both = np.array([option, base], dtype=float)
    differences = both[0] - both[1]
    found = interval(differences.tolist(), confidence_pct)
    if found.n < 2:
        return PairedDifference(found, None, None, None)
    pairs = both[:, ~np.isnan(differences)]
    (option_var, covariance), (_, base_var) = np.cov(pairs)
    left = float(np.nanvar(differences, ddof=1))
    return PairedDifference(
        found,
        float(covariance / math.sqrt(option_var * base_var)) if option_var > 0 and base_var > 0 else None,
        float(option_var + base_var) / left if left > 0 else None,
        _reduction_between(pairs, upper_share(confidence_pct)) if left > 0 and found.n > 2 else None,
    )


def _reduction_between(pairs: NDArray[np.float64], share: float) -> tuple[float, float]:
    """Sum and difference of a pair vary together twice as much as its two values: var(s) + var(d) = 2 (var(a) +
    var(b)). So the reduction is half of one more than var(s) / var(d), whose interval Pitman gives."""
    (sums_var, covariance), (_, steps_var) = np.cov(np.array([pairs[0] + pairs[1], pairs[0] - pairs[1]]))
    ratio = float(sums_var / steps_var)
    alike = min(1.0, float(covariance**2 / (sums_var * steps_var))) if sums_var > 0 else 0.0
    degrees = pairs.shape[1] - 2
    wide = 1 + 2 * (1 - alike) * t_quantile(degrees, share) ** 2 / degrees
    step = math.sqrt(wide**2 - 1)
    return (1 + ratio * (wide - step)) / 2, (1 + ratio * (wide + step)) / 2


def independent_difference(
    one: Sequence[float], other: Sequence[float], confidence_pct: float = 95.0
) -> WelchDifference:
    """How much higher one sample's mean lies than the other's, if the two share no random numbers.

    Sizes and variances may differ. B. L. Welch, "The significance of the difference between two means when the
    population variances are unequal", Biometrika 29 (1938) 350-362. Raises ValueError for an impossible confidence.
    """
    share = upper_share(confidence_pct)
    samples = [np.array([value for value in values if not math.isnan(value)], dtype=float) for values in (one, other)]
    sizes = [len(sample) for sample in samples]
    left_out = len(one) + len(other) - sum(sizes)
    mean = _mean(samples[0]) - _mean(samples[1])
    no_interval = Interval(mean, None, None, None, sum(sizes), left_out)
    if min(sizes) < 2:
        return WelchDifference(no_interval, None)
    parts = [float(np.var(sample, ddof=1)) / len(sample) for sample in samples]
    total = sum(parts)
    if total == 0:
        return WelchDifference(replace(no_interval, low=mean, high=mean, half_width=0.0), None)
    degrees = total**2 / sum(part**2 / (n - 1) for part, n in zip(parts, sizes, strict=True))
    half_width = t_quantile(degrees, share) * math.sqrt(total)
    found = replace(no_interval, low=mean - half_width, high=mean + half_width, half_width=half_width)
    return WelchDifference(found, degrees)


def bonferroni_pct(confidence_pct: float, intervals: int) -> float:
    """The confidence each of several intervals needs so that all hold at once with the stated one.

    Raises ValueError for fewer than one interval and for an impossible confidence.
    """
    require_count("intervals", intervals, 1)
    return 100 - 200 * (1 - upper_share(confidence_pct)) / intervals


def against_base(
    base: Sequence[float], options: Mapping[str, Sequence[float]], confidence_pct: float = 95.0
) -> dict[str, PairedDifference]:
    """Each option minus the base, paired; all intervals hold at once with the stated confidence (Bonferroni).

    Raises ValueError as `paired_difference`.
    """
    each_pct = bonferroni_pct(confidence_pct, max(1, len(options)))
    return {name: paired_difference(values, base, each_pct) for name, values in options.items()}


def _mean(sample: NDArray[np.float64]) -> float:
    return float(sample.mean()) if len(sample) else math.nan
