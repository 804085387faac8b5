"""A floor's state as plain JSON values, and back onto a floor on which nothing has happened."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from typing import Any

from shopsim.errors import Problem, SnapshotError
from shopsim.floor.gangs import Gang, Group, Job
from shopsim.floor.order_table import LineDraw
from shopsim.floor.orders import Bundle, Line, Order
from shopsim.floor.run import Floor
from shopsim.floor.snapshot.calls import EVENT
from shopsim.floor.snapshot.kinds import TEXT, WHOLE, Cell, Mapping, Several, Together, UnfitError, check_names, refuse
from shopsim.floor.snapshot.parts import Queue, parts_of, state_of
from shopsim.floor.snapshot.things import FURTHER, MADE
from shopsim.floor.tasks import Task
from shopsim.floor.timing import Pending, pending, set_clock

# Next numbers of a task and an order, and pieces received by product; state of each part; orders, tasks and the like;
# how many numbers of each random line were used; what is still to come, in order.
SECTIONS = ("numbers", "parts", "things", "draws", "events")
_NUMBERS = Together(WHOLE, WHOLE, Several(WHOLE))
_DRAWS = Mapping(TEXT, WHOLE)
_EVENTS = Several(EVENT)


class _Book:
    """Numbers things as they are met."""

    def __init__(self, floor: Floor) -> None:
        self._names = {id(part): name for name, part in parts_of(floor).items()}
        self._numbers: dict[str, dict[int, int]] = {table: {} for table in MADE}
        self.things: dict[str, list[Any]] = {table: [] for table in MADE}

    def number(self, table: str, thing: object) -> int:
        """The number of a thing in its table."""
        numbers = self._numbers[table]
        found = numbers.setdefault(id(thing), len(numbers))
        if found == len(self.things[table]):
            self.things[table].append(thing)
        return found

    def name(self, part: object) -> str:
        """The name of a part."""
        return self._names[id(part)]


def taken(floor: Floor) -> dict[str, Cell]:
    """The state of a floor between two events. Nothing on the floor changes by it."""
    book = _Book(floor)
    parts = {name: state_of(part.__class__).write(part, book) for name, part in parts_of(floor).items()}
    to_come = [(each.at, each.priority, (each.call, (each.value,))) for each in pending(floor.env)]
    events = _EVENTS.write(to_come, book)
    things: dict[str, list[Cell]] = {table: [] for table in MADE}
    # Writing a thing may number others, of any table.
    while any(len(things[table]) < len(book.things[table]) for table in MADE):
        for table, written in things.items():
            for thing in itertools.islice(book.things[table], len(written), None):
                written.append({**MADE[table].write(thing, book), **FURTHER[table].write(thing, book)})
    used = dict(sorted(floor.draws.used().items()))
    found = _numbers(floor), parts, things, _DRAWS.write(used, book), events
    return dict(zip(SECTIONS, found, strict=True))


def _numbers(floor: Floor) -> list[Cell]:
    """The next numbers of a task and of an order, which reading them moves on, and the pieces so far."""
    task, order = floor.next_task_number(), floor.next_order_number()
    _set_numbers(floor, task, order)
    return [task, order, floor.receipt.pieces_so_far()]


def _set_numbers(floor: Floor, task: int, order: int) -> None:
    floor.next_task_number = itertools.count(task).__next__
    floor.next_order_number = itertools.count(order).__next__


class _Shelf:
    """Things as far as they are made, and parts by name, of one floor whose clock is to stand at `now`."""

    def __init__(self, floor: Floor, now: float) -> None:
        self.floor = floor
        self.now = now
        self.parts = parts_of(floor)
        self.makers = _makers(floor)
        self.things: dict[str, list[Any]] = {table: [] for table in MADE}

    def thing(self, table: str, number: int) -> Any:
        """The thing of this number; None if there is none."""
        found = self.things[table]
        return found[number] if 0 <= number < len(found) else None

    def part(self, name: str) -> Any:
        """The part of this name; None if there is none."""
        return self.parts.get(name)


def put(floor: Floor, state: dict[str, Cell], now: float) -> None:
    """Put a state taken at minute `now` onto a floor that has not started. Raises SnapshotError."""
    shelf = _Shelf(floor, now)
    # Parts refer to things, and what is still to come to both.
    for section, put_section in (
        ("numbers", _put_numbers), ("things", _put_things), ("parts", _put_parts), ("draws", _put_draws),
        ("events", _put_events),
    ):  # fmt: skip
        try:
            put_section(state[section], shelf)
        except UnfitError as fault:
            path = fault.under(section).path
            raise SnapshotError([Problem("", None, None, path, str(fault))]) from None


def _put_numbers(cell: Cell, shelf: _Shelf) -> None:
    task, order, pieces = _NUMBERS.read(cell, shelf)
    if len(pieces) != len(shelf.floor.scenario.products):
        refuse("pieces of each product", pieces)
    _set_numbers(shelf.floor, task, order)


def _put_draws(cell: Cell, shelf: _Shelf) -> None:
    shelf.floor.draws.go_on_from(_DRAWS.read(cell, shelf))


def _put_events(cell: Cell, shelf: _Shelf) -> None:
    to_come = [Pending(at, priority, call, *values) for at, priority, (call, values) in _EVENTS.read(cell, shelf)]
    set_clock(shelf.floor.env, shelf.now, to_come)


def _put_parts(cell: Cell, shelf: _Shelf) -> None:
    check_names(cell, shelf.parts.keys())
    for name, part in shelf.parts.items():
        try:
            _fill(part, cell[name], shelf)
        except UnfitError as fault:
            raise fault.under(f".{name}") from None


def _fill(part: Any, cells: Cell, shelf: _Shelf) -> None:
    state = state_of(part.__class__)
    values = state.read(cells, shelf)
    for name, _, kind in state.kinds:
        if isinstance(kind, Queue):
            for task in values[name]:
                getattr(part, name).push(task)
        else:
            setattr(part, name, values[name])


def _put_things(cell: Cell, shelf: _Shelf) -> None:
    check_names(cell, MADE.keys())
    # All are made before any is told of the others.
    for step in (_make, _complete):
        for table in MADE:
            try:
                step(table, cell[table], shelf)
            except UnfitError as fault:
                raise fault.under(f".{table}") from None


def _make(table: str, rows: Cell, shelf: _Shelf) -> None:
    if not isinstance(rows, list):
        refuse("a list", rows)
    made, maker = shelf.things[table], shelf.makers[table]
    names = MADE[table].names | FURTHER[table].names
    try:
        for row in rows:
            check_names(row, names)
            made.append(maker(*MADE[table].read_among(row, shelf).values()))
    except UnfitError as fault:
        raise fault.under(f"[{len(made)}]") from None


def _complete(table: str, rows: Cell, shelf: _Shelf) -> None:
    for i, thing in enumerate(shelf.things[table]):
        try:
            values = FURTHER[table].read_among(rows[i], shelf)
        except UnfitError as fault:
            raise fault.under(f"[{i}]") from None
        for name, value in values.items():
            setattr(thing, name, value)


def _line(floor: Floor, order: Order, number: int, draw: LineDraw) -> Line:
    plans = floor.plans
    if not 0 <= draw.product < len(plans):
        raise UnfitError(f"the shop has {len(plans)} products and fleets, found {draw.product}").under(".draw.product")
    try:
        return Line(order, number, plans[draw.product], draw)
    except ValueError as fault:
        raise UnfitError(f"cannot be made here: {fault}").under(".draw") from None


def _nothing(_: Task) -> None:
    """What follows a task until it is known."""


def _makers(floor: Floor) -> dict[str, Callable[..., Any]]:
    return {
        "orders": lambda number, draw: Order(number, draw, floor.rush_first),
        "lines": lambda order, number, draw: _line(floor, order, number, draw),
        "bundles": Bundle,
        "jobs": Job,
        "groups": Group,
        "gangs": Gang,
        "tasks": lambda station, kind, minutes: Task(station, kind, minutes, _nothing),
    }
