"""Side work: tidying, restocking, machine care, taken up by whoever finds nothing to do.

A side job of the length drawn (at least a minute) is taken up once all that happens at that minute has happened, and is
not interrupted: work that comes meanwhile waits. Whoever comes back looks round, and takes up the next side job if
there still is nothing. A break pauses a side job; the end of the shift (or of overtime agreed) ends it, and nothing of
it is left for the next day.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from simpy.events import Event, Timeout

from shopsim.calendars import Calendar
from shopsim.floor.people import Crew, Person
from shopsim.floor.record import KIND
from shopsim.floor.timing import later_at
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
            later_at(self.floor.env, now).callbacks.append(lambda _: self._take_up(person))

    def _take_up(self, person: Person) -> None:
        env = self.floor.env
        now = env.now
        if not person.idle or now >= self.open_until:
            return
        minutes = max(LEAST_MIN, self._line(person).next())
        end, left_min = self.run_on(now, minutes)
        self.take(person)
        self._write(
            self.floor.next_task_number(), 0, KIND["side_work"], -1, -1, person.index, -1, -1, -1, 0, 0, now, now, end,
            minutes - left_min, 0.0, True,
        )  # fmt: skip
        Timeout(env, end - now, person).callbacks.append(self._back)

    def _line(self, person: Person) -> Draws:
        line = self._minutes.get(person)
        if line is None:
            assert self.model.side_work is not None
            name = f"people/{self.model.id}/{self.members.index(person)}/side work"
            line = self._minutes[person] = self.floor.draws.line(name, self.model.side_work.minutes)
        return line

    def _back(self, event: Event) -> None:
        self.free(event._value, self.floor.env.now)
