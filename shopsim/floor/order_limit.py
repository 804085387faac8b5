"""At most so many orders in the shop at once: the next is turned away, or held back until a place is free."""

from __future__ import annotations

import heapq
import math
from typing import TYPE_CHECKING

from shopsim.shop.policies import OrdersAtOnce

if TYPE_CHECKING:
    from shopsim.floor.orders import Order
    from shopsim.floor.run import Floor


class OrderLimit:
    """Counts the orders that have a place. Whoever waits for one is kept in line by lane, release rule and number."""

    def __init__(self, floor: Floor, rule: OrdersAtOnce) -> None:
        self.floor = floor
        self.most = rule.most
        self.turns_away = rule.when_full == "turn_away"
        self._by_due = rule.release_rule == "due_date"
        self._taken: set[int] = set()
        self._held: list[tuple[int, float, int, Order]] = []
        self._held_since: dict[int, float] = {}
        self._releasing = False
        self._write = floor.log.writer("release_waits")

    @property
    def full(self) -> bool:
        """Whether every place is taken."""
        return len(self._taken) >= self.most

    def take(self, order: Order) -> None:
        """An order takes a place."""
        self._taken.add(order.number)

    def hold(self, order: Order) -> None:
        """An order that may be released is held back."""
        now = self.floor.env.now
        rank = order.draw.due if self._by_due else now
        heapq.heappush(self._held, (order.lane, rank, order.number, order))
        self._held_since[order.number] = now

    def leave(self, order: Order) -> None:
        """An order is complete or cancelled: its place goes to the next in line."""
        self._taken.discard(order.number)
        self._note(order, self.floor.env.now)
        # An order without any work is complete as it is released, and must not release the next from within.
        if not self._releasing:
            self._releasing = True
            self._release_next()
            self._releasing = False

    def _release_next(self) -> None:
        while self._held and not self.full:
            order = heapq.heappop(self._held)[3]
            if not order.gone:
                self._note(order, self.floor.env.now)
                self.take(order)
                self.floor.intake.release(order)

    def _note(self, order: Order, until: float) -> None:
        since = self._held_since.pop(order.number, until)
        if until > since:
            self._write(order.number, since, until)

    def close(self) -> None:
        """Write the waits of those still held back at the end."""
        for number, since in self._held_since.items():
            self._write(number, since, math.inf)
