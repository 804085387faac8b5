"""People in motion: each person of a crew is absent, idle or at one task.

People are handed work by stations (`Station.offer`); nobody works outside the crew's open hours (`hours`).
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections import deque
from collections.abc import Callable
from typing import TYPE_CHECKING

from shopsim.calendars import Calendar
from shopsim.clock import MINUTES_PER_WEEK
from shopsim.craft.sewers import skill_reject, skill_speed
from shopsim.floor.draws import ReplicationDraws
from shopsim.floor.record import RunLog
from shopsim.shop import people as paper
from shopsim.streams import Draws

if TYPE_CHECKING:
    from shopsim.floor.stations import Station
    from shopsim.floor.tasks import Task


class Person:
    """One member of a crew. `pace` multiplies the minutes of everything this person does."""

    __slots__ = ("busy", "crew", "here", "idle", "index", "kept", "pace")

    def __init__(self, index: int, crew: Crew, pace: float) -> None:
        self.index = index
        self.crew = crew
        self.pace = pace
        self.here = False
        self.busy = False
        self.idle = False
        self.kept: deque[Task] = deque()


class Crew:
    """People alike: one calendar, one set of skills, and the line of those who are idle, longest idle first."""

    def __init__(self, index: int, model: paper.Crew, calendar: Calendar, handover_min: float) -> None:
        self.index = index
        self.model = model
        self.calendar = calendar
        self.handover_min = handover_min
        self.keeps_work = model.at_shift_end == "keep"
        self.members: list[Person] = []
        self.absent_days: list[set[int]] = []
        self._speeds = {skill: self._level_speed(skill) for skill in model.skills}
        self.idle: deque[Person] = deque()
        self.open_until = -1.0
        self.overtime_until = -1.0
        # Places by skill, the home skill first; of one skill's places the one with the most urgent work comes first.
        self.places: list[list[Station]] = []
        self.helped: list[Station] = []

    def speed(self, skill: str, now: float) -> float:
        """Standard minutes earned a minute at work with this skill, before the person's own pace."""
        speed = self._speeds.get(skill) or self._level_speed(skill)
        learning = self.model.learning
        if learning is not None:
            start = learning.start_speed_pct / 100
            speed *= min(1.0, start + (1 - start) * now / (learning.weeks_to_full * MINUTES_PER_WEEK))
        return speed

    def _level_speed(self, skill: str) -> float:
        # Helpers work at stations whose skill they lack, as standard workers.
        return skill_speed(self.model.skills.get(skill, 3)) * self.model.efficiency_pct / 100

    def reject_factor(self, skill: str) -> float:
        """How much more often than a standard worker this crew makes faults (SEW-38)."""
        return skill_reject(self.model.skills.get(skill, 3))

    def run_on(self, now: float, minutes: float) -> tuple[float, float]:
        """End of so many minutes of work begun now, and what is left of them at the end of the shift."""
        end = now + minutes
        return (end, 0.0) if end <= self.open_until else self.past_break(now, minutes)

    def past_break(self, now: float, minutes: float) -> tuple[float, float]:
        """End of a stretch that reaches past the next pause, and minutes left then.

        Overtime already agreed is part of the shift.
        """
        if now < self.overtime_until:
            return self.overtime_until, now + minutes - self.overtime_until
        return self.calendar.run_in_shift(now, minutes)

    def muster(self, day: int) -> None:
        """A shift begins: those absent on its day stay away, the others stand idle."""
        for person, absent in zip(self.members, self.absent_days, strict=True):
            person.here = day not in absent
            if not person.here:
                self._hand_over(person)
        for person in list(self.idle):
            person.idle = False
        self.idle.clear()
        for person in self.members:
            if person.here and not person.busy:
                self.stand_idle(person)

    @staticmethod
    def _hand_over(person: Person) -> None:
        """Whoever is absent keeps no piece from the others."""
        while person.kept:
            task = person.kept.popleft()
            task.station.wait_again(task)

    def stand_idle(self, person: Person) -> None:
        """Put a person at the end of the line of idle people."""
        person.idle = True
        self.idle.append(person)

    def take(self, person: Person) -> None:
        """A person starts work."""
        person.busy = True
        if person.idle:
            person.idle = False
            self.idle.remove(person)

    def free(self, person: Person, now: float) -> None:
        """A person has put work down: take the next, or stand idle until the crew is open and work comes."""
        person.busy = False
        if not person.here:
            return
        if now < self.open_until and self._goes_on(person, now):
            return
        self.stand_idle(person)
        if now < self.open_until:
            self._offer_help(now)

    def rest(self, person: Person) -> None:
        """A person has put work down and stands idle for now."""
        person.busy = False
        if person.here:
            self.stand_idle(person)

    def look_round(self, person: Person, now: float) -> None:
        """Somebody who stands idle takes the next task, if there is one."""
        if person.idle and now < self.open_until and not self._goes_on(person, now):
            self._offer_help(now)

    def _goes_on(self, person: Person, now: float) -> bool:
        """Own unfinished pieces first, then the stations in order of preference; False if there is nothing to do."""
        while person.kept:
            task = person.kept.popleft()
            # A seat left may have given this very person other work.
            if task.station.resume(task, person, now) or person.busy:
                return True
        for places in self.places:
            for station in places if len(places) == 1 else _most_urgent_first(places):
                if station.waiting and station.offer(person, now):
                    return True
        return False

    def _offer_help(self, now: float) -> None:
        for station in self.helped:
            if station.pairs or station.paused:
                station.pull(now)

    def open(self, now: float) -> None:
        """The crew is at work from now on: each who stands idle takes a kept piece, or what is most urgent."""
        for person in list(self.idle):
            if person.idle:
                self._goes_on(person, now)
        self._offer_help(now)


