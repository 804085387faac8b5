"""What a run leaves behind: append-only columns, nothing computed.

Every table is one flat `array('d')` with a fixed width; `table(name)` gives it as a numpy matrix and `COLUMNS` names
the columns. Codes index the tuples `KINDS`, `STATES`, `METRE_CAUSES` and `ENDINGS`. -1 stands for "none".
"""

from __future__ import annotations

from array import array
from collections.abc import Callable
from dataclasses import dataclass, field
from struct import Struct

import numpy as np
from numpy.typing import NDArray

from shopsim.calendars import Calendar

KINDS = (
    "artwork", "print", "calender", "cut", "sew", "eyelets", "iron", "rods", "frame_fit", "inspect", "pack", "work",
    "repair", "order_check", "rest", "bought_in",
    "roll_change", "join", "take_up_change", "nozzle_check", "cleaning", "first_article", "minor_stop", "care",
    "attention", "machine_repair", "head_service", "side_work",
)  # fmt: skip
KIND = {name: code for code, name in enumerate(KINDS)}

STATES = (
    "off", "warming", "waiting_job", "waiting_material", "waiting_operator", "printing", "tail", "roll_change", "join",
    "take_up_change", "set_point", "mode_change", "nozzle_check", "cleaning", "first_article", "minor_stop",
    "breakdown", "service", "care",
)  # fmt: skip
STATE = {name: code for code, name in enumerate(STATES)}

METRE_CAUSES = (
    "bought", "printed", "leader", "join", "tail_blank", "stop", "test", "first_article", "calender",
    "remnant_scrapped",
)  # fmt: skip
METRE_CAUSE = {name: code for code, name in enumerate(METRE_CAUSES)}

INK_CAUSES = ("printed", "cleaning", "idle")
ENDINGS = ("inside", "dispatched", "cancelled_before_print", "cancelled_after_print", "turned_away")
INSIDE, DISPATCHED, CANCELLED_BEFORE_PRINT, CANCELLED_AFTER_PRINT, TURNED_AWAY = range(5)

COLUMNS: dict[str, tuple[str, ...]] = {
    # One row a stretch of work: an operation split by a shift's end or a failure has several, `part` 0, 1, ...
    "operations": (
        "task", "part", "kind", "place", "seat", "person", "helper", "order", "bundle", "pieces", "attempt", "ready",
        "start", "end", "worked_min", "wait_seat_min", "last",
    ),
    # One row a printed share of a bundle: ready, when the gang could be made, start of the run, off the printer.
    "prints": ("printer", "order", "bundle", "pieces", "attempt", "ready", "gang_ready", "start", "end", "run"),
    "runs": ("run", "printer", "fabric", "mode", "start", "end", "web_m", "pieces_m2", "pieces", "speed_m_per_min"),
    "printer_states": ("printer", "state", "start", "end"),
    "calendered": ("task", "bundle", "order"),
    "metres": ("at", "printer", "fabric", "lot", "cause", "metres", "m2", "pieces_m2"),
    "ink": ("at", "printer", "cause", "ml"),
    "bundles": ("bundle", "parent", "order", "line", "product", "pieces", "attempt", "made"),
    "lines": ("order", "line", "product", "pieces", "width_m", "height_m"),
    "orders": (
        "order", "received", "released", "due", "rush", "complete", "dispatched", "delivered", "ending", "ended",
        "last_bundle", "pieces", "reprints", "claims", "lot_broken", "check_task",
    ),
    "remakes": ("at", "order", "product", "attempt", "cause", "found_at", "m2"),
    "overtime": ("crew", "start", "end", "people"),
    "absences": ("person", "day"),
    "bought_in": ("at", "back", "order", "place", "pieces", "cost"),
    # Orders held back while the shop was full; bundles for which the next place had no room, with the seat they kept.
    "release_waits": ("order", "start", "end"),
    "room_waits": ("bundle", "order", "place", "start", "end", "kept_place", "kept_seat", "kept_task"),
    # One row a piece taken off its seat for more urgent work: the part that came to an end so, and the task it gave
    # way to.
    "interruptions": ("at", "task", "part", "gave_way_to"),
}  # fmt: skip

REMAKE_CAUSES = ("print_fault", "stop", "cut_loss", "sewing_fault", "calender", "print_fault_at_printer")


@dataclass(slots=True)
class Person:
    """Who a person index stands for, and what the person costs."""

    name: str
    crew: int


@dataclass(slots=True)
class Leftover:
    """What is still inside at the end, for the audits of balance."""

    stock_m: dict[int, float] = field(default_factory=dict)
    mounted_m: dict[int, float] = field(default_factory=dict)
    opening_m: dict[int, float] = field(default_factory=dict)
    pieces_in: int = 0
    pieces_done: int = 0
    pieces_dropped: int = 0
    pieces_inside: int = 0


class RunLog:
    """The records of one replication over [0, horizon_min)."""

    def __init__(self, horizon_min: float, warm_up_min: float, seed: int, replication: int) -> None:
        self.horizon_min = horizon_min
        self.warm_up_min = warm_up_min
        self.seed = seed
        self.replication = replication
        self.columns: dict[str, array[float]] = {name: array("d") for name in COLUMNS}
        self.people: list[Person] = []
        self.printers: list[str] = []
        self.places: list[str] = []
        self.crews: list[str] = []
        self.fabrics: list[str] = []
        self.products: list[str] = []
        self.leftover = Leftover()
        self.crew_calendars: list[Calendar] = []
        self.place_calendars: list[Calendar | None] = []
        self.place_seats: list[int | None] = []
        self.attended = Calendar([], [], [])

    def add_person(self, name: str, crew: int) -> None:
        """Give the next person index to a member of a crew."""
        self.people.append(Person(name, crew))

    def writer(self, name: str) -> Callable[..., None]:
        """A function that appends one row to a table, its cells in the order of `COLUMNS[name]`."""
        pack, append = self.row_format(name)

        def write(*cells: float) -> None:
            append(pack(*cells))

        return write

    def row_format(self, name: str) -> tuple[Callable[..., bytes], Callable[[bytes], None]]:
        """How to pack a row of a table, and how to append it: `writer` in two steps, for the table of most rows."""
        # A packed row costs a third of an array extended cell by cell, and a row of the wrong width is refused.
        return Struct(f"{len(COLUMNS[name])}d").pack, self.columns[name].frombytes

    def table(self, name: str) -> NDArray[np.float64]:
        """The named table as a matrix, one row a record, columns as in `COLUMNS[name]`."""
        return np.frombuffer(self.columns[name], dtype=np.float64).reshape(-1, len(COLUMNS[name]))

    def column(self, name: str, column: str) -> NDArray[np.float64]:
        """One column of one table."""
        return self.table(name)[:, COLUMNS[name].index(column)]

    def fingerprint(self) -> bytes:
        """All records as bytes: equal runs have equal fingerprints."""
        return b"".join(self.columns[name].tobytes() for name in COLUMNS)
