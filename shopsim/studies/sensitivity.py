"""What the answer hangs on: inputs given as ranges, one at a time or all together, and what doubt makes of the answer.

* `bars`: each input at both ends of its range, paired with the shop as it stands (`one_at_a_time`).
* `morris`: elementary effects along trajectories, for many inputs (`morris`).
* `sobol`: shares of the variance, with what inputs do together (`sobol`).

The answer is the mean of one measure over replications. Bars meet the same replications everywhere. Each trajectory or
base sample meets replications of its own, the same at all of its points: differences within are due to inputs alone,
and their scatter from one to the next tells what luck does. An input is told to matter only where it does more than
luck would, all inputs at once with the stated confidence; only those are ranked.

The interval with doubt is, for Morris and Sobol, the middle part of the answers at points spread over all ranges as the
inputs are: for Sobol those of its design, for Morris points of their own, because trajectories walk on a grid that
meets the ends of a range too often. Their variance is that of inputs and luck (components of variance: S. R. Searle, G.
Casella, C. E. McCulloch, Variance Components, Wiley, 1992, chapter 3); they are drawn together as far as luck spreads
them, and the interval then widened by the luck of the answer itself.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from shopsim.errors import InputError, Problem
from shopsim.shop.ranges_file import Unsure, with_values
from shopsim.studies import morris, sobol
from shopsim.studies.compare import bonferroni_pct
from shopsim.studies.input_ranges import Range, latin_hypercube, values_at
from shopsim.studies.luck import luck_of_means, means_of
from shopsim.studies.one_at_a_time import EffectBar, added_up, bars_of
from shopsim.studies.option import Option
from shopsim.studies.precision import Interval, interval, upper_share
from shopsim.studies.replicate import Replications
from shopsim.studies.runner import Ask, Runner

Floats = NDArray[np.float64]
Method = Literal["bars", "morris", "sobol"]
NoShares = Literal["unknown", "alike", "luck"]
"""Why no shares of the variance can be told: some point had nothing to measure, all answers are the same, or they
scatter no more than luck alone would make them."""
# The shop as it stands is one point of many: enough runs of it to know its own luck.
_LEAST_BASE = 10
DOUBT_POINTS = 40
"""Points beside Morris' trajectories, from which the interval with doubt is taken."""