def _most_urgent_first(places: list[Station]) -> list[Station]:
    return sorted((station for station in places if station.waiting), key=lambda station: station.urgency())


def make_crew(index: int, model: paper.Crew, shift: paper.Shift, calendar: Calendar, log: RunLog,
              draws: ReplicationDraws, new: Callable[..., Crew] = Crew) -> Crew:  # fmt: skip
    """A crew with its people, their pace and their days of absence (none round the clock, which is one long shift)."""
    crew = new(index, model, calendar, shift.handover_min)
    absence = None if shift.round_the_clock else model.absence
    paces = draws.generator(f"people/{model.id}/pace").standard_normal(model.count)
    for i, deviation in enumerate(paces.tolist()):
        pace = min(2.0, max(0.5, 1 + model.pace_spread_pct / 100 * deviation))
        person = Person(len(log.people), crew, pace)
        log.add_person(f"{model.name or model.id} {i + 1}" if model.count > 1 else model.name or model.id, index)
        crew.members.append(person)
        absent = absent_days(f"people/{model.id}/{i}", absence, calendar, draws)
        crew.absent_days.append(absent)
        for day in sorted(absent):
            log.columns["absences"].extend((person.index, day))
    return crew


def absent_days(
    name: str, absence: paper.Absence | None, calendar: Calendar, draws: ReplicationDraws, from_day: int = 0
) -> set[int]:
    """Days away: on each planned day from `from_day` on a new spell may begin, which lasts whole calendar days."""
    if absence is None or not calendar.starts:
        return set()
    days = sorted(set(calendar.start_days))
    chance = absence.new_spell_pct_per_day / 100
    starts = draws.generator(f"{name}/falls ill").random(days[-1] + 1).tolist()
    # Afresh, however often somebody's days are drawn: nothing else asks for these numbers.
    spells = Draws(draws.generator(f"{name}/spell"), absence.spell_days, block=64)
    absent: set[int] = set()
    back = -1
    for day in days[bisect_left(days, from_day) :]:
        if day >= back and starts[day] < chance:
            back = day + max(1, math.ceil(spells.next()))
        if day < back:
            absent.add(day)
    return absent
