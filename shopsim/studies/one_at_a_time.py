"""One input in doubt at a time: bars, and what doubt about all of them together makes of the answer.

Each input is put to both ends of its range and paired with the shop as it stands on the same orders. The interval with
doubt is that of base plus all effects, taken to add up, straight between the ends and today's value and independent of
one another: variances of replications and inputs add (law of total variance); the share of the latter that the
replications' luck feigns is taken off.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from shopsim.shop.ranges_file import Unsure
from shopsim.studies.compare import paired_difference
from shopsim.studies.input_ranges import Range
from shopsim.studies.precision import Interval, interval, t_quantile, upper_share

Floats = NDArray[np.float64]
_QUANTILE_STEPS = 2000


@dataclass(frozen=True, slots=True)
class EffectBar:
    """How much higher the answer lies with one input at its low and at its high end than it is now, paired; `swing` is
    the high end less the low, `swings` that of each replication."""

    unsure: Unsure
    at_low: Interval
    at_high: Interval
    swing: Interval
    swings: tuple[float, ...]


def bars_of(ranges: Sequence[Unsure], now: Floats, table: Floats, confidence_pct: float) -> tuple[EffectBar, ...]:
    """The bars from today's answers and those at the low and the high end of each input, a column a replication."""
    bars = []
    for i, unsure in enumerate(ranges):
        low, high = table[2 * i].tolist(), table[2 * i + 1].tolist()
        bars.append(EffectBar(
            unsure, paired_difference(low, now.tolist(), confidence_pct).interval,
            paired_difference(high, now.tolist(), confidence_pct).interval,
            paired_difference(high, low, confidence_pct).interval, tuple((table[2 * i + 1] - table[2 * i]).tolist()),
        ))  # fmt: skip
    return tuple(bars)


def added_up(
    ranges: Sequence[Unsure], spans: Sequence[Range], now: Floats, table: Floats, confidence_pct: float
) -> Interval:
    """Base plus the effects of all inputs, each somewhere in its range."""
    shares = (np.arange(_QUANTILE_STEPS) + 0.5) / _QUANTILE_STEPS
    middle, variance = now.copy(), 0.0
    for i, (span, unsure) in enumerate(zip(spans, ranges, strict=True)):
        weights = _hat_weights(np.array([span.at(share) for share in shares.tolist()]), unsure)
        effects = np.stack([table[2 * i] - now, table[2 * i + 1] - now])
        middle += weights.mean(axis=1) @ effects
        known = effects[:, np.isfinite(effects).all(axis=0)]
        if known.shape[1] == 0:
            continue
        spread = np.cov(weights, bias=True)
        mean = known.mean(axis=1)
        variance += float(mean @ spread @ mean)
        if known.shape[1] > 1:
            variance -= float((spread * np.cov(known)).sum()) / known.shape[1]
    # Averaged over several points luck may shrink; doubt shall not look surer than no doubt.
    luck = max(
        (interval(each.tolist(), confidence_pct) for each in (middle, now)),
        key=lambda each: each.half_width or 0.0,
    )
    centred = replace(luck, mean=interval(middle.tolist(), confidence_pct).mean)
    return _widened(centred, math.sqrt(max(0.0, variance)), confidence_pct)


def _hat_weights(values: Floats, one: Unsure) -> Floats:
    """How much of the low and of the high end's effect holds at some values: none of either at today's value."""
    low, high = one.given.low, one.given.high
    if not low < one.now < high:
        # Today's value lies outside: straight from one end to the other.
        part = (values - low) / (high - low)
        return np.stack([1 - part, part])
    return np.stack([
        np.clip((one.now - values) / (one.now - low), 0, None), np.clip((values - one.now) / (high - one.now), 0, None),
    ])  # fmt: skip


def _widened(found: Interval, deviation: float, confidence_pct: float) -> Interval:
    """The interval of a mean with a further, known deviation of the truth."""
    if found.half_width is None:
        return found
    half_width = math.hypot(found.half_width, t_quantile(math.inf, upper_share(confidence_pct)) * deviation)
    return replace(found, low=found.mean - half_width, high=found.mean + half_width, half_width=half_width)
