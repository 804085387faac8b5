"""Rest-time rules and guidance applied to every shift pattern over its whole rotation: who, when, found, required.

Everybody of a crew works its shift, so a finding holds for each of them. Breaks in a shift count as unpaid. The rules
are the file's (`policies.working_time`) or the Directive's. Weekly rest is judged by weeks from Monday to Sunday
(`craft/weekly_rest`). Closures are left out: the pattern itself is judged. Crews of round-the-clock shifts are not:
their hours are nobody's. Local law and agreements rule; a finding decides nothing.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import ceil, inf

from shopsim.clock import MINUTES_PER_DAY, MINUTES_PER_WEEK, date_of, day_number
from shopsim.craft.shift_guidance import IN_A_ROW, QUICK_RETURN, guidance
from shopsim.craft.shift_hours import Worked
from shopsim.craft.shift_rules import DIRECTIVE, Breach, Rules, breaches
from shopsim.shop.people import WEEKDAYS, Crew, Shift
from shopsim.shop.policies import Overtime
from shopsim.shop.scenario import Scenario
from shopsim.shop.working_time import directive_beside, rules_in_force

WITHOUT_END = ", without end"
WITH_OVERTIME = ", if all overtime is worked"


@dataclass(frozen=True, slots=True)
class RestFinding:
    """One breach of a rule, or of a piece of guidance, by everybody of some crews.

    `crew_sizes` are the people of each crew, `people` all of them. `date` is that of the shift, or of the Monday of the
    week or reference period, in the first rotation. `found` and `required` are hours, or days or nights for rows of
    them and for sleep; a row without end has the days of the rotation as `found`. `required` is None where the rule
    names no number; `reason` says what the numbers do not.
    """

    shift: str
    crews: tuple[str, ...]
    crew_sizes: tuple[int, ...]
    people: int
    row: str
    what: str
    rule: bool
    date: datetime.date
    found: float
    required: float | None
    reason: str = ""


def worked_shifts(shift: Shift, weeks: int, overtime: Sequence[Overtime] = ()) -> list[Worked]:
    """The shifts of one person over so many weeks of a pattern, from the start Monday on, with all overtime agreed."""
    calendar = shift.calendar(weeks * MINUTES_PER_WEEK)
    found: dict[int, Worked] = {}
    columns = (calendar.starts, calendar.ends, calendar.shift_numbers, calendar.start_days)
    for start, end, number, day in zip(*columns, strict=True):
        if day < 0:
            continue
        before = found.get(number)
        pause = 0.0 if before is None else before.break_min + start - before.end
        found[number] = Worked(start if before is None else before.start, end, pause)
    return _lengthened(list(found.values()), overtime)


def rest_findings(scenario: Scenario) -> list[RestFinding]:
    """Every breach by the people of all manned shifts, minimum rules first; those with overtime are softer notes."""
    found: list[RestFinding] = []
    rules = rules_in_force(scenario.policies.working_time)
    for shift, crews in _manned(scenario):
        plain = _of_pattern(shift, rules)
        found += pattern_findings(shift, crews, scenario.shop.starts, rules)
        for crew in crews:
            agreed = tuple(each for each in scenario.policies.overtime if crew.id in each.crews)
            known = {(breach.what, breach.at) for rule, breach in plain if rule}
            more = [(False, b) for rule, b in _of_pattern(shift, rules, agreed) if rule and (b.what, b.at) not in known]
            for _, breach, date in _dated(more if agreed else [], shift, scenario.shop.starts):
                over = breach._replace(what=f"{breach.what}{WITH_OVERTIME}")
                found.append(_finding(shift, [crew], over, False, date))
    return sorted(found, key=lambda finding: not finding.rule)


def kept_by_the_file_alone(scenario: Scenario) -> list[str]:
    """What the shifts keep only because the file asks less than the Directive: `daily rest`, `weekly hours` …"""
    own = rules_in_force(scenario.policies.working_time)
    usual = directive_beside(own)
    found: dict[str, None] = {}
    for shift, _ in _manned(scenario):
        known = {(breach.what, breach.at) for rule, breach in _of_pattern(shift, own) if rule}
        broken = (breach for rule, breach in _of_pattern(shift, usual) if rule)
        found |= dict.fromkeys(breach.what for breach in broken if (breach.what, breach.at) not in known)
    return list(found)


def _manned(scenario: Scenario) -> Iterator[tuple[Shift, list[Crew]]]:
    """The shifts that somebody works and that are judged, with their crews."""
    for shift in scenario.shifts:
        crews = [crew for crew in scenario.crews if crew.shift == shift.id and crew.count]
        if crews and not shift.round_the_clock:
            yield shift, crews


def pattern_findings(
    shift: Shift, crews: Sequence[Crew], starts: datetime.date, rules: Rules = DIRECTIVE,
    overtime: tuple[Overtime, ...] = (),
) -> list[RestFinding]:  # fmt: skip
    """Every breach by the crews of one shift that is not round the clock, with all of the overtime given."""
    return [
        _finding(shift, crews, breach, rule, date)
        for rule, breach, date in _dated(_of_pattern(shift, rules, overtime), shift, starts)
    ]


def _finding(shift: Shift, crews: Sequence[Crew], breach: Breach, rule: bool, date: datetime.date) -> RestFinding:
    sizes = tuple(crew.count for crew in crews)
    return RestFinding(
        shift.id, tuple(crew.id for crew in crews), sizes, sum(sizes), breach.row, breach.what, rule, date,
        breach.found, breach.required, breach.reason,
    )  # fmt: skip


def crews_not_judged(scenario: Scenario) -> list[str]:
    """Crews whose shift is round the clock."""
    endless = {shift.id for shift in scenario.shifts if shift.round_the_clock}
    return [crew.id for crew in scenario.crews if crew.shift in endless and crew.count]


@lru_cache(maxsize=256)
def _of_pattern(
    shift: Shift, rules: Rules, overtime: tuple[Overtime, ...] = ()
) -> tuple[tuple[bool, Breach], ...]:  # fmt: skip
    """Breaches of rules, then of guidance, in one rotation; tables, cautions and the review ask for the same."""
    return tuple(_found(shift, rules, overtime))


def _found(shift: Shift, rules: Rules, overtime: Sequence[Overtime]) -> Iterator[tuple[bool, Breach]]:
    rotation_min = len(shift.weeks) * MINUTES_PER_WEEK
    # The second rotation is judged, so that the wrap from the last week to the first is seen; more follow until the
    # reference period of the weekly average is full from each of its weeks on.
    rotations = 2 + ceil(rules.reference_weeks / len(shift.weeks))
    shifts = worked_shifts(shift, rotations * len(shift.weeks), overtime)
    until_min = rotations * rotation_min
    broken = breaches(shifts, rules)
    # A quick return that breaks the daily rest is told once, by the rule.
    told = {breach.at for breach in broken if breach.what == "daily rest"}
    softer = [each for each in guidance(shifts, rules) if each.what != QUICK_RETURN or each.at not in told]
    for rule, all_found in ((True, broken), (False, softer)):
        for breach in all_found:
            endless = breach.what.endswith(IN_A_ROW) and breach.at < rotation_min and (
                breach.at + breach.found * MINUTES_PER_DAY > until_min - MINUTES_PER_DAY
            )  # fmt: skip
            if endless:
                days = rotation_min / MINUTES_PER_DAY
                yield rule, breach._replace(what=f"{breach.what}{WITHOUT_END}", found=days)
            elif rotation_min <= breach.at < 2 * rotation_min:
                yield rule, breach


def _lengthened(shifts: Sequence[Worked], overtime: Sequence[Overtime]) -> list[Worked]:
    """The shifts with all overtime agreed for their days, as far as the next shift."""
    found = []
    for shift, after in pairwise([*shifts, Worked(inf, inf)]):
        day = WEEKDAYS[day_number(shift.start) % 7]
        more = sum(each.minutes for each in overtime if day in each.days)
        found.append(shift._replace(end=min(shift.end + more, max(shift.end, after.start))))
    return found


def _dated(
    breaches_found: Sequence[tuple[bool, Breach]], shift: Shift, starts: datetime.date
) -> Iterator[tuple[bool, Breach, datetime.date]]:
    rotation_min = len(shift.weeks) * MINUTES_PER_WEEK
    for rule, breach in sorted(breaches_found, key=lambda each: (not each[0], each[1].at % rotation_min)):
        yield rule, breach, date_of(breach.at % rotation_min, starts)
