"""Working-time rules as arithmetic on one person's shifts: minimum rules of Directive 2003/88/EC, and softer guidance.

Minutes count from 00:00 of a Monday; hours are net of unpaid breaks where the rule counts work, gross where it counts
rest. A finding points out and decides nothing: derogations exist, local law and agreements rule (handbook LAW-01..08).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor
from typing import NamedTuple

_H, _DAY, _WEEK = 60.0, 1440.0, 10080.0
_SLACK_H = 1e-9
# Without the day of weekly rest.
_DAYS_A_WEEK = 6


class Worked(NamedTuple):
    """One shift of one person: start and end in minutes, and the unpaid break inside it."""

    start: float
    end: float
    break_min: float = 0.0

    @property
    def span_h(self) -> float:
        """Hours from start to end."""
        return (self.end - self.start) / _H

    @property
    def net_h(self) -> float:
        """Hours worked."""
        return (self.end - self.start - self.break_min) / _H


@dataclass(frozen=True, slots=True)
class Rules:
    """The numbers a country or agreement may set. Defaults: the Directive; a break's length is set nationally."""

    daily_rest_h: float = 11.0  # LAW-01, Art. 3
    break_if_longer_than_h: float = 6.0  # LAW-02, Art. 4
    least_break_min: float | None = None
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
UNITED_KINGDOM = Rules(least_break_min=20.0)
GERMANY_BREAKS = ((6.0, 30.0), (9.0, 45.0))
"""Hours worked beyond which a break of so many minutes is due (ArbZG s. 4, from memory): an example of local law."""


class Breach(NamedTuple):
    """One finding: handbook row, start of the shift or week it is about, hours found and hours required."""

    row: str
    what: str
    at: float
    found: float
    required: float


def rests_h(shifts: Sequence[Worked]) -> list[float]:
    """Hours of rest between each shift and the next; shifts in time order."""
    return [(after.start - before.end) / _H for before, after in pairwise(shifts)]


def weekly_rests_h(shifts: Sequence[Worked]) -> list[float]:
    """Longest rest inside each week from the first to the last worked, Monday to Sunday, clipped to the week."""
    rests = []
    for week in _weeks(shifts):
        monday, sunday = week * _WEEK, (week + 1) * _WEEK
        inside = [shift for shift in shifts if shift.end > monday and shift.start < sunday]
        edges = [monday, *(t for s in inside for t in (max(s.start, monday), min(s.end, sunday))), sunday]
        rests.append(max((edges[i + 1] - edges[i]) / _H for i in range(0, len(edges), 2)))
    return rests


