"""The offline route: printed rolls dry, then go over a heated drum with a crew."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopsim.craft.fixation import calender_speed_m_per_h
from shopsim.floor.flow import CALENDER_REJECT
from shopsim.floor.orders import Bundle
from shopsim.floor.record import KIND
from shopsim.floor.stations import Station
from shopsim.floor.tasks import Task
from shopsim.floor.timing import after
from shopsim.shop.printers import Calender

if TYPE_CHECKING:
    from shopsim.floor.run import Floor


class CalenderLine:
    """One calender model (one or more alike) with the station where its crew works.

    The drum is switched on when the crew's shift begins and is hot `warm_up_min` later; the crew does other work
    meanwhile.
    """

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
        wait = max(0.0, self._hot_at(self.floor.env.now) - self.floor.env.now)
        after(self.floor.env, wait, self.station.submit, task)

    def _hot_at(self, now: float) -> float:
        """When the drum is hot next, at or after now."""
        calendar = self.station.calendar
        if calendar is None or not calendar.starts:
            return now
        at = calendar.next_open(now)
        if at == float("inf"):
            return now
        return max(at, calendar.shift_start(at) + self.model.warm_up_min)

    def _done(self, task: Task) -> None:
        for bundle in task.cargo:
            self.floor.log.columns["calendered"].extend((task.number, bundle.number, bundle.order.number))
            if not bundle.order.gone:
                self.floor.flow.reject(bundle, CALENDER_REJECT, self.model.reject_pct / 100)
                self.floor.flow.advance(bundle)
