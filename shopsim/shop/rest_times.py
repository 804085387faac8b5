"""What shift plans mean for the people in them, in few words: nights, long shifts, short rests, long weeks.

The words of caution SAF-09 follow from what `shift_breaches` finds in the patterns. Local law and agreements rule.
"""

from __future__ import annotations

from collections.abc import Iterator

from shopsim.clock import MINUTES_PER_DAY
from shopsim.craft.shift_guidance import IN_A_ROW, LONG_H
from shopsim.shop.people import Shift
from shopsim.shop.scenario import Scenario
from shopsim.shop.shift_breaches import WITHOUT_END, RestFinding, pattern_findings, worked_shifts

_NIGHT_END_MIN = 5 * 60


def shift_findings(scenario: Scenario) -> Iterator[str]:
    """One text for manned shifts with the same to point out, e.g. ``shift late: night work, 4 nights in a row``."""
    same: dict[str, list[str]] = {}
    for shift in scenario.shifts:
        crews = [crew for crew in scenario.crews if crew.shift == shift.id and crew.count]
        if crews and not shift.round_the_clock:
            breaches = pattern_findings(shift, crews, scenario.shop.starts)
            same.setdefault(", ".join(_findings(shift, breaches)), []).append(shift.id)
    yield from (f"shift {', '.join(shifts)}: {found}" for found, shifts in same.items() if found)


def _findings(shift: Shift, breaches: list[RestFinding]) -> Iterator[str]:
    turns = worked_shifts(shift, len(shift.weeks))
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
