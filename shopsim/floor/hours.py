"""A crew's hours: it comes at each interval of its calendar, and may stay on after its shift.

At equal minutes work that ends comes before shifts that begin, so what one shift leaves is first in line for the next.
"""

from __future__ import annotations

import simpy

from shopsim.calendars import Calendar
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
        self._begins = env.now

    def start(self) -> None:
        """Keep hours from now on."""
        self._await(0)

    def _await(self, interval: int) -> None:
        while interval < len(self.calendar.starts) and self.calendar.ends[interval] <= self.env.now:
            interval += 1  # over before the simulation began
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
        first = interval == 0 or calendar.ends[interval - 1] <= self._begins
        if first or numbers[interval] != numbers[interval - 1]:
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
            if not self._may_stay_on(i) or calendar.ends[i] <= self.env.now:
                continue
            decide_at = max(calendar.starts[i], calendar.ends[i] - self.rule.notice_min)
            if decide_at > self.env.now:
                later_at(self.env, decide_at, self._notice, i)
                return
            self._decide(i)

    def _may_stay_on(self, interval: int) -> bool:
        """Whether an interval is the last of its shift, on a day of the rule."""
        calendar = self.crew.calendar
        return _ends_shift(calendar, interval) and calendar.start_days[interval] % 7 in self._days

    def _notice(self, interval: int) -> None:
        # Notice given as the shift begins comes after the roll is called.
        later_at(self.env, self.env.now, self._noticed, interval)

    def _noticed(self, interval: int) -> None:
        self._decide(interval)
        self._await(interval + 1)

    def _decide(self, interval: int) -> None:
        crew, rule = self.crew, self.rule
        # What has been agreed for this day already is longer, or lengthened.
        end = max(crew.calendar.ends[interval], crew.overtime_until)
        until = _reach(crew.calendar, interval, rule.minutes)
        if until > end and _queue_h(crew) > rule.when_queue_h:
            _stay_on(crew, end, until, self.log)


class AgreedOvertime:
    """Overtime agreed beforehand: minutes by the day on which the shift began, known as its last stretch begins."""

    def __init__(self, env: simpy.Environment, crew: Crew, minutes_by_day: dict[int, float], log: RunLog) -> None:
        self.env = env
        self.crew = crew
        self.minutes_by_day = minutes_by_day
        self.log = log

    def start(self) -> None:
        """Look at each shift's last stretch from now on."""
        calendar = self.crew.calendar
        for i, day in enumerate(calendar.start_days):
            if day in self.minutes_by_day and _ends_shift(calendar, i) and calendar.ends[i] > self.env.now:
                # The roll is called first.
                later_at(self.env, max(calendar.starts[i], self.env.now), self._comes, i)

    def _comes(self, interval: int) -> None:
        later_at(self.env, self.env.now, self._stays, interval)

    def _stays(self, interval: int) -> None:
        calendar = self.crew.calendar
        until = _reach(calendar, interval, self.minutes_by_day[calendar.start_days[interval]])
        if until > calendar.ends[interval]:
            _stay_on(self.crew, calendar.ends[interval], until, self.log)


def _ends_shift(calendar: Calendar, interval: int) -> bool:
    """Whether an interval is the last of its shift."""
    numbers = calendar.shift_numbers
    return interval + 1 == len(numbers) or numbers[interval + 1] != numbers[interval]


def _reach(calendar: Calendar, interval: int, minutes: float) -> float:
    """Until when a crew stays on so many minutes after an interval: at most until its next shift."""
    end = calendar.ends[interval] + minutes
    return end if interval + 1 == len(calendar.starts) else min(end, calendar.starts[interval + 1])


def _stay_on(crew: Crew, end: float, until: float, log: RunLog) -> None:
    """Those of a crew who are there stay on."""
    people = sum(person.here for person in crew.members)
    if people:
        crew.overtime_until = until
        crew.open_until = until
        log.columns["overtime"].extend((crew.index, end, until, people))


def _queue_h(crew: Crew) -> float:
    home = crew.places[0][0] if crew.places else None
    return home.queued_min / 60 / max(1, len(crew.members)) if home else 0.0
