"""Open minutes between two moments of a shop's records."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from typing import Any

from shopsim.calendars import Calendar, always_open, union
from shopsim.clock import MINUTES_PER_DAY, minute_of
from shopsim.shop.scenario import Scenario
from shopsim.shop.skills import PRINTING


class RecordClock:
    """Open minutes between two moments, by who attends the printers and who works at a place."""

    def __init__(self, scenario: Scenario, rows: Iterable[Mapping[str, Any]]) -> None:
        self.scenario = scenario
        stamps = [row["end"] for row in rows]
        self.start = scenario.shop.starts
        first = min([row["start"].date() for row in rows], default=self.start)
        # A log from before the scenario's start: the same weekly pattern, begun earlier.
        if first < self.start:
            self.start = first - datetime.timedelta(days=first.weekday())
        last = max(stamps, default=datetime.datetime.combine(self.start, datetime.time()))
        self.reach_min = ((last.date() - self.start).days + 8) * MINUTES_PER_DAY
        self.calendars: dict[str, Calendar] = {}

    def attended(self, begin: datetime.datetime, end: datetime.datetime) -> float:
        """Minutes in which somebody attends the printers; all of them where nobody should be there."""
        return self._between(PRINTING, begin, end)

    def at_place(self, place: str, begin: datetime.datetime, end: datetime.datetime) -> float:
        """Minutes in which a place's people are there; all of them where nobody should be."""
        return self._between(self.scenario.by_id("work_centres")[place].needed_skill, begin, end)

    def _between(self, skill: str, begin: datetime.datetime, end: datetime.datetime) -> float:
        if skill not in self.calendars:
            self.calendars[skill] = self._calendar(skill)
        open_min = self.calendars[skill].work_between(self._minute(begin), self._minute(end))
        # Work outside all shifts on paper was done all the same.
        return open_min or (end - begin).total_seconds() / 60

    def _calendar(self, skill: str) -> Calendar:
        shifts = self.scenario.by_id("shifts")
        # Whose first skill it is, where there is such a crew: others help out at hours of their own.
        crews = [crew for crew in self.scenario.crews if crew.home_skill == skill]
        crews = crews or [crew for crew in self.scenario.crews if skill in crew.skills]
        names = dict.fromkeys(crew.shift for crew in crews)
        return union(shifts[name].calendar(self.reach_min) for name in names) if names else always_open(self.reach_min)

    def _minute(self, at: datetime.datetime) -> float:
        return minute_of(at.date(), self.start, at.hour * 60 + at.minute + at.second / 60)
