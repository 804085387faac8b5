"""Shift patterns side by side: what each does to dates and money, and what rest-time rules say of it.

A pattern is recommended only where nothing is left to weigh. It must be clear: it breaks no rule, neither the file's
nor, where that asks less, the Directive's, nobody works hours that are not judged here, no printer runs unattended, and
nobody is alone with a hot machine for longer than as the shop stands. And either it surely meets the target and of the
clear ones that do, or may do, it surely leaves most over; or none surely does, it surely is the best on time and no
other clear one surely leaves more over.

Three questions share the chance of error. What a pattern costs is taken at the whole chance, which finds more that
speaks against it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shopsim.shop.lone_work import lone_hot_hours_a_week
from shopsim.shop.shift_breaches import RestFinding, crews_not_judged, kept_by_the_file_alone, rest_findings
from shopsim.studies.compare import bonferroni_pct, paired_difference
from shopsim.studies.comparison import Comparison
from shopsim.studies.precision import LEAST_PLANNED, Interval, interval, more_to_settle
from shopsim.studies.replicate import Replications
from shopsim.studies.with_best import may_be_best

ON_TIME, LEFT_OVER = "on_time_share", "margin_per_week"
# Who surely meets the target, who may be best on time, who may leave most over: they share the chance of error.
QUESTIONS = 3
_ROUNDING_H = 1e-6


@dataclass(frozen=True, slots=True)
class Pattern:
    """One pattern: its runs and what working-time rules and guidance find in its shifts.

    `not_judged` names crews round the clock, whose hours nobody has judged; `unattended` printers that may run alone;
    `by_the_file_alone` what the pattern keeps only because the file asks less than the Directive; `lone_hot_h` how many
    hours a week more than as the shop stands one person is planned to be alone with a machine that may be hot.
    """

    name: str
    found: Replications
    findings: tuple[RestFinding, ...]
    not_judged: tuple[str, ...] = ()
    unattended: tuple[str, ...] = ()
    by_the_file_alone: tuple[str, ...] = ()
    lone_hot_h: float = 0.0

    @property
    def breaks_rules(self) -> bool:
        """Whether a minimum rule is broken; guidance is softer."""
        return any(finding.rule for finding in self.findings)

    @property
    def is_clear(self) -> bool:
        """Whether nothing about people and hot machines is left for somebody else to decide."""
        open_to_others = self.not_judged or self.unattended or self.by_the_file_alone or self.lone_hot_h > 0
        return not (self.breaks_rules or open_to_others)


@dataclass(frozen=True, slots=True)
class PatternAnswer:
    """All patterns, the shop as it stands first; `recommended` is None where there is something to weigh.

    `meets` names the clear patterns that surely meet the on-time target, `may_meet` those that neither surely do nor
    surely do not, `best_dates` those that may be best on time, `best_money` those that may leave most over: of the ones
    that surely meet the target or may or, if none surely does, may be best on time; of all clear ones if only one may
    be. `leave_more` are then the clear ones that surely leave more over than that
    one, the most first.
    """

    patterns: tuple[Pattern, ...]
    recommended: str | None
    meets: tuple[str, ...]
    may_meet: tuple[str, ...]
    best_dates: tuple[str, ...]
    best_money: tuple[str, ...]
    leave_more: tuple[str, ...]
    comparison: Comparison

    def against(self, one: str, other: str, measure: str) -> Interval:
        """How much more of a measure a clear pattern has than another, paired; those against all others hold at once
        with the stated confidence (Bonferroni)."""
        by_name = {pattern.name: pattern for pattern in self.patterns if pattern.is_clear}
        return _step(by_name[one], by_name[other], measure, self.comparison.confidence_pct, len(by_name) - 1)

    def more_to_tell(self, name: str) -> int | None:
        """How many more replications would tell whether a clear pattern meets the target; None where none would."""
        pattern = next(pattern for pattern in self.patterns if pattern.name == name)
        clear = sum(each.is_clear for each in self.patterns)
        level = bonferroni_pct(self.comparison.confidence_pct, QUESTIONS * clear)
        return more_to_settle(pattern.found.values("measures", ON_TIME), level, _target(self.comparison))


def judge_patterns(comparison: Comparison) -> PatternAnswer:
    """Judge the options of a comparison, base included, as shift patterns."""
    runs = {"as it stands": comparison.base, **comparison.options}
    lone_h = lone_hot_hours_a_week(comparison.base.scenario)
    patterns = tuple(_pattern(name, found, lone_h) for name, found in runs.items())
    lawful = [pattern for pattern in patterns if pattern.is_clear]
    each_pct = bonferroni_pct(comparison.confidence_pct, QUESTIONS)
    shares = {p.name: interval(p.found.values("measures", ON_TIME), bonferroni_pct(each_pct, len(lawful)))
              for p in lawful}  # fmt: skip
    target = _target(comparison)
    meets = tuple(name for name, share in shares.items() if share.low is not None and share.low >= target)
    may_meet = tuple(name for name, share in shares.items()
                     if name not in meets and (share.high is None or share.high >= target))  # fmt: skip
    best_dates = _may_be_best(lawful, ON_TIME, each_pct)
    best_of_several = not meets and len(best_dates) == 1 and len(lawful) > 1
    # Of patterns that meet the target, none is better for being earlier still: money decides, and one that may meet it
    # must be ruled out by money as well.
    asked = (*meets, *may_meet) if meets else best_dates
    in_question = lawful if best_of_several else [p for p in lawful if p.name in asked]
    best_money = _may_be_best(in_question, LEFT_OVER, each_pct)
    leave_more = _leave_more(lawful, best_dates[0], comparison.confidence_pct) if best_of_several else ()
    recommended = None
    if comparison.runs >= LEAST_PLANNED and len(best_money) == 1 and best_money[0] in meets:
        recommended = best_money[0]
    elif comparison.runs >= LEAST_PLANNED and best_of_several and not leave_more:
        recommended = best_dates[0]
    return PatternAnswer(patterns, recommended, meets, may_meet, best_dates, best_money, leave_more, comparison)


def _pattern(name: str, found: Replications, lone_h: float) -> Pattern:
    scenario = found.scenario
    alone = tuple(printer.id for printer in scenario.printers if printer.unattended_running)
    more_h = lone_hot_hours_a_week(scenario) - lone_h
    return Pattern(
        name, found, tuple(rest_findings(scenario)), tuple(crews_not_judged(scenario)), alone,
        tuple(kept_by_the_file_alone(scenario)), more_h if more_h > _ROUNDING_H else 0.0,
    )  # fmt: skip


def _leave_more(patterns: Sequence[Pattern], one: str, confidence_pct: float) -> tuple[str, ...]:
    """Which patterns surely leave more over than one of them, the most first."""
    chosen = next(pattern for pattern in patterns if pattern.name == one)
    others = [pattern for pattern in patterns if pattern.name != one]
    ahead = {other.name: _step(other, chosen, LEFT_OVER, confidence_pct, len(others)) for other in others}
    return tuple(sorted((name for name in ahead if ahead[name].sign > 0), key=lambda name: -ahead[name].mean))


def _step(one: Pattern, other: Pattern, measure: str, confidence_pct: float, pairs: int) -> Interval:
    values, beside = (pattern.found.values("measures", measure) for pattern in (one, other))
    return paired_difference(values, beside, bonferroni_pct(confidence_pct, pairs)).interval


def _target(comparison: Comparison) -> float:
    return comparison.base.scenario.study.on_time_target_pct / 100


def _may_be_best(patterns: Sequence[Pattern], measure: str, confidence_pct: float) -> tuple[str, ...]:
    """The patterns that the runs do not rule out as the best."""
    values = {pattern.name: pattern.found.values("measures", measure) for pattern in patterns}
    able = may_be_best(values, confidence_pct) if values else ()
    return tuple(name for name in values if name in able)
