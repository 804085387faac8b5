"""The plain shop as a textbook would write it: a process a piece, preemptive resources, shift ends as blockers.

Same orders, same minutes, same hours as `plain_shop`; only the way of writing differs. A piece that is interrupted at a
shift's end asks again, before all fresh ones.
"""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

import simpy

from shopsim.floor.draws import ReplicationDraws
from shopsim.floor.order_table import OrderDraw, OrderMaker
from shopsim.floor.run import Floor
from shopsim.shop.scenario import Scenario

Turn = Generator[simpy.Event, Any, None]
SHIFT_END, BEGUN, FRESH = range(3)
Order = tuple[float, list[list[float]]]


def orders_of(scenario: Scenario) -> list[Order]:
    """Receipt and minutes of each piece at each step, as shopsim draws them."""
    plan = Floor(scenario, (), 0).plans[0]
    base = [minutes for minutes, _ in plan.facts(0.0, 0.0).steps]
    table: list[OrderDraw] = OrderMaker(scenario, (), ReplicationDraws(scenario.study.seed, 0)).make()
    found = []
    for order in table:
        (first, last) = (order.lines[0].first_row, order.lines[-1].first_row + order.lines[-1].pieces)
        pieces = [[step.minutes(one, [row], 0) for step, one in zip(plan.steps, base, strict=True)]
                  for row in range(first, last)]  # fmt: skip
        found.append((order.received, pieces))
    return found


class TextbookShop:
    """The shop in plain SimPy."""

    def __init__(self, scenario: Scenario, orders: list[Order]) -> None:
        self.env = simpy.Environment()
        self.horizon_min = scenario.horizon_min
        self.orders = orders
        self.flow_min: list[float] = []
        hours = Floor(scenario, (), 0).crews[0].calendar.intervals()
        self.rooms = [simpy.PreemptiveResource(self.env, centre.seats) for centre in scenario.work_centres]
        for room in self.rooms:
            for _ in range(room.capacity):
                self.env.process(self._shift_ends(room, hours))
        self.env.process(self._arrivals())

    def run(self) -> list[float]:
        """Run to the horizon; the flow times of the orders completed, in minutes."""
        self.env.run(until=self.horizon_min)
        return self.flow_min

    def _arrivals(self) -> Turn:
        for received, pieces in self.orders:
            yield self.env.timeout(received - self.env.now)
            left = [self.env.process(self._piece(minutes)) for minutes in pieces]
            self.env.process(self._order(received, left))

    def _order(self, received: float, pieces: list[simpy.Process]) -> Turn:
        yield self.env.all_of(pieces)
        self.flow_min.append(self.env.now - received)

    def _piece(self, minutes: list[float]) -> Turn:
        for room, work_min in zip(self.rooms, minutes, strict=True):
            left_min, rank = work_min, FRESH
            while left_min > 0:
                with room.request(priority=rank, preempt=False) as seat:
                    yield seat
                    began = self.env.now
                    try:
                        yield self.env.timeout(left_min)
                        left_min = 0.0
                    except simpy.Interrupt:
                        left_min -= self.env.now - began
                        rank = BEGUN

    def _shift_ends(self, room: simpy.PreemptiveResource, hours: list[tuple[float, float]]) -> Turn:
        closed_at = 0.0
        for opens, closes in hours:
            if closed_at > self.env.now:
                yield self.env.timeout(closed_at - self.env.now)
            with room.request(priority=SHIFT_END) as night:
                yield night
                yield self.env.timeout(opens - self.env.now)
            closed_at = closes
