"""A task: hands needed at a place for some minutes. Everything people do on the floor is one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Protocol

from shopsim.floor.rules import LANE_NORMAL

if TYPE_CHECKING:
    from shopsim.floor.orders import Bundle, Order
    from shopsim.floor.people import Person
    from shopsim.floor.stations import Station


class Watcher(Protocol):
    """Whoever must know when hands begin and pause: a printer that waits for them."""

    def began(self, task: Task) -> None:
        """Hands are on the task."""

    def paused(self, task: Task) -> None:
        """Hands have left the task unfinished."""


class Task:
    """One operation at one station. `minutes` are the standard minutes still to do; `place` is where it is booked.

    The way of a bundle sets the rest of its fields one by one: keywords would double the time a task takes to make.
    """

    lane: int
    minutes: float
    ready: float
    due: float

    __slots__ = (
        "attempt", "bundle", "cargo", "due", "family", "full_at", "kind", "labour", "lane", "last_person", "left_min",
        "lift", "minutes", "needs_lift", "number", "on_done", "order", "part", "partner", "people",
        "person", "pieces", "place", "ready", "seat", "station", "watcher",
    )  # fmt: skip

    def __init__(
        self, station: Station, kind: int, minutes: float, on_done: Callable[[Task], object], *,
        place: int | None = None, people: int = 1, needs_lift: bool = False, lane: int = LANE_NORMAL,
        due: float = 0.0, family: int = -1, order: Order | None = None, bundle: Bundle | None = None,
        pieces: int = 0, attempt: int = 0, labour: float = 2.0, watcher: Watcher | None = None,
    ) -> None:  # fmt: skip
        self.station = station
        self.kind = kind
        self.minutes = minutes
        self.on_done = on_done
        self.place = station.place if place is None else place
        self.people = people
        self.needs_lift = needs_lift
        self.lane = lane
        self.due = due
        self.family = family
        self.order = order
        self.bundle = bundle
        self.pieces = pieces
        self.attempt = attempt
        self.labour = labour
        self.watcher = watcher
        self.cargo: Sequence[Bundle] = ()
        self.part = 0
        self.seat = -1
        self.number = -1
        self.ready = 0.0
        self.full_at = 0.0
        self.left_min = 0.0
        self.lift = False
        self.person: Person | None = None
        self.partner: Person | None = None
        self.last_person: Person | None = None

    def again(self) -> Task:
        """The same task as another object."""
        other = Task(
            self.station, self.kind, self.minutes, self.on_done, place=self.place, people=self.people,
            needs_lift=self.needs_lift, lane=self.lane, due=self.due, family=self.family, order=self.order,
            bundle=self.bundle, pieces=self.pieces, attempt=self.attempt, labour=self.labour, watcher=self.watcher,
        )  # fmt: skip
        other.cargo, other.part, other.seat, other.number = self.cargo, self.part, self.seat, self.number
        other.ready, other.full_at, other.left_min, other.lift = self.ready, self.full_at, self.left_min, self.lift
        other.person, other.partner, other.last_person = self.person, self.partner, self.last_person
        return other
