"""Options beside a base, run on the same orders until the question is settled or the runs are used up.

Replication k of every option meets the same orders (common random numbers), so differences are paired. How long to run:

* a given number of replications;
* until the half-width of every difference is below a wanted one. Y. S. Chow and H. Robbins, "On the asymptotic theory
  of fixed-width sequential confidence intervals for the mean", Annals of Mathematical Statistics 36 (1965) 457-462: the
  interval keeps its confidence as the width gets small, so at least 30 replications are run;
* until every difference is clearly above or below 0. Looking again and again would soon find a difference by chance;
  so look j spends the share 1 / (j (j + 1)) of the chance of error, which sums to no more than the whole.

All intervals hold at once (Bonferroni over the options).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from shopsim.errors import InputError, Problem
from shopsim.studies.compare import PairedDifference, bonferroni_pct, paired_difference
from shopsim.studies.option import Option
from shopsim.studies.precision import replications_for
from shopsim.studies.replicate import Replications
from shopsim.studies.runner import Ask, Runner

FIRST = 10
# Fewer runs than this may have missed what happens in one of ten: their spread settles nothing.
LEAST = 30
_GROWTH = 1.5
Stop = Literal["count", "precision", "clear"]


@dataclass(frozen=True, slots=True)
class Plan:
    """When a comparison ends. `count` is used by `count` alone, `half_width` (in the measure's unit) by `precision`, as
    is `share_of_base`, a half-width as a share of the base's mean.

    An option that is settled is not run further while others are; `together` runs all as long as any.
    """

    stop: Stop
    count: int = FIRST
    half_width: float = 0.0
    at_most: int = 400
    share_of_base: float = 0.0
    together: bool = False


@dataclass(frozen=True, slots=True)
class Comparison:
    """What came out.

    `settled` says whether the wanted precision was reached, or else whether every difference is clearly none or not 0.

    `deciding` has one difference an option in the measure that decides. `levels` has the confidence with which all of
    them would hold at once if all had been looked at as often as that one: that of the study, after several looks for
    clearness higher. `confidence_pct` is the highest of them.
    """

    base: Replications
    options: dict[str, Replications]
    measure: str
    plan: Plan
    deciding: dict[str, PairedDifference]
    levels: dict[str, float]
    settled: bool

    @property
    def confidence_pct(self) -> float:
        """The highest level, at which all that is told together holds."""
        return max(self.levels.values(), default=self.base.scenario.study.confidence_pct)

    def differences(self, measure: str) -> dict[str, PairedDifference]:
        """Every option minus the base in any measure, paired, at the level of the option, all at once (Bonferroni)."""
        return {
            name: paired_difference(
                found.values("measures", measure), self.base_beside(name).values("measures", measure),
                self.each_pct(name),
            )
            for name, found in self.options.items()
        }  # fmt: skip

    def steps(self, name: str) -> list[float]:
        """An option less the base in the measure that decides, by replication."""
        base, option = (each.values("measures", self.measure) for each in (self.base_beside(name), self.options[name]))
        return [a - b for a, b in zip(option, base, strict=True)]

    def each_pct(self, name: str) -> float:
        """The confidence of an option's own interval, its share of the level (Bonferroni)."""
        return bonferroni_pct(self.levels[name], len(self.options))

    def base_beside(self, name: str) -> Replications:
        """The base's replications that an option has as well."""
        return replace(self.base, rows=self.base.rows[: len(self.options[name].rows)])

    @property
    def runs(self) -> int:
        """Replications of the base, and of the options that took most."""
        return len(self.base.rows)


def compare_options(
    runner: Runner, base: Option, options: Sequence[Option], plan: Plan, measure: str = "on_time_share",
    on_round: Callable[[Comparison], None] | None = None,
) -> Comparison:  # fmt: skip
    """Run base and options as the plan says; `on_round` is given what they tell whenever more is to be run.

    Raises InputError for a measure that the base does not have, and as `Runner`.

    The confidence is that of the base's study. Precision and clearness are judged by the paired differences in
    `measure`; what no replication can measure (no order due) settles nothing.
    """
    count, look = (plan.count if plan.stop == "count" else min(FIRST, plan.at_most)), 1
    found = {option.name: Replications(option.scenario, ()) for option in options}
    base_runs = Replications(base.scenario, ())
    levels: dict[str, float] = {}
    at_work = list(options)
    while True:
        # Whatever is still at work has as many as the base.
        there = len(base_runs.rows)
        of_base, *added = runner.run([Ask(option, count - there, there) for option in (base, *at_work)])
        base_runs = replace(base_runs, rows=base_runs.rows + of_base)
        if measure not in base_runs.keys("measures"):
            raise InputError([Problem("", None, None, "measure", f"the shop as it stands has no measure {measure!r}")])
        for option, new in zip(at_work, added, strict=True):
            found[option.name] = replace(found[option.name], rows=found[option.name].rows + new)
            levels[option.name] = _level_at(look, base.scenario.study.confidence_pct, plan.stop)
        so_far = Comparison(base_runs, dict(found), measure, plan, {}, levels, False)
        deciding = so_far.differences(measure)
        wanted = plan.half_width or plan.share_of_base * abs(base_runs.interval("measures", measure).mean)
        unsettled = [option for option in at_work if not _settled(plan, deciding[option.name], count, wanted)]
        if plan.stop == "count" or not unsettled or count >= plan.at_most:
            return replace(so_far, deciding=deciding, settled=not unsettled)
        if on_round is not None:
            on_round(replace(so_far, deciding=deciding))
        at_work = at_work if plan.together else unsettled
        count, look = _next_count(plan, so_far, unsettled, count, wanted), look + 1


def _level_at(look: int, confidence_pct: float, stop: Stop) -> float:
    if stop != "clear":
        return confidence_pct
    return bonferroni_pct(confidence_pct, look * (look + 1))


def _settled(plan: Plan, difference: PairedDifference, count: int, wanted: float) -> bool:
    found = difference.interval
    if found.low is None or found.high is None or found.half_width is None:
        return False
    if plan.stop == "precision":
        return found.half_width <= wanted and count >= min(LEAST, plan.at_most)
    # What is the same in every run is clear as well.
    enough = plan.stop == "count" or count >= LEAST
    return (enough or found.half_width != 0) and (found.sign != 0 or found.half_width == 0)


def _next_count(plan: Plan, found: Comparison, unsettled: Sequence[Option], count: int, wanted: float) -> int:
    """Half as many again; towards a precision straight to where the spread so far says it is reached."""
    grown = math.ceil(count * _GROWTH)
    if plan.stop == "precision":
        needed = [_needed(found, option.name, wanted) for option in unsettled]
        grown = max(count + 1, LEAST, max(plan.at_most if n is None else n for n in needed))
    return min(grown, plan.at_most)


def _needed(found: Comparison, name: str, wanted: float) -> int | None:
    return replications_for(found.steps(name), wanted, found.each_pct(name)) if wanted > 0 else None
