"""Limited room before work centres: a bundle that finds none stays on the seat where it was finished.

A place holds the bundles on its seats, one for each seat that is free, and `room_before_bundles` more. The others wait
for room in the order of its queue rule: those finished at a seat keep it (blocking after service), those from a
printer, a calender, rest, outside or new to the floor lie where they are. Pieces made again and mended ones are always
let in; they take room all the same. With no circle of rooms among the routes (`shop.limit_checks`) the last place of
every way can always empty itself, so nothing waits for ever. Checks and machine repairs take seats but no room.

Only shops in which some place has limited room are built of these stations.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from shopsim.floor.flow import Flow
from shopsim.floor.rules import RULES, RankedQueue
from shopsim.floor.stations import Station

if TYPE_CHECKING:
    from shopsim.floor.orders import Bundle, Order
    from shopsim.floor.run import Floor
    from shopsim.floor.tasks import Task


class RoomWait(NamedTuple):
    """A bundle waits for room since then; `on` is the finished task whose seat it keeps."""

    since: float
    on: Task | None


class RoomStation(Station):
    """A work centre whose seats may be kept by finished bundles, with limited room before it or not."""

    def __init__(self, floor: Floor, name: str, place: int, skill: str, seats: int, rule: str,
                 change_over_min: float, room: int | None) -> None:  # fmt: skip
        super().__init__(floor, name, place, skill, seats, rule, change_over_min)
        self._most = math.inf if room is None else seats + room
        # In line and on seats.
        self._inside: set[Task] = set()
        self.outside = RankedQueue(RULES[rule])
        self._waits: dict[Task, RoomWait] = {}
        self._kept: set[Task] = set()
        self._write_wait = floor.log.writer("room_waits")

    # -- room ---------------------------------------------------------------------------------------------------------

    def submit(self, task: Task) -> None:
        """As at any station; a bundle for which there is no room waits outside."""
        bundle = task.bundle
        if bundle is None:
            super().submit(task)
        elif len(self._inside) < self._most or self._always_let_in(bundle):
            self._let_in(task)
        else:
            self._keep_out(task, bundle)

    def lay(self, task: Task, since: float) -> None:
        """As at any station; what there is no room for waits outside."""
        if len(self._inside) < self._most or task.bundle is None or self._always_let_in(task.bundle):
            if task.bundle is not None:
                self._inside.add(task)
            super().lay(task, since)
        else:
            self._keep_out(task, task.bundle)

    def lay_on_seat(self, task: Task, since: float) -> None:
        """As at any station."""
        self._inside.add(task)
        super().lay_on_seat(task, since)

    def _always_let_in(self, bundle: Bundle) -> bool:
        """Work that goes back, and a bundle whose next step is at the place where it is."""
        return bundle.attempt > 0 or bundle.mended or (bundle.lies_on is not None and bundle.lies_on.station is self)

    def _let_in(self, task: Task) -> None:
        self._inside.add(task)
        super().submit(task)

    def _keep_out(self, task: Task, bundle: Bundle) -> None:
        task.ready = self.env.now
        task.number = self.floor.next_task_number()
        self.outside.push(task)
        self._waits[task] = RoomWait(task.ready, bundle.lies_on)
        # What waits for room is work ahead of this place as far as overtime and buying in go.
        self.queued_min += task.minutes
        if bundle.lies_on is not None:
            _station_of(bundle.lies_on)._kept.add(bundle.lies_on)

    def _admit(self, now: float) -> None:
        """Let in those who wait while there is room."""
        while self.outside and len(self._inside) < self._most:
            task = self.outside.pop()
            if task in self._waits:
                wait = self._end_wait(task, now)
                self._let_in(task)
                _give_back(wait.on, now)

    def _end_wait(self, task: Task, now: float) -> RoomWait:
        wait = self._waits.pop(task)
        self.queued_min -= task.minutes
        self._note(task, wait, now)
        return wait

    def _note(self, task: Task, wait: RoomWait, until: float) -> None:
        order, bundle, on = task.order, task.bundle, wait.on
        assert order is not None
        assert bundle is not None
        if until > wait.since:
            held = (-1, -1, -1) if on is None else (on.place, on.seat, on.number)
            self._write_wait(bundle.number, order.number, self.place, wait.since, until, *held)

    def withdraw(self, order: Order, now: float) -> None:
        """A cancelled order's bundles leave the room and the seats they keep; what is begun is swept off its seat as
        anywhere, when it is finished or somebody next looks at it."""
        self._inside = {task for task in self._inside if task.order is not order or task.part}
        for task in [task for task in self._waits if task.order is order]:
            _give_back(self._end_wait(task, now).on, now)
        self._admit(now)

    def close_waits(self) -> None:
        """Write the waits that last beyond the end."""
        for task, wait in self._waits.items():
            self._note(task, wait, math.inf)

    # -- seats --------------------------------------------------------------------------------------------------------

    def _leave_seat(self, task: Task, now: float) -> None:
        # A finished bundle lies on its seat until the flow has moved it on, see `moved_on`.
        if task.bundle is None or task.left_min > 0.0:
            self._free_seat(task, now)

    def _free_seat(self, task: Task, now: float) -> None:
        super()._leave_seat(task, now)
        self._inside.discard(task)
        self._admit(now)

    def moved_on(self, task: Task, now: float) -> None:
        """A finished bundle has been moved on, unless it found no room."""
        if task not in self._kept:
            self._free_seat(task, now)

    def give_back(self, task: Task, now: float) -> None:
        """A bundle that kept its seat is off it: whoever waits may take the seat."""
        self._kept.remove(task)
        self._free_seat(task, now)
        if self.waiting:
            self.pull(now)


class RoomFlow(Flow):
    """Moves bundles on from seats that they may have to keep."""

    def done(self, task: Task) -> None:
        assert task.bundle is not None
        task.bundle.lies_on = task
        super().done(task)
        self._off_seat(task)

    def _mended(self, task: Task) -> None:
        super()._mended(task)
        self._off_seat(task)

    def _off_seat(self, task: Task) -> None:
        assert task.bundle is not None
        task.bundle.lies_on = None
        _station_of(task).moved_on(task, self.floor.env.now)


def _give_back(task: Task | None, now: float) -> None:
    if task is not None:
        _station_of(task).give_back(task, now)


def _station_of(task: Task) -> RoomStation:
    station = task.station
    assert isinstance(station, RoomStation)
    return station
