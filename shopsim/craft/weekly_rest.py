"""The weekly rest of one person: which rest counts for which seven days, and what of it lies inside them.

Directive 2003/88/EC, Art. 5, asks for an uninterrupted rest "per each seven-day period" and says neither where such a
period begins nor where in it the rest lies (the Court of Justice, C-306/16 of 2017, from memory: anywhere in it). Here
periods run from Monday to Sunday, and a rest that lies across the turn of a week counts whole, for it is uninterrupted,
but for one of the weeks only, so that no rest is given twice; a long one counts for as many weeks as it holds the least
rest.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import ceil
from typing import NamedTuple

from shopsim.craft.shift_hours import H_MIN, SLACK_H, WEEK_MIN, Worked, worked_weeks


class WeeklyRest(NamedTuple):
    """The rest of one week that begins at `monday` (minutes).

    `enough`: a rest long enough counts for it. `longest_h` is the longest rest that reaches into the week, uncut, and
    counts for no other; `inside_h` the longest piece of rest between Monday 00:00 and Sunday 24:00. `lent`: a rest long
    enough reaches into the week, but counts for another.
    """

    monday: float
    enough: bool
    longest_h: float
    inside_h: float
    lent: bool


class _Rest:
    """A rest from minute to minute, and how many weeks it can still count for."""

    def __init__(self, start: float, end: float, least_h: float) -> None:
        self.start, self.end = start, end
        self.long_enough = self.hours >= least_h - SLACK_H
        self.weeks_left = int((self.hours + SLACK_H) // least_h)

    @property
    def hours(self) -> float:
        return (self.end - self.start) / H_MIN

    @property
    def last_week(self) -> int:
        return ceil(self.end / WEEK_MIN) - 1

    def inside_h(self, week: int) -> float:
        return (min(self.end, (week + 1) * WEEK_MIN) - max(self.start, week * WEEK_MIN)) / H_MIN


def weekly_rests(shifts: Sequence[Worked], least_h: float) -> list[WeeklyRest]:
    """The rest of each week from the first to the last worked; shifts in time order, `least_h` above 0.

    What lies before the first and after the last of these weeks is unknown and counts as nothing.
    """
    weeks = worked_weeks(shifts)
    if not weeks:
        return []
    edges = [weeks[0] * WEEK_MIN, *(t for s in shifts for t in (s.start, s.end)), (weeks[-1] + 1) * WEEK_MIN]
    rests = [_Rest(start, end, least_h) for start, end in list(pairwise(edges))[::2] if end > start]
    return [_of_week(week, [rest for rest in rests if rest.inside_h(week) > 0]) for week in weeks]


def _of_week(week: int, rests: Sequence[_Rest]) -> WeeklyRest:
    inside_h = max((rest.inside_h(week) for rest in rests), default=0.0)
    # The rest that ends first is of no use to a later week.
    own = min((rest for rest in rests if rest.weeks_left), key=lambda rest: rest.last_week, default=None)
    if own is not None:
        own.weeks_left -= 1
        return WeeklyRest(week * WEEK_MIN, True, own.hours, inside_h, False)
    lent = [rest.long_enough for rest in rests]
    longest_h = max((rest.hours for rest in rests if not rest.long_enough), default=0.0)
    return WeeklyRest(week * WEEK_MIN, False, longest_h, inside_h, any(lent))
