"""A work centre that works through a planner's list."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from shopsim.floor.stations import Station
from shopsim.floor.turns import TurnQueue, Turns, Visit, needs_turn, visits

if TYPE_CHECKING:
    from shopsim.floor.orders import Order
    from shopsim.floor.people import Person
    from shopsim.floor.run import Floor
    from shopsim.floor.tasks import Task


class ListedStation(Station):
    """A station whose queue rule only ranks what may begin: orders whose turn has come, and checks."""

    def __init__(self, floor: Floor, name: str, place: int, skill: str, seats: int | None, rule: str,
                 change_over_min: float, orders: Sequence[str]) -> None:  # fmt: skip
        super().__init__(floor, name, place, skill, seats, rule, change_over_min)
        self.turns = Turns(orders, self._visits_of)
        self.turns.on_next = self._next_turn
        self._lines = (TurnQueue(self.singles, self.turns), TurnQueue(self.pairs, self.turns))
        self.singles, self.pairs = self._lines

    def _visits_of(self, order: Order) -> set[Visit]:
        return {
            (line.number, step, piece)
            for line in order.lines
            for step, each in enumerate(line.plan.steps)
            if each.station is self
            for piece in range(line.draw.first_row, line.draw.first_row + line.draw.pieces)
        }

    def _start_at_once(self, task: Task, now: float) -> bool:
        return self._lines[0].is_open(task) and super()._start_at_once(task, now)

    def _start(self, task: Task, person: Person, partner: Person | None, now: float) -> None:
        super()._start(task, person, partner, now)
        if task.part == 1 and task.bundle is not None and needs_turn(task) and self.turns.lists(task.bundle.order):
            self.turns.strike(task.bundle.order, visits(task.bundle))

    def _next_turn(self) -> None:
        for line in self._lines:
            line.release()
        self.pull(self.env.now)
