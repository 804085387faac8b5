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
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from shopsim.errors import InputError, Problem
from shopsim.studies.compare import PairedDifference, against_base
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
    """When a comparison ends. `count` is used by `count` alone, `half_width` (in the measure's unit) by `precision`."""

    stop: Stop
    count: int = FIRST
    half_width: float = 0.0
    at_most: int = 400


@dataclass(frozen=True, slots=True)
class Comparison:
    """What came out. `confidence_pct` is that of `deciding`.

    `settled` says whether the wanted precision was reached, or else whether every difference is clearly none or not 0.

    `deciding` has one difference an option in the measure that decides, at the confidence that its stopping rule
    leaves (after several looks wider than that of a single one).
    """

    base: Replications
    options: dict[str, Replications]
    measure: str
    plan: Plan
    deciding: dict[str, PairedDifference]
    confidence_pct: float
    settled: bool

    def differences(self, measure: str) -> dict[str, PairedDifference]:
        """Every option minus the base in any measure, paired; all options at once with the study's confidence."""
        base = self.base.values("measures", measure)
        each = {name: found.values("measures", measure) for name, found in self.options.items()}
        return against_base(base, each, self.base.scenario.study.confidence_pct)

    @property
    def runs(self) -> int:
        """Replications of each option."""
        return len(self.base.rows)


def compare_options(
    runner: Runner, base: Option, options: Sequence[Option], plan: Plan, measure: str = "on_time_share"
) -> Comparison:
    """Run base and options as the plan says. Raises InputError for a measure that the base does not have, and as
    `Runner`.

    The confidence is that of the base's study. Precision and clearness are judged by the paired differences in
    `measure`; what no replication can measure (no order due) settles nothing.
    """
    count, look = (plan.count if plan.stop == "count" else min(FIRST, plan.at_most)), 1
    while True:
        rows = runner.run([Ask(option, count) for option in (base, *options)])
        found = [Replications(option.scenario, given) for option, given in zip((base, *options), rows, strict=True)]
        if measure not in found[0].keys("measures"):
            raise InputError([Problem("", None, None, "measure", f"the shop as it stands has no measure {measure!r}")])
        confidence_pct = _confidence_at(look, base.scenario.study.confidence_pct, plan.stop)
        differences = against_base(
            found[0].values("measures", measure),
            {option.name: each.values("measures", measure) for option, each in zip(options, found[1:], strict=True)},
            confidence_pct,
        )
        settled = _settled(plan, differences, count)
        if plan.stop == "count" or settled or count >= plan.at_most:
            names = [option.name for option in options]
            by_name = dict(zip(names, found[1:], strict=True))
            return Comparison(found[0], by_name, measure, plan, differences, confidence_pct, settled)
        count, look = _next_count(plan, differences, count, confidence_pct, found, measure), look + 1


def _confidence_at(look: int, confidence_pct: float, stop: Stop) -> float:
    if stop != "clear":
        return confidence_pct
    return 100 - (100 - confidence_pct) / (look * (look + 1))


def _settled(plan: Plan, differences: dict[str, PairedDifference], count: int) -> bool:
    intervals = [difference.interval for difference in differences.values()]
    if any(found.low is None or found.high is None or found.half_width is None for found in intervals):
        return False
    if plan.stop == "precision":
        narrow = all(found.half_width <= plan.half_width for found in intervals)  # type: ignore[operator]
        return narrow and count >= min(LEAST, plan.at_most)
    # What is the same in every run is clear as well.
    enough = plan.stop == "count" or count >= LEAST
    return all(
        (enough or found.half_width != 0) and (found.low > 0 or found.high < 0 or found.half_width == 0)  # type: ignore[operator]
        for found in intervals
    )


def _next_count(
    plan: Plan,
    differences: dict[str, PairedDifference],
    count: int,
    confidence_pct: float,
    found: Sequence[Replications],
    measure: str,
) -> int:
    """Half as many again; towards a precision straight to where the spread so far says it is reached."""
    grown = math.ceil(count * _GROWTH)
    if plan.stop == "precision":
        base = found[0].values("measures", measure)
        each_pct = 100 - (100 - confidence_pct) / max(1, len(differences))
        needed = [
            replications_for([a - b for a, b in zip(option.values("measures", measure), base, strict=True)],
                             plan.half_width, each_pct)
            for option in found[1:]
        ]  # fmt: skip
        wanted = max((n if n is not None else plan.at_most for n in needed), default=count)
        grown = max(count + 1, LEAST, wanted)
    return min(grown, plan.at_most)
