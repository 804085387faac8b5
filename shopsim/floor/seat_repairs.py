"""Seats that stand: repairs and planned renewals of a work centre's machines, in use or not."""

from __future__ import annotations

import math
from functools import partial
from typing import TYPE_CHECKING

from shopsim.floor.failures import Failures
from shopsim.floor.record import KIND
from shopsim.floor.rules import LANE_STOPPED
from shopsim.floor.tasks import Task
from shopsim.floor.timing import after

if TYPE_CHECKING:
    from shopsim.floor.stations import Station


class SeatRepairs:
    """Takes the seats of one station out of use and gives them back. Work begun on a seat waits on it."""

    def __init__(self, station: Station, stops: list[Failures]) -> None:
        self.station = station
        self.stops = stops
        for seat in range(len(stops)):
            self._watch(seat)

    def live_on(self) -> None:
        """Draw anew when machines fail that run; nothing may be watched any more."""
        for seat, failures in enumerate(self.stops):
            failures.live_on(self.station.env.now)
            if failures.fails_at < math.inf:
                self._watch(seat)

    def _watch(self, seat: int) -> None:
        """Failures by the calendar are found when they come; those by running minutes end a stretch of work."""
        env, failures = self.station.env, self.stops[seat]
        if failures.rule.every_calendar_h is not None:
            after(env, failures.fails_at - env.now, self.clock_struck, seat)

    def runs(self, task: Task, now: float, end: float, run_min: float, left_min: float) -> tuple[float, float]:
        """End of a stretch of work of `run_min` less `left_min` minutes, and what is left; its seat may fail before."""
        failures = self.stops[task.seat]
        if end > failures.fails_at:
            end, worked_min = self._until(max(now, failures.fails_at), task, now)
            left_min = max(0.0, run_min - worked_min)
        failures.until_next_min -= run_min - left_min
        return end, left_min

    def _until(self, at: float, task: Task, now: float) -> tuple[float, float]:
        """When people from `now` on put work down by `at`, and minutes worked; in a break it was down already."""
        person, partner = task.person, task.partner
        assert person is not None
        crew = person.crew
        if partner is not None and partner.crew is not crew:
            hours = self.station.floor.shared_hours(crew, partner.crew, now)
            worked = [(max(start, now), min(close, at)) for start, close in hours if start < at and close > now]
            return max((close for _, close in worked), default=now), sum(close - start for start, close in worked)
        if at <= crew.overtime_until:
            return at, at - now
        worked_min = crew.calendar.work_between(now, at)
        return crew.calendar.run_in_shift(now, worked_min)[0], worked_min

    def stopped(self, task: Task, now: float) -> bool:
        """Whether work was put down because its seat failed; if so its repair begins."""
        failures = self.stops[task.seat]
        failed = failures.has_failed(now)
        if failed:
            self._stand(task.seat, task, failures.repair_min())
        return failed

    def left(self, seat: int, now: float) -> None:
        """A seat has become free: it may have failed with its last piece, or its part is worn."""
        failures = self.stops[seat]
        if failures.worn or failures.fails_at <= now:
            self._take(seat, now)

    def clock_struck(self, seat: int) -> None:
        """A machine may have failed by the calendar."""
        station, now = self.station, self.station.env.now
        if not self.stops[seat].has_failed(now):
            return  # repaired since; its new life has a watch of its own
        if seat in station.free_seats:
            self._take(seat, now)
            return
        task = station.set_aside(seat)
        # Where somebody works on the seat the stretch ends at this minute too, and sees to it.
        if task is not None:
            self._stand(seat, task, self.stops[seat].repair_min())

    def _take(self, seat: int, now: float) -> None:
        self.station.take_seat(seat, now)
        failures = self.stops[seat]
        self._stand(seat, None, failures.repair_min() if failures.has_failed(now) else failures.renewal_min())

    def as_new(self, seat: int, now: float) -> None:
        """A seat's new life begins."""
        self.stops[seat].as_new(now)
        self._watch(seat)

    def _stand(self, seat: int, task: Task | None, minutes: float) -> None:
        station, rule = self.station, self.stops[seat].rule
        if rule.repair_at is None:
            after(station.env, minutes, self._is_up, (seat, task))
        else:
            bench, is_up = station.floor.stations[rule.repair_at], partial(self._mended, seat, task)
            bench.submit(Task(bench, KIND["machine_repair"], minutes, is_up, place=station.place, lane=LANE_STOPPED))

    def _mended(self, seat: int, task: Task | None, _: Task) -> None:
        self._is_up((seat, task))

    def _is_up(self, stood: tuple[int, Task | None]) -> None:
        """A seat's machine runs again: work begun on it goes on, or else the seat is free."""
        (seat, task), now = stood, self.station.env.now
        self.as_new(seat, now)
        if task is None:
            self.station.leave_seat(seat, now)
        else:
            self.station.wait_again(task)
        self.station.pull(now)
