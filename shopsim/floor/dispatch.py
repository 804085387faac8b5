"""Complete orders leave at the next collection; every order leaves one row in the log."""

from __future__ import annotations

import math
from bisect import bisect_left
from typing import TYPE_CHECKING

from shopsim.clock import MINUTES_PER_DAY
from shopsim.floor.orders import Order
from shopsim.floor.record import DISPATCHED, INSIDE, KIND
from shopsim.floor.rules import lane_of
from shopsim.floor.tasks import Task
from shopsim.shop.collections import collection_times, whole_days

if TYPE_CHECKING:
    from shopsim.floor.run import Floor


class Dispatch:
    """The last desk: order check, collection, courier."""

    def __init__(self, floor: Floor) -> None:
        self.floor = floor
        policy = floor.scenario.policies.dispatch
        self._at_once = policy.at_once
        self._collections = collection_times(floor.scenario)
        self._write_order = floor.log.writer("orders")
        self._days = [int(minute // MINUTES_PER_DAY) for minute in self._collections]
        self._check_at = floor.stations[policy.order_check_at] if policy.order_check_at else None

    def complete(self, order: Order) -> None:
        """All pieces of an order are finished: check the order, then let it go."""
        if self._check_at is None:
            self.ready(order)
            return
        task = Task(
            self._check_at, KIND["order_check"], order.draw.check_order_min, self._checked,
            place=self._check_at.place, lane=lane_of(order.draw.priority), due=order.draw.due, order=order,
            pieces=order.pieces,
        )  # fmt: skip
        self._check_at.submit(task)
        order.check_task = task.number

    def _checked(self, task: Task) -> None:
        assert task.order is not None
        self.ready(task.order)

    def ready(self, order: Order) -> None:
        """An order is complete and checked: it leaves with the next collection."""
        if order.gone:
            return
        now = self.floor.env.now
        order.complete = now
        leaves = self.leaves(now)
        order.ending = DISPATCHED
        self.book(order, leaves)
        limit = self.floor.intake.limit
        if limit is not None:
            limit.leave(order)
        if order.return_to is not None and leaves < self.floor.log.horizon_min:
            order.return_to(leaves)

    def leaves(self, now: float) -> float:
        """When an order complete at a minute leaves."""
        return now if self._at_once else self._next_collection(now)

    def _next_collection(self, now: float) -> float:
        index = bisect_left(self._collections, now)
        return self._collections[index] if index < len(self._collections) else math.inf

    def working_days_later(self, days: float) -> float:
        """The same time of day, so many working days on from now."""
        return self.working_days_after(self.floor.env.now, days)

    def working_days_after(self, minute: float, days: float) -> float:
        """The same time of day, so many working days (days with collections) after `minute`."""
        day = int(minute // MINUTES_PER_DAY)
        index = min(bisect_left(self._days, day) + whole_days(days), len(self._days) - 1)
        return max(minute, self._days[index] * MINUTES_PER_DAY + minute % MINUTES_PER_DAY)

    def _delivered(self, dispatched: float, courier_days: float) -> float:
        """Courier days are working days: days on which the shop has collections."""
        if self._at_once or math.isinf(dispatched):
            return dispatched + courier_days * MINUTES_PER_DAY
        index = bisect_left(self._collections, dispatched) + whole_days(courier_days)
        return self._collections[min(index, len(self._collections) - 1)]

    def book(self, order: Order, ended: float) -> None:
        """Write an order's row: dispatched at `ended`, cancelled at `ended`, or still inside (infinity)."""
        draw = order.draw
        dispatched = ended if order.ending == DISPATCHED else -1.0
        delivered = self._delivered(dispatched, draw.courier_days) if dispatched >= 0 else -1.0
        self._write_order(
            order.number, draw.received, order.released, draw.due, draw.rush, order.complete, dispatched, delivered,
            order.ending, ended, order.last_bundle, order.pieces, order.remakes, order.claims, order.lot_broken,
            order.check_task,
        )  # fmt: skip
        self.floor.forget(order)

    def book_inside(self, order: Order) -> None:
        """Write the row of an order still inside at the end."""
        draw = order.draw
        self._write_order(
            order.number, draw.received, order.released, draw.due, draw.rush, -1.0, -1.0, -1.0, INSIDE, math.inf,
            order.last_bundle, order.pieces, order.remakes, order.claims, order.lot_broken, order.check_task,
        )  # fmt: skip
