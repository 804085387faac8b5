"""Hire fleets: a fixed number of pieces out with customers; each comes back for work, then goes out again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopsim.clock import MINUTES_PER_DAY
from shopsim.floor.order_table import NEVER, LineDraw, OrderDraw, draw_sizes
from shopsim.floor.timing import after
from shopsim.shop.demand import HireFleet
from shopsim.streams import Draws

if TYPE_CHECKING:
    from shopsim.floor.run import Floor


def fleet_name(number: int, fleet: HireFleet) -> str:
    """What a fleet's random numbers are kept under."""
    return f"fleet {number} of {fleet.product}"


class FleetOut:
    """One fleet. `row` is that of the next piece that comes back."""

    def __init__(self, floor: Floor, number: int, fleet: HireFleet) -> None:
        self.floor = floor
        self.fleet = fleet
        self.plan = len(floor.scenario.products) + number
        self.out_h: Draws = floor.draws.line(f"fleet {number}/out", fleet.out_h)
        model = floor.plans[self.plan].model
        self.priority = model.priority
        self.size = draw_sizes(model, 1, floor.draws, f"fleet {number}")[0]
        self.row = 0

    def start(self) -> None:
        """Send every piece out for the first time."""
        for _ in range(self.fleet.pieces):
            self._send_out(self.floor.env.now)

    def _send_out(self, leaves: float) -> None:
        back = leaves + self.out_h.next() * 60
        if back < self.floor.log.horizon_min:
            after(self.floor.env, back - self.floor.env.now, self._come_back)

    def _come_back(self, _: object) -> None:
        now = self.floor.env.now
        line = LineDraw(self.plan, 1, *self.size, self.row)
        self.row += 1
        due = now + self.fleet.lead_days * MINUTES_PER_DAY
        draw = OrderDraw(now, due, False, True, 0.0, NEVER, 0.0, 0.0, 0.0, [line], priority=self.priority)
        self.floor.intake.receive(draw).return_to = self._send_out
