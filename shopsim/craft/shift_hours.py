"""One person's shifts as minutes: rests between them, hours a week, averages.

Minutes count from 00:00 of a Monday; hours are net of unpaid breaks where work is counted, gross where rest is.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

H_MIN, DAY_MIN, WEEK_MIN = 60.0, 1440.0, 10080.0
SLACK_H = 1e-9


class Worked(NamedTuple):
    """One shift of one person: start and end in minutes, and the unpaid break inside it."""

    start: float
    end: float
    break_min: float = 0.0

    @property
    def span_h(self) -> float:
        """Hours from start to end."""
        return (self.end - self.start) / H_MIN

    @property
    def net_h(self) -> float:
        """Hours worked."""
        return (self.end - self.start - self.break_min) / H_MIN


def worked_weeks(shifts: Sequence[Worked]) -> list[int]:
    """Numbers of the weeks from the first to the last in which a shift starts; shifts in time order."""
    if not shifts:
        return []
    return list(range(int(shifts[0].start // WEEK_MIN), int(shifts[-1].start // WEEK_MIN) + 1))


def rests_h(shifts: Sequence[Worked]) -> list[float]:
    """Hours of rest between each shift and the next; shifts in time order."""
    return [(after.start - before.end) / H_MIN for before, after in pairwise(shifts)]


def weekly_hours(shifts: Sequence[Worked]) -> list[float]:
    """Hours worked a week, each shift in the week in which it starts."""
    weeks = worked_weeks(shifts)
    return [sum(shift.net_h for shift in shifts if shift.start // WEEK_MIN == week) for week in weeks]


def average_weekly_hours(hours: Sequence[float], weeks_of_leave: int = 0) -> float:
    """Mean hours a week over a reference period; paid leave and sickness are taken out of it (Directive 2003/88/EC,
    Art. 16(b)).

    Raises ValueError if no week is left.
    """
    worked = len(hours) - weeks_of_leave
    if worked <= 0:
        raise ValueError(f"weeks_of_leave must leave at least one of {len(hours)} weeks, found {weeks_of_leave}")
    return sum(hours) / worked
