"""The orders of a run that starts from a morning: those open, those still to come, and new requests.

Open orders have the first rows of all tables, orders to come the next ones, requests the last, drawn under names of
their own: with or without a request every other order meets the same luck.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from shopsim.clock import minute_of, parse_clock
from shopsim.floor.draws import ReplicationDraws
from shopsim.floor.order_table import NEVER, LineDraw, OrderDraw, OrderMaker, minute_of_moment
from shopsim.shop.order_book import OrderLine
from shopsim.shop.scenario import Scenario
from shopsim.shop.today_model import OpenOrder
from shopsim.shop.today_start import Start

# From so many draws a wait is taken that has lasted as long as it has.
_TRIES = 400


class TodayOrders:
    """Draws open orders, orders to come and requests of one replication."""

    def __init__(self, scenario: Scenario, maker: OrderMaker, draws: ReplicationDraws, start: Start) -> None:
        self.scenario = scenario
        self.maker = maker
        self.draws = draws
        self.start = start
        self.now = start.now_min(scenario)
        self._cut_off = parse_clock(scenario.policies.dispatch.cut_off)

    def make(self) -> tuple[list[OrderDraw], list[OrderDraw], list[OrderDraw]]:
        """Open orders, orders to come by time of receipt, requests."""
        opened = [self._draw(order) for order in self.start.today.orders]
        self._approvals(opened, self.start.today.orders, "open")
        to_come = sorted((o for o in self.maker.drawn() if o.received >= self.now), key=lambda order: order.received)
        self.maker.numbered([*opened, *to_come])
        requests = [self._draw(order) for order in self.start.requests]
        self._approvals(requests, self.start.requests, "request")
        self.maker.numbered(requests, "request")
        for asked, drawn in zip(self.start.orders, [*opened, *requests], strict=True):
            if asked.priority is not None:
                drawn.priority = asked.priority
        for drawn in requests:
            drawn.outside = self.start.outside
        return opened, to_come, requests

    def _draw(self, order: OpenOrder) -> OrderDraw:
        starts = self.scenario.shop.starts
        made = OrderDraw(
            minute_of_moment(order.received, starts), minute_of(order.due, starts, self._cut_off), order.rush,
            order.repeat, 0.0, NEVER, 0, 0, 0, name=order.order,
        )  # fmt: skip
        for line in order.lines:
            size = self.maker.book_size(line.product, line.width_m, line.height_m)
            made.lines.append(LineDraw(self.maker.number[line.product], line.pieces, *size, 0))
        return made

    def _approvals(self, drawn: Sequence[OrderDraw], told: Sequence[OpenOrder], name: str) -> None:
        """Minutes until approval: as expected, else drawn, longer than the wait has lasted where that is known."""
        for number, (draw, order) in enumerate(zip(drawn, told, strict=True)):
            if order.stage == "received" and not order.repeat:
                draw.artwork_min = float(self.maker.with_customer_min(1, f"{name} {number}")[0])
            elif order.expected is not None:
                draw.artwork_min = max(0.0, minute_of_moment(order.expected, self.scenario.shop.starts) - self.now)
            elif order.stage == "approval":
                draw.artwork_min = self._still_waits(order, f"{name} {number}")

    def _still_waits(self, order: OpenOrder, name: str) -> float:
        waited = 0.0 if order.asked is None else self.now - minute_of_moment(order.asked, self.scenario.shop.starts)
        waits = self.maker.with_customer_min(_TRIES, name)
        longer = np.flatnonzero(waits > waited)
        # Who has not answered for longer than anybody ever does is asked again today.
        return float(waits[longer[0]] - waited) if len(longer) else float(waits[0])


def names_to_come(lines: Sequence[OrderLine], start: Start, scenario: Scenario) -> set[str]:
    """Ids of the order book's orders that are still to come."""
    now = start.now_min(scenario)
    return {line.order_id for line in lines if minute_of_moment(line.received, scenario.shop.starts) >= now}
