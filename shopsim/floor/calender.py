"""The offline route: printed rolls dry, then go over a heated drum with a crew."""

from __future__ import annotations

from bisect import bisect_right
from typing import TYPE_CHECKING

from shopsim.craft.fixation import calender_speed_m_per_h
from shopsim.floor.flow import CALENDER_REJECT
from shopsim.floor.orders import Bundle
from shopsim.floor.people import Person
from shopsim.floor.record import KIND
from shopsim.floor.stations import Station
from shopsim.floor.tasks import Task
from shopsim.floor.timing import after, later_at
from shopsim.shop.printers import Calender

if TYPE_CHECKING:
    from shopsim.floor.run import Floor


class DrumStation(Station):
    """The places at a calender, for one or more drums alike.

    The drums are switched on when the crew's shift begins and are hot `warm_up_min` later; the crew does other work
    meanwhile.
    """

    def __init__(self, floor: Floor, model: Calender, place: int, skill: str) -> None:
        super().__init__(floor, model.id, place, skill, model.count, "first_come")
        self.warm_up_min = model.warm_up_min
        self._switched_on: list[float] = []

    def manned(self) -> None:
        """The drums are switched on whenever somebody comes."""
        if self.calendar is not None:
            self._switched_on = self.calendar.envelope().starts

    def start(self) -> None:
        """Hand out what waits whenever the drums have become hot."""
        self._await(0)

    def _await(self, shift: int) -> None:
        for i in range(shift, len(self._switched_on)):
            hot_at = self._switched_on[i] + self.warm_up_min
            if hot_at > self.env.now:
                later_at(self.env, hot_at, self._has_become_hot, i)
                return
            self.pull(self.env.now)

    def _has_become_hot(self, shift: int) -> None:
        self.pull(self.env.now)
        self._await(shift + 1)

    def offer(self, person: Person, now: float) -> bool:
        """As at any station, once the drums are hot."""
        return self._hot(now) and super().offer(person, now)

    def _idle_person(self, now: float) -> Person | None:
        return super()._idle_person(now) if self._hot(now) else None

    def _hot(self, now: float) -> bool:
        shift = bisect_right(self._switched_on, now) - 1
        return shift < 0 or now >= self._switched_on[shift] + self.warm_up_min


class CalenderLine:
    """One calender model with the station where its crew works."""

    def __init__(self, floor: Floor, model: Calender, station: Station) -> None:
        self.floor = floor
        self.model = model
        self.station = station
        self.m_per_min = calender_speed_m_per_h(model.drum_m, model.wrapped_share, model.dwell_s) / 60
        self._set_up = floor.draws.line(f"calender/{model.id}/set-up", model.set_up_min)

    def dry(self, bundles: list[Bundle], web_m: float, drying_min: float) -> None:
        """A printed portion comes in wet."""
        if bundles:
            after(self.floor.env, drying_min, self._dried, (bundles, web_m))

    def _dried(self, roll: tuple[list[Bundle], float]) -> None:
        bundles, web_m = roll
        task = Task(
            self.station, KIND["calender"], self._set_up.next() + web_m / self.m_per_min, self._done,
            place=self.station.place, people=self.model.people, due=min(b.order.draw.due for b in bundles),
            pieces=sum(len(b.pieces) for b in bundles),
        )  # fmt: skip
        task.cargo = bundles
        self.station.submit(task)

    def _done(self, task: Task) -> None:
        for bundle in task.cargo:
            self.floor.log.columns["calendered"].extend((task.number, bundle.number, bundle.order.number))
            if not bundle.order.gone:
                self.floor.flow.reject(bundle, CALENDER_REJECT, self.model.reject_pct / 100)
                self.floor.flow.advance(bundle)
