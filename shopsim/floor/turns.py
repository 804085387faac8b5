"""A planner's list at a place: its orders begin there one after the other, and what is not on it comes after them.

An order's turn is over when each of its pieces has begun there, as often as its route leads there. Pieces that are
lost, repaired or given out on the way hold up nobody's turn; they come when they come, once their order has had its.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from typing import TYPE_CHECKING

from shopsim.floor.rules import RankedQueue

if TYPE_CHECKING:
    from shopsim.floor.orders import Bundle, Line, Order
    from shopsim.floor.tasks import Task

# Number of the order line, of the step in its route, of the piece.
Visit = tuple[int, int, int]
PRINT_STEP = -1


class Turns:
    """Whose turn it is at one place: `now` is a position on the list, its length once all have had their turn."""

    def __init__(self, orders: Sequence[str], visits_of: Callable[[Order], set[Visit]]) -> None:
        self._position = {name: position for position, name in enumerate(orders)}
        self._visits_of = visits_of
        # None until the order has come in.
        self._left: list[set[Visit] | None] = [None] * len(orders)
        self.now = 0
        self.on_next: Callable[[], None] = lambda: None

    @property
    def through(self) -> bool:
        """Whether all orders on the list have had their turn."""
        return self.now == len(self._left)

    def lists(self, order: Order) -> bool:
        """Whether an order is on the list."""
        return order.draw.name in self._position

    def position(self, order: Order) -> int:
        """An order's place on the list; the length of the list if it is not on it."""
        return self._position.get(order.draw.name, len(self._left))

    def expect(self, order: Order) -> None:
        """A listed order has come in: its turn will be over when these pieces have begun."""
        self._left[self.position(order)] = self._visits_of(order)
        self._next()

    def strike(self, order: Order, visits: Iterable[Visit]) -> None:
        """Pieces of a listed order have begun here, or will not come in their turn."""
        left = self._left[self.position(order)]
        if left:
            left.difference_update(visits)
            self._next()

    def strike_pieces(self, line: Line, pieces: Iterable[int]) -> None:
        """Pieces of an order line have left its way for a while."""
        gone = set(pieces)
        left = self._left[self.position(line.order)] or ()
        self.strike(line.order, [v for v in left if v[0] == line.number and v[2] in gone])

    def strike_out(self, order: Order) -> None:
        """A listed order is cancelled."""
        self._left[self.position(order)] = set()
        self._next()

    def strike_unknown(self, names: Collection[str]) -> None:
        """Orders on the list that are none of these have left the shop."""
        for name, position in self._position.items():
            if name not in names:
                self._left[position] = set()
        self._next()

    def _next(self) -> None:
        before = self.now
        while not self.through and self._left[self.now] == set():
            self.now += 1
        if self.now > before:
            self.on_next()


class PlannedLists:
    """The lists of all places, told of what happens to the orders on them."""

    def __init__(self) -> None:
        self.turns: list[Turns] = []

    def _of(self, order: Order) -> list[Turns]:
        return [turns for turns in self.turns if turns.lists(order)]

    def expect(self, order: Order) -> None:
        """An order has come in."""
        for turns in self._of(order):
            turns.expect(order)

    def lost(self, line: Line, pieces: Iterable[int]) -> None:
        """Pieces are made again, repaired, or printed outside."""
        for turns in self._of(line.order):
            turns.strike_pieces(line, pieces)

    def passed(self, bundle: Bundle) -> None:
        """A bundle goes past the place of its present step: given out, or nothing to do there."""
        for turns in self._of(bundle.order):
            turns.strike(bundle.order, visits(bundle))

    def only(self, names: Collection[str]) -> None:
        """No other orders than these are or will be in the shop."""
        for turns in self.turns:
            turns.strike_unknown(names)

    def been(self, line: Line, steps: Iterable[int], pieces: Sequence[int]) -> None:
        """Pieces of an order line have passed these steps."""
        passed = [(line.number, step, piece) for step in steps for piece in pieces]
        for turns in self._of(line.order):
            turns.strike(line.order, passed)

    def cancelled(self, order: Order) -> None:
        """An order has been withdrawn."""
        for turns in self._of(order):
            turns.strike_out(order)


def visits(bundle: Bundle) -> list[Visit]:
    """The visits a bundle makes at its present step."""
    return [(bundle.line.number, bundle.step, piece) for piece in bundle.pieces]


def needs_turn(task: Task) -> bool:
    """Whether a task is work on pieces, and not a check or a machine's repair."""
    return task.bundle is not None


class TurnQueue(RankedQueue):
    """A queue in which tasks whose turn has not come do not count until it comes."""

    __slots__ = ("_held", "_inner", "_turns")

    def __init__(self, inner: RankedQueue, turns: Turns) -> None:
        self._inner = inner
        self._turns = turns
        self._held: dict[int, list[Task]] = {}

    def __len__(self) -> int:
        return len(self._inner)

    def push(self, task: Task) -> None:
        """Put a task in line, or hold it back."""
        if self.is_open(task):
            self._inner.push(task)
        else:
            assert task.order is not None
            self._held.setdefault(self._turns.position(task.order), []).append(task)

    def is_open(self, task: Task) -> bool:
        """Whether a task may begin as far as the list goes."""
        return not needs_turn(task) or task.order is None or self._turns.position(task.order) <= self._turns.now

    def release(self) -> None:
        """Let those in whose turn has come."""
        for position in sorted(p for p in self._held if p <= self._turns.now):
            for task in self._held.pop(position):
                self._inner.push(task)

    def in_order(self) -> list[Task]:
        """What may begin, the next first, then what is held back."""
        return [*self._inner.in_order(), *(task for held in self._held.values() for task in held)]

    def rank_again(self) -> None:
        """What the rule looks at has changed."""
        self._inner.rank_again()

    def head(self) -> Task:
        """The next task that may begin."""
        return self._inner.head()

    def rank(self) -> tuple[int, float, int]:
        """Lane, rule value and number of the next task that may begin."""
        return self._inner.rank()

    def pop(self, free_families: object = None) -> Task:
        """Take the next task that may begin out of line."""
        return self._inner.pop(free_families)
