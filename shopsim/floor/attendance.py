"""Who looks after the printers, and when: somebody is there while any of their people is, breaks included."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Collection

from shopsim.calendars import Calendar, union
from shopsim.floor.people import Crew


class Attendance:
    """The attended hours of a print room, worked out once, and the overtime agreed since."""

    def __init__(self, crews: list[Crew], overtime: Collection[str]) -> None:
        self._may_stay_on = [crew for crew in crews if crew.model.id in overtime]
        present = []
        for crew in crews:
            if crew.absent_days:
                away = set.intersection(*crew.absent_days)
                present.append(crew.calendar.without_days(away).envelope())
        self.calendar = union(present) if present else Calendar([], [], [])
        self.longest_min = max((end - start for start, end in self.calendar.intervals()), default=0.0)
        self._shift_starts = sorted({start for calendar in present for start in calendar.starts})

    def until(self, now: float) -> float:
        """Until when somebody is there, breaks included; `now` itself if nobody is."""
        until = self.calendar.open_until(now)
        for crew in self._may_stay_on:
            until = max(until, crew.overtime_until)
        return until

    def next(self, now: float) -> float:
        """When somebody is there next."""
        return self.calendar.next_open(now)

    def shift_key(self, now: float) -> float:
        """Names the shift in progress by its start; of shifts that meet or overlap the one begun last."""
        return self._shift_starts[bisect_right(self._shift_starts, now) - 1] if self.calendar.is_open(now) else -1.0

    def next_shift(self, now: float) -> float:
        """When the next shift begins after `now`; infinity if none does."""
        index = bisect_right(self._shift_starts, now)
        return self._shift_starts[index] if index < len(self._shift_starts) else math.inf
