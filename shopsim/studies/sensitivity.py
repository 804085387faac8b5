"""What the answer hangs on: inputs given as ranges, one at a time or all together, and what doubt makes of the answer.

* `bars`: each input at both ends of its range, paired with the shop as it stands on the same orders.
* `morris`: elementary effects along trajectories, for many inputs (`morris`).
* `sobol`: shares of the variance, with what inputs do together (`sobol`).

The answer is the mean of one measure over replications that are the same at all points, so differences are due to the
inputs alone; what luck these replications had is told by the interval without doubt.

The interval with doubt is, for bars, that of base plus all effects, taken to add up, straight between the ends and
today's value and independent of one another: variances of replications and inputs add (law of total variance), the
share of the latter that the replications' luck feigns is taken off. For the other two methods it is the middle part of
the answers at points spread over all ranges, widened by the luck of the replications.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from shopsim.errors import InputError, Problem
from shopsim.shop.ranges_file import Unsure, with_values
from shopsim.studies import morris, sobol
from shopsim.studies.compare import bonferroni_pct, paired_difference
from shopsim.studies.input_ranges import Range, values_at
from shopsim.studies.option import Option
from shopsim.studies.precision import Interval, interval, t_quantile, upper_share
from shopsim.studies.replicate import Replications
from shopsim.studies.runner import Ask, Runner

Floats = NDArray[np.float64]
Method = Literal["bars", "morris", "sobol"]
_QUANTILE_STEPS = 2000


@dataclass(frozen=True, slots=True)
class SensitivityPlan:
    """How to look. `count` replications at each point; `trajectories` for Morris, `base_samples` (a power of 2) for
    Sobol."""

    method: Method = "bars"
    measure: str = "on_time_share"
    count: int = 6
    trajectories: int = 10
    base_samples: int = 64

    def points(self, inputs: int) -> int:
        """How many different shops have to be run."""
        each = {"bars": 2, "morris": self.trajectories, "sobol": self.base_samples}[self.method]
        return {
            "bars": 1 + each * inputs, "morris": 1 + each * (inputs + 1), "sobol": 1 + each * (inputs + 2),
        }[self.method]  # fmt: skip

    def runs(self, inputs: int) -> int:
        """How many replications that takes in all."""
        return self.points(inputs) * self.count


@dataclass(frozen=True, slots=True)
class EffectBar:
    """How much higher the answer lies with one input at its low and at its high end than it is now, paired; `swing` is
    the high end less the low."""

    unsure: Unsure
    at_low: Interval
    at_high: Interval
    swing: Interval
    swings: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """What came out; of `bars`, `screened` and `shares` those that the method gives hold one item an input.

    Intervals of bars, effects and shares hold each on its own. `with_doubt.n` counts points where it is taken from
    points.
    """

    base: Replications
    plan: SensitivityPlan
    ranges: tuple[Unsure, ...]
    bars: tuple[EffectBar, ...]
    screened: tuple[morris.Screened, ...]
    shares: tuple[sobol.Indices, ...]
    without_doubt: Interval
    with_doubt: Interval

    def ranking(self) -> list[int]:
        """Positions of the inputs from the one that matters most."""
        if self.bars:
            weights = [abs(bar.swing.mean) for bar in self.bars]
        elif self.screened:
            weights = [one.mean_absolute.mean for one in self.screened]
        else:
            weights = [one.total.estimate for one in self.shares]
        known = [0.0 if math.isnan(weight) else weight for weight in weights]
        return sorted(range(len(self.ranges)), key=lambda i: -known[i])

    def matters(self, i: int) -> bool:
        """Whether the runs can tell that an input matters at all."""
        if self.bars:
            swing = self.bars[i].swing
            return swing.low is not None and swing.high is not None and (swing.low > 0 or swing.high < 0)
        if self.screened:
            return bool(self.screened[i].mean_absolute.mean > 0)
        return bool(self.shares) and self.shares[i].total.low > 0

    def rivals(self) -> list[int]:
        """Inputs that may matter as much as the first one, as far as the runs can tell (Bonferroni)."""
        first, *others = self.ranking()
        return [i for i in others if self.matters(i) and not self._surely_more(first, i, len(others))]

    def _surely_more(self, one: int, other: int, pairs: int) -> bool:
        if self.bars:
            each = [np.array(self.bars[i].swings) * math.copysign(1, self.bars[i].swing.mean) for i in (one, other)]
            pct = bonferroni_pct(self.base.scenario.study.confidence_pct, pairs)
            low = interval((each[0] - each[1]).tolist(), pct).low
            return low is not None and low > 0
        if self.screened:
            ends = self.screened[one].mean_absolute.low, self.screened[other].mean_absolute.high
            return ends[0] is not None and ends[1] is not None and ends[0] > ends[1]
        return self.shares[one].total.low > self.shares[other].total.high

    @property
    def settled(self) -> bool:
        """Whether the runs can tell that any input matters."""
        return any(self.matters(i) for i in range(len(self.ranges)))


def sensitivity(runner: Runner, base: Option, ranges: Sequence[Unsure], plan: SensitivityPlan) -> Sensitivity:
    """Run the shop over the ranges.

    Raises RangesError where values do not go together, InputError for a measure that no replication has, ValueError for
    no range, and as `Runner`.
    """
    if not ranges:
        raise ValueError("there must be at least one range")
    study = _Study(runner, base, tuple(ranges), plan)
    return {"bars": study.by_bars, "morris": study.by_effects, "sobol": study.by_shares}[plan.method]()


class _Study:
    """One study: the shop at points of the ranges, and what the answers say."""

    def __init__(self, runner: Runner, base: Option, ranges: tuple[Unsure, ...], plan: SensitivityPlan) -> None:
        self.runner, self.base, self.ranges, self.plan = runner, base, ranges, plan
        self.spans = [_range(one) for one in ranges]
        self.confidence_pct = base.scenario.study.confidence_pct
        self.seed = base.scenario.study.seed

    def run(self, changes: Sequence[tuple[tuple[Unsure, ...], tuple[float, ...]]]) -> tuple[Replications, Floats]:
        """The base, and the measure by point and replication."""
        options = [
            Option("at a point", with_values(self.base.scenario, which, values), self.base.order_lines)
            for which, values in changes
        ]
        found = self.runner.run([Ask(option, self.plan.count) for option in (self.base, *options)])
        base = Replications(self.base.scenario, found[0])
        if self.plan.measure not in base.keys("measures"):
            raise InputError([Problem("", None, None, "measure", f"there is no measure {self.plan.measure!r}")])
        table = [[row.measures.get(self.plan.measure, math.nan) for row in rows] for rows in found[1:]]
        return base, np.array(table, dtype=float)

    def by_bars(self) -> Sensitivity:
        """One input at a time."""
        ends = [((one,), (value,)) for one in self.ranges for value in (one.given.low, one.given.high)]
        base, table = self.run(ends)
        now = np.array(base.values("measures", self.plan.measure))
        bars = []
        for i, unsure in enumerate(self.ranges):
            low, high = table[2 * i].tolist(), table[2 * i + 1].tolist()
            swing = paired_difference(high, low, self.confidence_pct).interval
            bars.append(EffectBar(
                unsure, paired_difference(low, now.tolist(), self.confidence_pct).interval,
                paired_difference(high, now.tolist(), self.confidence_pct).interval, swing,
                tuple((table[2 * i + 1] - table[2 * i]).tolist()),
            ))  # fmt: skip
        answer = base.interval("measures", self.plan.measure)
        doubt = self._added_up(now, table)
        return Sensitivity(base, self.plan, self.ranges, tuple(bars), (), (), answer, doubt)

    def _added_up(self, now: Floats, table: Floats) -> Interval:
        """Base plus the effects of all inputs, each somewhere in its range."""
        shares = (np.arange(_QUANTILE_STEPS) + 0.5) / _QUANTILE_STEPS
        middle, variance = now.copy(), 0.0
        for i, (span, unsure) in enumerate(zip(self.spans, self.ranges, strict=True)):
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
            (interval(each.tolist(), self.confidence_pct) for each in (middle, now)),
            key=lambda each: each.half_width or 0.0,
        )
        centred = replace(luck, mean=interval(middle.tolist(), self.confidence_pct).mean)
        return _widened(centred, math.sqrt(max(0.0, variance)), self.confidence_pct)

    def by_effects(self) -> Sensitivity:
        """Elementary effects."""
        runs = morris.trajectories(len(self.ranges), self.plan.trajectories, self.seed)
        base, means = self._means(np.concatenate([run.points for run in runs]))
        answers = means.reshape(len(runs), -1)
        screened = tuple(morris.screen(runs, answers.tolist(), self.confidence_pct))
        return self._with_points(base, means, screened=screened)

    def by_shares(self) -> Sensitivity:
        """Shares of the variance."""
        count = len(self.ranges)
        base, means = self._means(sobol.design(count, self.plan.base_samples, self.seed))
        shares: tuple[sobol.Indices, ...] = ()
        if np.isfinite(means).all() and np.ptp(means) > 0:
            shares = tuple(sobol.indices(means.tolist(), count, self.seed, self.confidence_pct))
        # Only the first two matrices are spread as the ranges are.
        return self._with_points(base, means[: 2 * self.plan.base_samples], shares=shares)

    def _means(self, shares: Floats) -> tuple[Replications, Floats]:
        base, table = self.run([(self.ranges, values) for values in values_at(self.spans, shares)])
        return base, np.array([interval(row).mean for row in table.tolist()])

    def _with_points(
        self,
        base: Replications,
        means: Floats,
        screened: tuple[morris.Screened, ...] = (),
        shares: tuple[sobol.Indices, ...] = (),
    ) -> Sensitivity:
        answer = base.interval("measures", self.plan.measure)
        known = means[np.isfinite(means)]
        found = Interval(math.nan, None, None, None, 0)
        if len(known):
            tail = 1 - upper_share(self.confidence_pct)
            luck = answer.half_width or 0.0
            mean = float(known.mean())
            # What luck adds at each end, independent of where the inputs lie.
            low, high = (float(end) for end in np.quantile(known, [tail, 1 - tail]))
            low, high = mean - math.hypot(mean - low, luck), mean + math.hypot(high - mean, luck)
            found = Interval(mean, low, high, (high - low) / 2, len(known), len(means) - len(known))
        return Sensitivity(base, self.plan, self.ranges, (), screened, shares, answer, found)


def _range(one: Unsure) -> Range:
    given = one.given
    return Range(given.path, given.low, given.high, given.shape, given.likely, one.whole)


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
