"""Side work: tidying, restocking, machine care, taken up by whoever finds nothing to do.

A side job of the length drawn (at least a minute) is taken up once all that happens at that minute has happened, and is
not interrupted: work that comes meanwhile waits. Whoever comes back looks round, and takes up the next side job if
there still is nothing. Who is wanted for work for two waits for the second person instead, as long as one is there or
comes before the side job would end: else the two might never meet. A break pauses a side job; the end of the shift (or
of overtime agreed) ends it, and nothing of it is left for the next day.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopsim.calendars import Calendar
from shopsim.floor.people import Crew, Person
from shopsim.floor.record import KIND
from shopsim.floor.stations import Station
from shopsim.floor.timing import after, later_at
from shopsim.shop import people as paper
from shopsim.streams import Draws

if TYPE_CHECKING:
    from shopsim.floor.run import Floor

LEAST_MIN = 1.0


class SideWorkCrew(Crew):
    """A crew with `side_work`."""

    def __init__(self, floor: Floor, index: int, model: paper.Crew, calendar: Calendar, handover_min: float) -> None:
        super().__init__(index, model, calendar, handover_min)
        self.floor = floor
        self._minutes: dict[Person, Draws] = {}
        self._write = floor.log.writer("operations")

    def free(self, person: Person, now: float) -> None:
        """As anybody, then side work."""
        super().free(person, now)
        self._may_be_idle(person, now)

    def look_round(self, person: Person, now: float) -> None:
        """As anybody, then side work."""
        super().look_round(person, now)
        self._may_be_idle(person, now)

    def open(self, now: float) -> None:
        """As any crew, then side work for those for whom there is nothing else."""
        super().open(now)
        for person in self.idle:
            self._may_be_idle(person, now)

    def _may_be_idle(self, person: Person, now: float) -> None:
        if person.idle and now < self.open_until:
            later_at(self.floor.env, now, self._take_up, person)

    def _take_up(self, person: Person) -> None:
        env = self.floor.env
        now = env.now
        if not person.idle or now >= self.open_until:
            return
        minutes = max(LEAST_MIN, self._line(person).next())
        end, left_min = self.run_on(now, minutes)
        mates = self._wanted_with(now, end)
        if mates:
            # Once one of them goes home there may be nobody left to wait for.
            looks_again = min(mate.open_until if now < mate.open_until else end for mate in mates)
            later_at(env, looks_again, self._take_up, person)
            return
        self.take(person)
        self._write(
            self.floor.next_task_number(), 0, KIND["side_work"], -1, -1, person.index, -1, -1, -1, 0, 0, now, now, end,
            minutes - left_min, 0.0, True,
        )  # fmt: skip
        after(env, end - now, self._back, person)

    def _wanted_with(self, now: float, end: float) -> list[Crew]:
        """The crews in which a second person may be found by `end` for work for two that waits; none if none waits."""
        places = [*self.helped, *(place for places in self.places for place in places)]
        for place in places:
            crews = [crew for crew in (*place.crews, *place.helpers) if _is_there(crew, now, end)]
            if _waits_for_two(place) and sum(_hands(crew, now) for crew in crews) > 1:
                return crews
        return []

    def _line(self, person: Person) -> Draws:
        line = self._minutes.get(person)
        if line is None:
            assert self.model.side_work is not None
            name = f"people/{self.model.id}/{self.members.index(person)}/side work"
            line = self._minutes[person] = self.floor.draws.line(name, self.model.side_work.minutes)
        return line

    def _back(self, person: Person) -> None:
        self.free(person, self.floor.env.now)


def _waits_for_two(place: Station) -> bool:
    if place.pairs and (place.seats is None or place.free_seats):
        return True
    return any(task.people > 1 or task.needs_lift for task in place.paused)


def _is_there(crew: Crew, now: float, end: float) -> bool:
    return now < crew.open_until or crew.calendar.next_open(now) < end


def _hands(crew: Crew, now: float) -> int:
    return sum(person.here or now >= crew.open_until for person in crew.members)