def weekly_hours(shifts: Sequence[Worked]) -> list[float]:
    """Hours worked a week, each shift in the week in which it starts."""
    weeks = _weeks(shifts)
    return [sum(shift.net_h for shift in shifts if shift.start // _WEEK == week) for week in weeks]


def average_weekly_hours(hours: Sequence[float], weeks_of_leave: int = 0) -> float:
    """Mean hours a week over a reference period; paid leave and sickness are taken out of it (Art. 16(b)).

    Raises ValueError if no week is left.
    """
    worked = len(hours) - weeks_of_leave
    if worked <= 0:
        raise ValueError(f"weeks_of_leave must leave at least one of {len(hours)} weeks, found {weeks_of_leave}")
    return sum(hours) / worked


def night_hours(shift: Worked, rules: Rules = DIRECTIVE) -> float:
    """Hours of a shift, breaks included, that lie in the night."""
    total = 0.0
    for day in range(int(shift.start // _DAY) - 1, int(shift.end // _DAY) + 1):
        start, end = day * _DAY + rules.night_start_min, day * _DAY + rules.night_end_min
        total += max(0.0, min(shift.end, end) - max(shift.start, start))
    return total / _H


def is_night_worker(shifts: Sequence[Worked], rules: Rules = DIRECTIVE) -> bool:
    """Whether more than half of the shifts have at least three hours in the night.

    Art. 2(4) says "as a normal course" and names no share: half is a convention, and the pages say so.
    """
    nights = sum(_is_night(shift, rules) for shift in shifts)
    return nights * 2 > len(shifts)


def _is_night(shift: Worked, rules: Rules) -> bool:
    return night_hours(shift, rules) >= rules.night_shift_from_h - _SLACK_H


def breaches(shifts: Sequence[Worked], rules: Rules = DIRECTIVE) -> list[Breach]:
    """Every minimum rule these shifts of one person fall short of, in the order of the rules."""
    found = [*_short_rests(shifts, rules), *_missing_breaks(shifts, rules)]
    for week, rest in zip(_weeks(shifts), weekly_rests_h(shifts), strict=True):
        if rest < rules.weekly_rest_h - _SLACK_H:
            found.append(Breach("LAW-03", "weekly rest", week * _WEEK, rest, rules.weekly_rest_h))
    found += _long_weeks(shifts, rules)
    if not is_night_worker(shifts, rules):
        return found
    found += _long_nights_on_average(shifts, rules)
    if rules.heavy_work:
        found += [
            Breach("LAW-05", "night shift", shift.start, shift.net_h, rules.night_h)
            for shift in shifts
            if _is_night(shift, rules) and shift.net_h > rules.night_h + _SLACK_H
        ]
    return found


def _short_rests(shifts: Sequence[Worked], rules: Rules) -> Iterator[Breach]:
    for (_, after), rest in zip(pairwise(shifts), rests_h(shifts), strict=True):
        if rest < rules.daily_rest_h - _SLACK_H:
            yield Breach("LAW-01", "daily rest", after.start, rest, rules.daily_rest_h)


def _missing_breaks(shifts: Sequence[Worked], rules: Rules) -> Iterator[Breach]:
    least_h = (rules.least_break_min or 0.0) / _H
    for shift in shifts:
        too_short = shift.break_min <= 0 or shift.break_min / _H < least_h - _SLACK_H
        if too_short and shift.span_h > rules.break_if_longer_than_h + _SLACK_H:
            yield Breach("LAW-02", "break", shift.start, shift.break_min / _H, least_h)


def _averages(shifts: Sequence[Worked], rules: Rules) -> Iterator[tuple[float, float]]:
    """Start and mean hours a week of each reference period that begins with one of the weeks."""
    hours = weekly_hours(shifts)
    length = min(rules.reference_weeks, len(hours))
    for first in range(len(hours) - length + 1):
        yield _weeks(shifts)[first] * _WEEK, average_weekly_hours(hours[first : first + length])


def _long_weeks(shifts: Sequence[Worked], rules: Rules) -> Iterator[Breach]:
    for at, average in _averages(shifts, rules):
        if average > rules.weekly_average_h + _SLACK_H:
            yield Breach("LAW-04", "weekly hours", at, average, rules.weekly_average_h)


def _long_nights_on_average(shifts: Sequence[Worked], rules: Rules) -> Iterator[Breach]:
    """The Directive leaves the reference period to national law: here that of the weekly hours, and six days a week,
    the weekly rest of 24 h left out (as in the Working Time Regulations 1998, reg. 6, from memory)."""
    for at, average in _averages(shifts, rules):
        if average / _DAYS_A_WEEK > rules.night_average_h + _SLACK_H:
            yield Breach("LAW-05", "night hours on average", at, average / _DAYS_A_WEEK, rules.night_average_h)


def _weeks(shifts: Sequence[Worked]) -> list[int]:
    if not shifts:
        return []
    return list(range(int(shifts[0].start // _WEEK), int(shifts[-1].start // _WEEK) + 1))


# LAW-08, LAW-09: a regulator's guidance, softer than the rules above. It names no hour before which a start is early,
# nor from which a shift is long among those in a row: here 06:00 (common practice, no source) and the 10 h of LAW-09.
MOST_SHIFT_H, MOST_NIGHT_H, LONG_H, EARLY_MIN = 12.0, 8.0, 10.0, 6 * 60.0
MOST_NIGHTS, MOST_DAYS, NIGHTS_OF_SLEEP, QUICK_RETURN_H = 3, 7, 2, 11.0
IN_A_ROW, QUICK_RETURN = "in a row", "quick return"


def guidance(shifts: Sequence[Worked], rules: Rules = DIRECTIVE) -> list[Breach]:
    """What good practice advises against: long shifts and nights, early starts, many of one kind in a row, quick
    returns, and changes between days and nights without two nights of sleep."""
    nights = [shift for shift in shifts if _is_night(shift, rules)]
    early = [shift for shift in shifts if shift.start % _DAY < EARLY_MIN]
    long = [shift for shift in shifts if shift.span_h > LONG_H + _SLACK_H]
    found = [
        Breach("LAW-08", what, shift.start, shift.span_h, most)
        for what, chosen, most in (("long shift", shifts, MOST_SHIFT_H), ("long night", nights, MOST_NIGHT_H))
        for shift in chosen
        if shift.span_h > most + _SLACK_H
    ]
    for what, chosen, most in (
        ("nights", nights, MOST_NIGHTS), ("early starts", early, MOST_NIGHTS), ("long shifts", long, MOST_NIGHTS),
        ("days", shifts, MOST_DAYS),
    ):  # fmt: skip
        found += [Breach("LAW-08", f"{what} {IN_A_ROW}", at, row, most) for at, row in _rows(chosen, most)]
    found += [Breach("LAW-08", "early start", s.start, s.start % _DAY / _H, EARLY_MIN / _H) for s in early]
    found += [
        Breach("LAW-09", QUICK_RETURN, after.start, rest, QUICK_RETURN_H)
        for (_, after), rest in zip(pairwise(shifts), rests_h(shifts), strict=True)
        if rest < QUICK_RETURN_H - _SLACK_H
    ]
    return [*found, *_changes_without_sleep(shifts, rules)]


def _changes_without_sleep(shifts: Sequence[Worked], rules: Rules) -> Iterator[Breach]:
    """Changes from nights to other shifts or back with fewer than two whole nights between."""
    for before, after in pairwise(shifts):
        if _is_night(before, rules) == _is_night(after, rules):
            continue
        first = ceil((before.end - rules.night_start_min) / _DAY)
        last = floor((after.start - rules.night_end_min) / _DAY)
        nights = max(0, last - first + 1)
        if nights < NIGHTS_OF_SLEEP:
            yield Breach("LAW-08", "nights of sleep at a change", after.start, nights, NIGHTS_OF_SLEEP)


def _rows(shifts: Sequence[Worked], most: int) -> Iterator[tuple[float, int]]:
    """(start of the first shift, days) of each run of consecutive days longer than `most`."""
    starts = {int(shift.start // _DAY): shift.start for shift in reversed(shifts)}
    for first, at in sorted(starts.items()):
        if first - 1 in starts:
            continue
        days = next(n for n in range(1, len(starts) + 1) if first + n not in starts)
        if days > most:
            yield at, days
