"""Orders, their lines and bundles of pieces, and how orders come in: receipt, artwork, release, cancellation."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from shopsim.floor.order_limit import OrderLimit
from shopsim.floor.order_table import LineDraw, OrderDraw
from shopsim.floor.record import (
    CANCELLED_AFTER_PRINT,
    CANCELLED_BEFORE_PRINT,
    INSIDE,
    KIND,
    TURNED_AWAY,
)
from shopsim.floor.routes import ProductPlan
from shopsim.floor.rules import LANE_RUSH, lane_of
from shopsim.floor.tasks import Task
from shopsim.floor.timing import after

if TYPE_CHECKING:
    from shopsim.floor.run import Floor


class Order:
    """One order on the floor. `lane` is that of its first make, `left` counts pieces not yet finished, `gone` means
    cancelled."""

    __slots__ = (
        "check_task", "claims", "complete", "draw", "ending", "gone", "lane", "last_bundle", "left", "lines",
        "lot_broken", "lots", "number", "pieces", "printed", "released", "remakes", "return_to",
    )  # fmt: skip

    def __init__(self, number: int, draw: OrderDraw, rush_first: bool) -> None:
        self.number = number
        self.draw = draw
        self.lane = LANE_RUSH if draw.rush and rush_first else lane_of(draw.priority)
        self.lines: list[Line] = []
        self.pieces = self.left = sum(line.pieces for line in draw.lines)
        self.released = -1.0
        self.complete = -1.0
        self.gone = False
        self.printed = False
        self.ending = INSIDE
        self.last_bundle = -1
        self.check_task = -1
        self.remakes = 0
        self.claims = 0
        self.lots: dict[int, int] = {}
        self.lot_broken = False
        self.return_to: Callable[[float], None] | None = None


class Line:
    """One order line on the floor with what follows from its size."""

    __slots__ = ("draw", "facts", "number", "order", "plan", "steps", "web")

    def __init__(self, order: Order, number: int, plan: ProductPlan, draw: LineDraw) -> None:
        self.order = order
        self.number = number
        self.plan = plan
        self.draw = draw
        self.facts = plan.facts(draw.width_m, draw.height_m)
        self.web = self.facts.web
        self.steps = self.facts.steps

    @property
    def area_m2(self) -> float:
        """Finished area of one piece."""
        return self.draw.width_m * self.draw.height_m


class Bundle:
    """Pieces of one order line that move together. `pieces` are row numbers; `faults` maps a piece to its fault.

    `mended`: a piece that came back for repair. `lies_on`: the finished task whose seat it is about to leave.
    """

    __slots__ = ("attempt", "faults", "lies_on", "line", "mended", "number", "order", "pieces", "run", "step")

    def __init__(self, number: int, line: Line, pieces: list[int], attempt: int, step: int, run: int) -> None:
        self.number = number
        self.line = line
        self.order = line.order
        self.pieces = pieces
        self.attempt = attempt
        self.step = step
        self.run = run
        self.faults: dict[int, int] = {}
        self.mended = False
        self.lies_on: Task | None = None


class Receipt:
    """Brings in each order of a table, sorted by time of receipt, at its minute; orders are built only then."""

    def __init__(self, floor: Floor, table: Sequence[OrderDraw]) -> None:
        self.floor = floor
        self.table = table
        # Row of the next order to come.
        self.row = 0

    def pieces_so_far(self) -> list[int]:
        """Pieces of each product that have come in, which are as many rows of its random tables."""
        pieces = [0] * len(self.floor.scenario.products)
        for order in self.table[: self.row]:
            for line in order.lines:
                pieces[line.product] += line.pieces
        return pieces

    def expect(self, table: Sequence[OrderDraw], pieces: Sequence[int]) -> None:
        """Bring in these orders instead of those still to come; their pieces have rows of their own after so many."""
        rows = list(pieces)
        for order in table:
            placed = []
            for line in order.lines:
                placed.append(line._replace(first_row=rows[line.product]))
                rows[line.product] += line.pieces
            order.lines = placed
        self.table, self.row = table, 0
        self.start()

    def start(self) -> None:
        """Bring in those received by now, and the others as they come."""
        env = self.floor.env
        while self.row < len(self.table):
            received = self.table[self.row].received
            if received > env.now:
                after(env, received - env.now, self._next_comes)
                return
            self._bring_in()

    def _next_comes(self, _: object) -> None:
        self._bring_in()
        self.start()

    def _bring_in(self) -> None:
        self.row += 1
        self.floor.intake.receive(self.table[self.row - 1])


class Intake:
    """Artwork check, waiting for files and approval, then release to the floor, if the shop is not full."""

    def __init__(self, floor: Floor) -> None:
        self.floor = floor
        rule = floor.scenario.policies.orders_at_once
        self.limit = None if rule is None else OrderLimit(floor, rule)
        art = floor.scenario.demand.artwork
        self._check_at = floor.stations[art.check_at] if art is not None and art.check_at else None
        self._write_line = floor.log.writer("lines")

    def enter(self, draw: OrderDraw) -> Order:
        """An order and its lines go into the books."""
        floor = self.floor
        order = Order(floor.next_order_number(), draw, floor.rush_first)
        floor.open_orders[order.number] = order
        floor.log.leftover.pieces_in += order.pieces
        order.lines = [Line(order, i, floor.plans[line.product], line) for i, line in enumerate(draw.lines)]
        for line in order.lines:
            cells = line.draw
            self._write_line(order.number, line.number, line.plan.index, cells.pieces, cells.width_m, cells.height_m)
        return order

    def receive(self, draw: OrderDraw) -> Order:
        """An order comes in."""
        floor = self.floor
        order = self.enter(draw)
        if self.limit is not None and self.limit.turns_away:
            if self.limit.full:
                # A clock set by adding a wait may be off by the last bit.
                self._end(order, TURNED_AWAY, draw.received)
                if floor.lists is not None:
                    floor.lists.cancelled(order)
                return order
            self.limit.take(order)
        if floor.lists is not None:
            floor.lists.expect(order)
        if draw.cancel_at < floor.log.horizon_min:
            wait = max(0.0, draw.cancel_at - floor.env.now)
            after(floor.env, wait, self._cancel, order)
        self.check_artwork(order)
        return order

    def check_artwork(self, order: Order) -> None:
        """Look at an order's files; what follows is approval."""
        if self._check_at is None:
            self.await_artwork(order)
        else:
            self._check_at.submit(self._check_task(order))

    def _check_task(self, order: Order) -> Task:
        assert self._check_at is not None
        return Task(
            self._check_at, KIND["artwork"], order.draw.check_min, self._checked, place=self._check_at.place,
            lane=order.lane, due=order.draw.due, order=order, pieces=order.pieces,
        )  # fmt: skip

    def _checked(self, task: Task) -> None:
        assert task.order is not None
        self.await_artwork(task.order)

    def await_artwork(self, order: Order) -> None:
        """Wait for corrected files and approval."""
        draw = order.draw
        wait = max(draw.artwork_min, draw.approved - self.floor.env.now)
        if wait > 0:
            after(self.floor.env, wait, self._approved, order)
        else:
            self._approved(order)

    def _approved(self, order: Order) -> None:
        if order.gone:
            return
        if self.limit is not None and not self.limit.turns_away:
            if self.limit.full:
                self.limit.hold(order)
                return
            self.limit.take(order)
        self.release(order)

    def release(self, order: Order) -> None:
        """Work on an order may begin."""
        order.released = self.floor.env.now
        for line in order.lines:
            pieces = list(range(line.draw.first_row, line.draw.first_row + line.draw.pieces))
            self.floor.flow.make(line, pieces, 0)

    def _cancel(self, order: Order) -> None:
        if order.complete >= 0 or order.gone:
            return
        self._end(order, CANCELLED_AFTER_PRINT if order.printed else CANCELLED_BEFORE_PRINT, self.floor.env.now)
        if self.floor.print_room is not None:
            self.floor.print_room.forget(order)
        if self.floor.lists is not None:
            self.floor.lists.cancelled(order)
        for station in self.floor.rooms:
            station.withdraw(order, self.floor.env.now)
        if self.limit is not None:
            self.limit.leave(order)

    def _end(self, order: Order, ending: int, at: float) -> None:
        """An order is lost; what is left of it is dropped."""
        order.gone = True
        order.ending = ending
        self.floor.log.leftover.pieces_dropped += order.left
        order.left = 0
        self.floor.dispatch.book(order, at)
