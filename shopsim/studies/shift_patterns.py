"""Shift patterns side by side: what each does to dates and money, and what rest-time rules say of it.

A pattern is recommended only where nothing is left to weigh: it breaks no rule, neither the file's nor, where that asks
less, the Directive's, nobody works hours that are not judged here and no printer runs unattended, the runs surely put
it above the others (or above the target), and among those it surely leaves most over. Being best is told by Hsu's
intervals against the best of the others (`with_best.py`), three questions sharing the chance of error.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from shopsim.shop.shift_breaches import RestFinding, crews_not_judged, kept_by_the_file_alone, rest_findings
from shopsim.studies.compare import bonferroni_pct
from shopsim.studies.comparison import Comparison
from shopsim.studies.precision import LEAST_PLANNED, interval
from shopsim.studies.replicate import Replications
from shopsim.studies.with_best import compare_with_best

ON_TIME, LEFT_OVER = "on_time_share", "margin_per_week"
# Who surely meets the target, who may be best on time, who may leave most over: they share the chance of error.
QUESTIONS = 3


@dataclass(frozen=True, slots=True)
class Pattern:
    """One pattern: its runs and what working-time rules and guidance find in its shifts.

    `not_judged` names crews round the clock, whose hours nobody has judged; `unattended` printers that may run alone;
    `by_the_file_alone` what the pattern keeps only because the file asks less than the Directive.
    """

    name: str
    found: Replications
    findings: tuple[RestFinding, ...]
    not_judged: tuple[str, ...] = ()
    unattended: tuple[str, ...] = ()
    by_the_file_alone: tuple[str, ...] = ()

    @property
    def breaks_rules(self) -> bool:
        """Whether a minimum rule is broken; guidance is softer."""
        return any(finding.rule for finding in self.findings)

    @property
    def is_clear(self) -> bool:
        """Whether nothing about people and hot machines is left for somebody else to decide."""
        return not (self.breaks_rules or self.not_judged or self.unattended or self.by_the_file_alone)


@dataclass(frozen=True, slots=True)
class PatternAnswer:
    """All patterns, the shop as it stands first; `recommended` is None where there is something to weigh.

    `meets` names the patterns that surely meet the on-time target, `best_dates` and `best_money` those that may be the
    best of all that are clear.
    """

    patterns: tuple[Pattern, ...]
    recommended: str | None
    meets: tuple[str, ...]
    best_dates: tuple[str, ...]
    best_money: tuple[str, ...]
    comparison: Comparison


def judge_patterns(comparison: Comparison) -> PatternAnswer:
    """Judge the options of a comparison, base included, as shift patterns."""
    runs = {"as it stands": comparison.base, **comparison.options}
    patterns = tuple(_pattern(name, found) for name, found in runs.items())
    lawful = [pattern for pattern in patterns if pattern.is_clear]
    study = comparison.base.scenario.study
    each_pct = bonferroni_pct(comparison.confidence_pct, QUESTIONS)
    meets = tuple(p.name for p in lawful if _surely_meets(p, study.on_time_target_pct / 100, each_pct, len(lawful)))
    best_dates = _may_be_best(lawful, ON_TIME, each_pct)
    # Of patterns that meet the target, none is better for being earlier still: money decides.
    in_question = [p for p in lawful if p.name in (meets or best_dates)]
    best_money = _may_be_best(in_question, LEFT_OVER, each_pct)
    best_of_several = len(best_dates) == 1 and len(lawful) > 1
    enough_runs = comparison.runs >= LEAST_PLANNED
    clear = enough_runs and len(best_money) == 1 and (meets or best_of_several)
    return PatternAnswer(patterns, best_money[0] if clear else None, meets, best_dates, best_money, comparison)


def _pattern(name: str, found: Replications) -> Pattern:
    scenario = found.scenario
    alone = tuple(printer.id for printer in scenario.printers if printer.unattended_running)
    return Pattern(
        name, found, tuple(rest_findings(scenario)), tuple(crews_not_judged(scenario)), alone,
        tuple(kept_by_the_file_alone(scenario)),
    )  # fmt: skip


def _surely_meets(pattern: Pattern, target: float, confidence_pct: float, patterns: int) -> bool:
    share = interval(pattern.found.values("measures", ON_TIME), bonferroni_pct(confidence_pct, patterns))
    return share.low is not None and share.low >= target


def _may_be_best(patterns: Sequence[Pattern], measure: str, confidence_pct: float) -> tuple[str, ...]:
    """The patterns that the runs do not rule out as the best."""
    values: Mapping[str, list[float]] = {p.name: p.found.values("measures", measure) for p in patterns}
    countable = all(len(each) > 1 and not any(map(math.isnan, each)) for each in values.values())
    if len(values) < 2 or not countable:
        return tuple(values)
    shown = compare_with_best(values, confidence_pct)
    return tuple(name for name, against in shown.options.items() if against.may_be_best())
