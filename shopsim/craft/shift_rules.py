"""Working-time rules as arithmetic on one person's shifts: the least that Directive 2003/88/EC asks, or a country's.

A finding points out and decides nothing: derogations exist, local law and agreements rule (handbook LAW-01..07).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from shopsim.craft.shift_hours import (
    DAY_MIN,
    H_MIN,
    SLACK_H,
    WEEK_MIN,
    Worked,
    average_weekly_hours,
    rests_h,
    weekly_hours,
    worked_weeks,
)
from shopsim.craft.weekly_rest import weekly_rests

# Without the day of weekly rest.
_DAYS_A_WEEK = 6


@dataclass(frozen=True, slots=True)
class Rules:
    """The numbers a country or agreement may set. Defaults: the Directive.

    `breaks`: hours worked in a shift above which a break is due, and its least minutes in all; None where any break
    will do, as in the Directive, which leaves the length to national law. Hours rise from pair to pair.
    """

    daily_rest_h: float = 11.0  # LAW-01, Art. 3
    breaks: tuple[tuple[float, float | None], ...] = ((6.0, None),)  # LAW-02, Art. 4
    weekly_rest_h: float = 35.0  # LAW-03, Art. 5: 24 h and the 11 h
    weekly_average_h: float = 48.0  # LAW-04, Art. 6
    reference_weeks: int = 17  # Art. 16: four months
    night_start_min: float = 23 * 60.0  # LAW-07
    night_end_min: float = 30 * 60.0
    night_shift_from_h: float = 3.0  # Art. 2(4)
    night_average_h: float = 8.0  # LAW-05, Art. 8(a): a night worker's hours in 24 h on average
    night_h: float = 8.0  # LAW-05, Art. 8(b)
    heavy_work: bool = True
    """Art. 8(b): special hazards or heavy strain, as at hot plates and rolls: the 8 h hold for each night shift."""


DIRECTIVE = Rules()
NIGHT_SHIFT = "night shift"


class Breach(NamedTuple):
    """One finding: handbook row, start of the shift or week it is about, hours found and hours required.

    `required` is None where the rule names no number; `reason` tells in words what the numbers do not.
    """

    row: str
    what: str
    at: float
    found: float
    required: float | None
    reason: str = ""


def night_hours(shift: Worked, rules: Rules = DIRECTIVE) -> float:
    """Hours of a shift, breaks included, that lie in the night."""
    total = 0.0
    for day in range(int(shift.start // DAY_MIN) - 1, int(shift.end // DAY_MIN) + 1):
        start, end = day * DAY_MIN + rules.night_start_min, day * DAY_MIN + rules.night_end_min
        total += max(0.0, min(shift.end, end) - max(shift.start, start))
    return total / H_MIN


def is_night(shift: Worked, rules: Rules = DIRECTIVE) -> bool:
    """Whether a shift has so many hours in the night that it makes a night worker (Art. 2(4))."""
    return night_hours(shift, rules) >= rules.night_shift_from_h - SLACK_H


def is_night_worker(shifts: Sequence[Worked], rules: Rules = DIRECTIVE) -> bool:
    """Whether more than half of the shifts are night shifts.

    Art. 2(4) says "as a normal course" and names no share: half is a convention, and the pages say so.
    """
    return sum(is_night(shift, rules) for shift in shifts) * 2 > len(shifts)


def long_nights(shifts: Sequence[Worked], rules: Rules) -> list[Worked]:
    """The night shifts longer than work with special hazards or heavy strain may be at night."""
    return [shift for shift in shifts if is_night(shift, rules) and shift.net_h > rules.night_h + SLACK_H]


def breaches(shifts: Sequence[Worked], rules: Rules = DIRECTIVE) -> list[Breach]:
    """Every minimum rule these shifts of one person fall short of, in the order of the rules."""
    found = [*_short_rests(shifts, rules), *_missing_breaks(shifts, rules), *_short_weekly_rests(shifts, rules)]
    found += _long_weeks(shifts, rules)
    if not is_night_worker(shifts, rules):
        return found
    found += _long_nights_on_average(shifts, rules)
    if rules.heavy_work:
        found += [Breach("LAW-05", NIGHT_SHIFT, s.start, s.net_h, rules.night_h) for s in long_nights(shifts, rules)]
    return found


def _short_rests(shifts: Sequence[Worked], rules: Rules) -> Iterator[Breach]:
    for (_, after), rest in zip(pairwise(shifts), rests_h(shifts), strict=True):
        if rest < rules.daily_rest_h - SLACK_H:
            yield Breach("LAW-01", "daily rest", after.start, rest, rules.daily_rest_h)


def _missing_breaks(shifts: Sequence[Worked], rules: Rules) -> Iterator[Breach]:
    for shift in shifts:
        due = [each for each in rules.breaks if shift.net_h > each[0] + SLACK_H]
        if not due:
            continue
        above_h, least_min = due[-1]
        long = f"{shift.net_h:.4g} h"
        if least_min is None:
            if shift.break_min <= 0:
                reason = f"{long} without a break, one is due above {above_h:g} h"
                yield Breach("LAW-02", "break", shift.start, 0.0, None, reason)
        elif shift.break_min < least_min - SLACK_H:
            had = f"with {shift.break_min:.4g} min of break" if shift.break_min else "without a break"
            reason = f"{long} {had}, {least_min:g} min are due above {above_h:g} h"
            yield Breach("LAW-02", "break", shift.start, shift.break_min / H_MIN, least_min / H_MIN, reason)


def _short_weekly_rests(shifts: Sequence[Worked], rules: Rules) -> Iterator[Breach]:
    for week in weekly_rests(shifts, rules.weekly_rest_h):
        if not week.enough:
            reason = "the longer rest at the turn of the week counts for the other week" if week.lent else ""
            yield Breach("LAW-03", "weekly rest", week.monday, week.longest_h, rules.weekly_rest_h, reason)


def _averages(shifts: Sequence[Worked], rules: Rules) -> Iterator[tuple[float, float]]:
    """Start and mean hours a week of each reference period that begins with one of the weeks."""
    hours, weeks = weekly_hours(shifts), worked_weeks(shifts)
    length = min(rules.reference_weeks, len(hours))
    for first in range(len(hours) - length + 1):
        yield weeks[first] * WEEK_MIN, average_weekly_hours(hours[first : first + length])


def _long_weeks(shifts: Sequence[Worked], rules: Rules) -> Iterator[Breach]:
    for at, average in _averages(shifts, rules):
        if average > rules.weekly_average_h + SLACK_H:
            yield Breach("LAW-04", "weekly hours", at, average, rules.weekly_average_h)


def _long_nights_on_average(shifts: Sequence[Worked], rules: Rules) -> Iterator[Breach]:
    """The Directive leaves the reference period to national law: here that of the weekly hours, and six days a week,
    the weekly rest of 24 h left out (as in the Working Time Regulations 1998, reg. 6, from memory)."""
    for at, average in _averages(shifts, rules):
        if average / _DAYS_A_WEEK > rules.night_average_h + SLACK_H:
            yield Breach("LAW-05", "night hours on average", at, average / _DAYS_A_WEEK, rules.night_average_h)