@dataclass(frozen=True, slots=True)
class SensitivityPlan:
    """How to look. `count` replications at each point; `trajectories` for Morris, `base_samples` (a power of 2) for
    Sobol. With one replication luck and inputs cannot be told apart."""

    method: Method = "bars"
    measure: str = "on_time_share"
    count: int = 6
    trajectories: int = 10
    base_samples: int = 64

    @property
    def base_count(self) -> int:
        """Replications of the shop as it stands."""
        return self.count if self.method == "bars" else max(self.count, _LEAST_BASE)

    def points(self, inputs: int) -> int:
        """How many different shops have to be run."""
        each = {"bars": 2, "morris": self.trajectories, "sobol": self.base_samples}[self.method]
        return {
            "bars": 1 + each * inputs, "morris": 1 + each * (inputs + 1) + DOUBT_POINTS,
            "sobol": 1 + each * (inputs + 2),
        }[self.method]  # fmt: skip

    def runs(self, inputs: int) -> int:
        """How many replications that takes in all."""
        return (self.points(inputs) - 1) * self.count + self.base_count


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """What came out; of `bars`, `screened` and `shares` those that the method gives hold one item an input.

    Intervals of bars, effects and shares hold each on its own. `with_doubt.n` counts points where it is taken from
    points. `no_shares` says why there are none where the method would give them.
    """

    base: Replications
    plan: SensitivityPlan
    ranges: tuple[Unsure, ...]
    bars: tuple[EffectBar, ...]
    screened: tuple[morris.Screened, ...]
    shares: tuple[sobol.Indices, ...]
    without_doubt: Interval
    with_doubt: Interval
    no_shares: NoShares | None = None

    def ranking(self) -> list[int]:
        """Positions of the inputs: those that matter, the one that does most first, then the others as given."""
        if self.bars:
            weights = [abs(bar.swing.mean) for bar in self.bars]
        elif self.screened:
            weights = [one.mean_absolute.mean for one in self.screened]
        else:
            weights = [one.total.estimate for one in self.shares]
        told = [i for i in range(len(self.ranges)) if self.matters(i)]
        return sorted(told, key=lambda i: -weights[i]) + [i for i in range(len(self.ranges)) if i not in told]

    def matters(self, i: int) -> bool:
        """Whether the runs can tell that an input matters at all; all inputs at once (Bonferroni)."""
        if self.bars:
            return interval(self.bars[i].swings, self._each_pct(len(self.bars))).sign != 0
        if self.screened:
            return self.screened[i].told
        return bool(self.shares) and self.shares[i].told

    def rivals(self) -> list[int]:
        """Inputs that may matter as much as the first one, as far as the runs can tell (Bonferroni)."""
        first, *others = self.ranking()
        return [i for i in others if self.matters(i) and not self._surely_more(first, i, len(others))]

    def _each_pct(self, intervals: int) -> float:
        return bonferroni_pct(self.base.scenario.study.confidence_pct, intervals)

    def _surely_more(self, one: int, other: int, pairs: int) -> bool:
        if self.bars:
            each = [np.array(self.bars[i].swings) * math.copysign(1, self.bars[i].swing.mean) for i in (one, other)]
            return interval((each[0] - each[1]).tolist(), self._each_pct(pairs)).sign > 0
        if self.screened:
            return self.screened[one].surely_more(self.screened[other], self._each_pct(pairs))
        return self.shares[one].surely_more(self.shares[other], self._each_pct(pairs))

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

    def by_bars(self) -> Sensitivity:
        """One input at a time."""
        ends = [((one,), (value,)) for one in self.ranges for value in (one.given.low, one.given.high)]
        base, table = self._run(ends, [0] * len(ends))
        now = np.array(base.values("measures", self.plan.measure))
        bars = bars_of(self.ranges, now, table, self.confidence_pct)
        doubt = added_up(self.ranges, self.spans, now, table, self.confidence_pct)
        return Sensitivity(base, self.plan, self.ranges, bars, (), (), self._answer(base), doubt)

    def by_effects(self) -> Sensitivity:
        """Elementary effects."""
        runs = morris.trajectories(len(self.ranges), self.plan.trajectories, self.seed)
        on_grid = values_at(self.spans, np.concatenate([run.points for run in runs]))
        spread = latin_hypercube(self.spans, DOUBT_POINTS, self.seed)
        blocks = [*np.repeat(np.arange(len(runs)), len(self.ranges) + 1).tolist(),
                  *range(len(runs), len(runs) + DOUBT_POINTS)]  # fmt: skip
        base, table = self._over_ranges([*on_grid, *spread], blocks)
        answers = table[: len(on_grid)].reshape(len(runs), -1, self.plan.count)
        screened = tuple(morris.screen(runs, list(answers), self.confidence_pct))
        doubt = self._spread(self._answer(base), table[len(on_grid) :])
        return Sensitivity(base, self.plan, self.ranges, (), screened, (), self._answer(base), doubt)

    def by_shares(self) -> Sensitivity:
        """Shares of the variance."""
        count, rows = len(self.ranges), self.plan.base_samples
        points = values_at(self.spans, sobol.design(count, rows, self.seed))
        base, table = self._over_ranges(points, np.tile(np.arange(rows), count + 2).tolist())
        known = np.isfinite(table).all()
        shares = tuple(sobol.indices(table, count, self.seed, self.confidence_pct)) if known else ()
        why: NoShares | None = None if shares else "unknown" if not known else "luck" if np.ptp(table) else "alike"
        # Only the first two matrices are spread as the ranges are.
        doubt = self._spread(self._answer(base), table[: 2 * rows])
        return Sensitivity(base, self.plan, self.ranges, (), (), shares, self._answer(base), doubt, why)

    def _over_ranges(self, points: Sequence[tuple[float, ...]], blocks: Sequence[int]) -> tuple[Replications, Floats]:
        """The shop at points of all ranges; points of one block meet the same replications, others their own."""
        changes = [(self.ranges, values) for values in points]
        return self._run(changes, [block * self.plan.count for block in blocks])

    def _run(
        self, changes: Sequence[tuple[tuple[Unsure, ...], tuple[float, ...]]], firsts: Sequence[int]
    ) -> tuple[Replications, Floats]:
        """The base, and the measure by point and replication, from the first of each point on."""
        options = [
            Option("at a point", with_values(self.base.scenario, which, values), self.base.order_lines)
            for which, values in changes
        ]
        asks = [Ask(option, self.plan.count, first) for option, first in zip(options, firsts, strict=True)]
        found = self.runner.run([Ask(self.base, self.plan.base_count), *asks])
        base = Replications(self.base.scenario, found[0])
        if self.plan.measure not in base.keys("measures"):
            raise InputError([Problem("", None, None, "measure", f"there is no measure {self.plan.measure!r}")])
        table = [[row.measures.get(self.plan.measure, math.nan) for row in rows] for rows in found[1:]]
        return base, np.array(table, dtype=float)

    def _answer(self, base: Replications) -> Interval:
        return base.interval("measures", self.plan.measure)

    def _spread(self, answer: Interval, table: Floats) -> Interval:
        """The answer with doubt, from the answers at points spread over all ranges."""
        means, luck = means_of(table), luck_of_means(table)
        known = means[np.isfinite(means)]
        if not len(known):
            return Interval(math.nan, None, None, None, 0)
        mean, variance = float(known.mean()), float(known.var())
        of_luck = float(np.nanmean(luck)) if np.isfinite(luck).any() else 0.0
        by_inputs = math.sqrt(max(0.0, 1 - of_luck / variance)) if variance > 0 else 0.0
        tail = 1 - upper_share(self.confidence_pct)
        # Few points: numpy's usual quantiles would lie 5 to 10 % too far inside.
        ends = np.quantile(known, [tail, 1 - tail], method="hazen")
        low, high = (float(end - mean) * by_inputs for end in ends)
        own = answer.half_width or 0.0
        # What luck adds at each end, independent of where the inputs lie.
        low, high = mean - math.hypot(low, own), mean + math.hypot(high, own)
        return Interval(mean, low, high, (high - low) / 2, len(known), len(means) - len(known))


def _range(one: Unsure) -> Range:
    given = one.given
    return Range(given.path, given.low, given.high, given.shape, given.likely, one.whole)
