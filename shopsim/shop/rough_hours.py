"""Hours there are, week by week: people present less breaks and absence, printers attended, seats that can be used."""

from __future__ import annotations

import math
from functools import cached_property
from itertools import pairwise

import numpy as np

from shopsim.calendars import Calendar, always_open, union
from shopsim.clock import MINUTES_PER_DAY, MINUTES_PER_WEEK
from shopsim.craft.sewers import skill_speed
from shopsim.shop.people import Absence, Crew
from shopsim.shop.printers import Breakdowns, InlineFixation, Printer
from shopsim.shop.rough_demand import Floats, study_weeks
from shopsim.shop.rough_stops import up_share
from shopsim.shop.rough_work import Hands
from shopsim.shop.scenario import Scenario
from shopsim.shop.skills import HELPER, PRINTING


class Hours:
    """Minutes a week of everything that can be short, by the scenario's calendars."""

    def __init__(self, scenario: Scenario) -> None:
        self.scenario = scenario
        self.weeks = study_weeks(scenario)
        self.calendars = shift_calendars(scenario)
        self.crews = [crew for crew in scenario.crews if crew.count]
        self.present = [self._present(crew) for crew in self.crews]

    def able(self, hands: Hands) -> list[bool]:
        """Which crews can do some work."""
        return [hands.skill in c.skills or (hands.second and HELPER in c.skills) for c in self.crews]

    def people(self, kinds: list[Hands]) -> Floats:
        """Standard minutes a week that people can earn who can do any of these kinds of work, each at the best."""
        total = np.zeros(len(self.weeks))
        able = [self.able(kind) for kind in kinds]
        for i, crew in enumerate(self.crews):
            levels = [self._speed(crew, kind) for kind, who in zip(kinds, able, strict=True) if who[i]]
            if levels:
                total += self.present[i] * np.maximum.reduce(levels)
        return total

    def seats(self, seats: int, kind: Hands, stops: Breakdowns | None) -> Floats:
        """Standard minutes a week that seats can take while any able crew is there, the fastest people first."""
        able = [i for i, can in enumerate(self.able(kind)) if can]
        hours = union([self.calendars[self.crews[i].shift] for i in able])
        left = seats * self._weekly(hours) * up_share(stops, hours)
        total = np.zeros(len(self.weeks))
        for i in sorted(able, key=lambda i: -float(self._speed(self.crews[i], kind).mean())):
            taken = np.minimum(left, self.present[i])
            total += taken * self._speed(self.crews[i], kind)
            left -= taken
        return total

    def printer(self, printer: Printer) -> Floats:
        """Minutes a week in which a printer could print: attended or all, less warm-up, care, service, breakdowns."""
        care = printer.care
        if printer.unattended_running:
            hours = np.full(len(self.weeks), float(MINUTES_PER_WEEK))
        else:
            hours = self._weekly(self._attended)
        warm_up = 0.0
        if isinstance(printer.fixation, InlineFixation) and not printer.hot_overnight:
            warm_up = printer.fixation.warm_up_min
        days = np.array([self._days_attended(week) for week in self.weeks], dtype=float)
        service = care.service_h * 60 * 7 / care.service_every_days if care.service_every_days else 0.0
        # Care is done while the plate warms up.
        lost = days * max(warm_up, care.daily_min) + care.weekly_min + service
        open_hours = always_open(self.scenario.horizon_min) if printer.unattended_running else self._attended
        return np.maximum(0.0, hours - lost) * up_share(printer.breakdowns, open_hours)

    @cached_property
    def _attended(self) -> Calendar:
        crews = [crew for crew in self.crews if PRINTING in crew.skills]
        return union([self.calendars[crew.shift].envelope() for crew in crews])

    def _days_attended(self, week: int) -> int:
        numbers = zip(self._attended.starts, self._attended.start_days, strict=True)
        return len({day for start, day in numbers if week * 7 <= start / MINUTES_PER_DAY < (week + 1) * 7})

    def _present(self, crew: Crew) -> Floats:
        hours = self._weekly(self.calendars[crew.shift])
        return crew.count * hours * (1 - absent_share(crew.absence))

    def _weekly(self, calendar: Calendar) -> Floats:
        edges = [week * MINUTES_PER_WEEK for week in range(self.weeks.start, self.weeks.stop + 1)]
        return np.array([calendar.work_between(a, b) for a, b in pairwise(edges)])

    def _speed(self, crew: Crew, kind: Hands) -> Floats:
        speed = skill_speed(crew.skills.get(kind.skill, 3)) * crew.efficiency_pct / 100
        if crew.learning is None:
            return np.full(len(self.weeks), speed)
        start = crew.learning.start_speed_pct / 100
        learnt = start + (1 - start) * (np.array(self.weeks) + 0.5) / crew.learning.weeks_to_full
        return np.minimum(1.0, learnt) * speed


def shift_calendars(scenario: Scenario) -> dict[str, Calendar]:
    """Working hours of each shift over the horizon, closures left out."""
    reach_min = scenario.horizon_min + MINUTES_PER_WEEK
    return {shift.id: shift.calendar(reach_min, scenario.closed_days) for shift in scenario.shifts}


def absent_share(absence: Absence | None) -> float:
    """Share of planned days away in the long run: spells of whole days that begin on planned days only."""
    if absence is None:
        return 0.0
    chance = absence.new_spell_pct_per_day / 100
    # The first day of a spell is a planned one; of the others five in seven are, in a week of five shifts.
    planned_days = 1 + max(0.0, absence.spell_days.mean + 0.5 - 1) * 5 / 7
    return chance * planned_days / (1 - chance + chance * planned_days) if math.isfinite(planned_days) else 1.0
