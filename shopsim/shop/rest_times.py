"""What shift plans mean for the people in them, in few words: nights, long shifts, short rests, long weeks.

The words of caution SAF-09 follow from what `shift_breaches` finds in the patterns. Local law and agreements rule.
"""

from __future__ import annotations

from collections.abc import Iterator

from shopsim.clock import MINUTES_PER_DAY
from shopsim.craft.shift_guidance import IN_A_ROW, LONG_H
from shopsim.craft.shift_hours import Worked
from shopsim.shop.people import Crew, Shift
from shopsim.shop.policies import Overtime
from shopsim.shop.scenario import Scenario
from shopsim.shop.shift_breaches import WITH_OVERTIME, WITHOUT_END, RestFinding, pattern_findings, worked_shifts

_NIGHT_END_MIN = 5 * 60


def shift_findings(scenario: Scenario) -> Iterator[str]:
    """One text for manned shifts with the same to point out, e.g. ``shift late: night work, 4 nights in a row``; then
    what is to point out only if all overtime is worked, by crews that have agreed to the same."""
    same: dict[str, list[str]] = {}
    longer: list[str] = []
    for shift in scenario.shifts:
        crews = [crew for crew in scenario.crews if crew.shift == shift.id and crew.count]
        if crews and not shift.round_the_clock:
            plain = _findings(shift, pattern_findings(shift, crews, scenario.shop.starts))
            same.setdefault(", ".join(plain), []).append(shift.id)
            longer += _with_overtime(scenario, shift, crews, plain)
    yield from (f"shift {', '.join(shifts)}: {found}" for found, shifts in same.items() if found)
    yield from longer


def _with_overtime(scenario: Scenario, shift: Shift, crews: list[Crew], plain: list[str]) -> Iterator[str]:
    groups: dict[tuple[Overtime, ...], list[Crew]] = {}
    for crew in crews:
        groups.setdefault(tuple(each for each in scenario.policies.overtime if crew.id in each.crews), []).append(crew)
    for agreed, group in groups.items():
        breaches = pattern_findings(shift, group, scenario.shop.starts, overtime=agreed)
        more = [each for each in _findings(shift, breaches, agreed) if each not in plain]
        if more:
            who = ", ".join(crew.id for crew in group)
            yield f"shift {shift.id} of {who}{WITH_OVERTIME}: {', '.join(more)}"


def _findings(shift: Shift, breaches: list[RestFinding], overtime: tuple[Overtime, ...] = ()) -> list[str]:
    return list(_found(breaches, worked_shifts(shift, len(shift.weeks), overtime)))


def _found(breaches: list[RestFinding], turns: list[Worked]) -> Iterator[str]:
    rows = [each for each in breaches if each.what.startswith(f"nights {IN_A_ROW}")]
    if any(each.what.endswith(WITHOUT_END) for each in rows):
        yield "night work, every night"
    elif rows:
        yield f"night work, {max(each.found for each in rows):g} nights in a row"
    elif any(_holds_night(turn.start, turn.end) for turn in turns):
        yield "night work"
    longest = max((turn.span_h for turn in turns), default=0.0)
    if longest > LONG_H:
        yield f"{longest:g} h from start to end"
    rests = [each for each in breaches if each.what == "daily rest"]
    if rests:
        shortest = min(rests, key=lambda each: each.found)
        yield f"only {shortest.found:g} h of rest between two shifts ({shortest.required:g} h is the usual least)"
    weeks = [each for each in breaches if each.what == "weekly hours"]
    if weeks:
        longest_week = max(weeks, key=lambda each: each.found)
        yield f"{longest_week.found:.0f} h a week on average ({longest_week.required:g} h is the usual most)"


def _holds_night(start: float, end: float) -> bool:
    """Whether a shift works between 00:00 and 05:00."""
    midnight = start // MINUTES_PER_DAY * MINUTES_PER_DAY
    return start < midnight + _NIGHT_END_MIN or end > midnight + MINUTES_PER_DAY
