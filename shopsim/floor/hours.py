"""A crew's hours: it comes at each interval of its calendar, and may stay on after its shift.

At equal minutes work that ends comes before shifts that begin, so what one shift leaves is first in line for the next.
"""

from __future__ import annotations

import simpy

from shopsim.floor.people import Crew
from shopsim.floor.record import RunLog
from shopsim.floor.timing import later_at
from shopsim.shop.people import WEEKDAYS
from shopsim.shop.policies import Overtime


class Hours:
    """Opens a crew at each interval of its calendar, calling the roll when a shift begins."""

    def __init__(self, env: simpy.Environment, crew: Crew) -> None:
        self.env = env
        self.crew = crew
        self.calendar = crew.calendar

    def start(self) -> None:
        """Keep hours from now on."""
        self._await(0)

    def _await(self, interval: int) -> None:
        if interval == len(self.calendar.starts):
            return
        start = self.calendar.starts[interval]
        if start > self.env.now:
            later_at(self.env, start, self._come, interval)
        else:
            self._come(interval)

    def _come(self, interval: int) -> None:
        calendar, crew = self.calendar, self.crew
        numbers = calendar.shift_numbers
        if interval == 0 or numbers[interval] != numbers[interval - 1]:
            crew.muster(calendar.start_days[interval])
        crew.open_until = max(calendar.ends[interval], crew.overtime_until)
        # All crews that come at this minute are there before any of them takes on work: two of a pair may be of two.
        later_at(self.env, self.env.now, self._begin, interval)

    def _begin(self, interval: int) -> None:
        self.crew.open(self.env.now)
        self._await(interval + 1)


class OvertimeDesk:
    """`notice_min` before each shift's end, looks at the home queue; the crew stays on if it is too long.

    Notice is cut to the shift's last stretch of work. A crew whose next shift begins earlier stays until then.
    """

    def __init__(self, env: simpy.Environment, crew: Crew, rule: Overtime, log: RunLog) -> None:
        self.env = env
        self.crew = crew
        self.rule = rule
        self.log = log
        self._days = {WEEKDAYS.index(day) for day in rule.days}

    def start(self) -> None:
        """Look at each shift's end from now on."""
        self._await(0)

    def _await(self, interval: int) -> None:
        calendar = self.crew.calendar
        for i in range(interval, len(calendar.ends)):
            if not self._may_stay_on(i):
                continue
            decide_at = max(calendar.starts[i], calendar.ends[i] - self.rule.notice_min)
            if decide_at > self.env.now:
                later_at(self.env, decide_at, self._notice, i)
                return
            self._decide(i)

    def _may_stay_on(self, interval: int) -> bool:
        """Whether an interval is the last of its shift, on a day of the rule."""
        numbers = self.crew.calendar.shift_numbers
        if interval + 1 < len(numbers) and numbers[interval + 1] == numbers[interval]:
            return False
        return self.crew.calendar.start_days[interval] % 7 in self._days

    def _notice(self, interval: int) -> None:
        # Notice given as the shift begins comes after the roll is called.
        later_at(self.env, self.env.now, self._noticed, interval)

    def _noticed(self, interval: int) -> None:
        self._decide(interval)
        self._await(interval + 1)

    def _decide(self, interval: int) -> None:
        crew, rule = self.crew, self.rule
        starts, end = crew.calendar.starts, crew.calendar.ends[interval]
        last = interval + 1 == len(starts)
        until = end + rule.minutes if last else min(end + rule.minutes, starts[interval + 1])
        people = sum(person.here for person in crew.members)
        if until > end and people and _queue_h(crew) > rule.when_queue_h:
            crew.overtime_until = until
            crew.open_until = until
            self.log.columns["overtime"].extend((crew.index, end, until, people))


def _queue_h(crew: Crew) -> float:
    home = crew.places[0][0] if crew.places else None
    return home.queued_min / 60 / max(1, len(crew.members)) if home else 0.0
