"""What shift plans mean for the people in them: nights, long shifts, short rests, long weeks, working alone.

Bounds are those of the handbook's section 9 (LAW-01, -04, -07, -08): minimum rules and a regulator's guidance. Local
law and agreements rule.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from shopsim.calendars import Calendar
from shopsim.clock import MINUTES_PER_DAY, MINUTES_PER_WEEK
from shopsim.craft.shift_rules import DIRECTIVE, MOST_NIGHTS, Worked, rests_h
from shopsim.shop.rough_hours import shift_calendars
from shopsim.shop.scenario import Scenario

LONG_SHIFT_H = 10.0  # LAW-09
_NIGHT_END_MIN = 5 * 60
_GRID_MIN = 15
# Long enough for any rotation of a demo or a quarter; shift plans repeat.
_WEEKS_SEEN = 26


def shift_findings(scenario: Scenario) -> Iterator[str]:
    """One text for manned shifts with the same to point out, e.g. ``shift late: night work, 4 nights in a row``."""
    calendars = shift_calendars(scenario)
    manned = {crew.shift for crew in scenario.crews if crew.count}
    same: dict[str, list[str]] = {}
    for shift in scenario.shifts:
        if not shift.round_the_clock and shift.id in manned:
            same.setdefault(", ".join(_findings(calendars[shift.id], scenario.horizon_min)), []).append(shift.id)
    yield from (f"shift {', '.join(shifts)}: {found}" for found, shifts in same.items() if found)


def _findings(calendar: Calendar, horizon_min: float) -> Iterator[str]:
    until = min(horizon_min, _WEEKS_SEEN * MINUTES_PER_WEEK)
    turns = [turn for turn in calendar.envelope().intervals() if turn[0] < until]
    if not turns:
        return
    nights = [int(start // MINUTES_PER_DAY) for start, end in turns if _holds_night(start, end)]
    if nights:
        row = _longest_row(nights)
        if row >= until // MINUTES_PER_DAY - 1:
            yield "night work, every night"
        else:
            yield f"night work, {row} nights in a row" if row > MOST_NIGHTS else "night work"
    longest = max(end - start for start, end in turns) / 60
    if longest > LONG_SHIFT_H:
        yield f"{longest:g} h from start to end"
    rests = rests_h([Worked(start, end) for start, end in turns])
    if rests and min(rests) < DIRECTIVE.daily_rest_h:
        yield f"only {min(rests):g} h of rest between two shifts (11 h is the usual least)"
    weekly = calendar.total(until) / until * MINUTES_PER_WEEK / 60
    if weekly > DIRECTIVE.weekly_average_h:
        yield f"{weekly:.0f} h a week on average (48 h is the usual most)"


def _holds_night(start: float, end: float) -> bool:
    """Whether a shift works between 00:00 and 05:00."""
    midnight = start // MINUTES_PER_DAY * MINUTES_PER_DAY
    return start < midnight + _NIGHT_END_MIN or end > midnight + MINUTES_PER_DAY


def _longest_row(days: list[int]) -> int:
    best = row = 1
    for before, after in pairwise(days):
        row = row + 1 if after == before + 1 else 1
        best = max(best, row)
    return best


def lone_hours_a_week(scenario: Scenario) -> float:
    """Hours a week with exactly one person planned to be there, breaks of that person included."""
    calendars = shift_calendars(scenario)
    until = min(scenario.horizon_min, _WEEKS_SEEN * MINUTES_PER_WEEK)
    grid = np.arange(_GRID_MIN / 2, until, _GRID_MIN)
    there = np.zeros(len(grid), dtype=int)
    for crew in scenario.crews:
        hours = calendars[crew.shift].envelope()
        if hours.starts and crew.count:
            i = np.searchsorted(hours.starts, grid, side="right") - 1
            there += crew.count * ((i >= 0) & (grid < np.array(hours.ends)[i]))
    return float((there == 1).sum() * _GRID_MIN / 60 / (until / MINUTES_PER_WEEK))
