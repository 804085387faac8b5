"""The parts of a floor that are there from the start, by name, and which of their attributes are its state.

All others follow from the scenario, or are worked out again when they are asked for.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from functools import cache
from typing import Any

from shopsim.floor.listed_station import ListedStation
from shopsim.floor.print_room import PrintRoom
from shopsim.floor.printer import PrinterProcess
from shopsim.floor.record import STATES
from shopsim.floor.rules import RankedQueue
from shopsim.floor.run import Floor
from shopsim.floor.snapshot.calls import AGENDA
from shopsim.floor.snapshot.kinds import (
    NUMBER,
    TEXT,
    TRUTH,
    WHOLE,
    Attributes,
    Book,
    Cell,
    Coded,
    Keyed,
    Kind,
    Mapping,
    Maybe,
    Several,
    Shelf,
    Thing,
    Together,
)
from shopsim.floor.snapshot.values import PERSON, PORTION, ROLL, ROOM_WAIT, STRETCH, TASK
from shopsim.floor.stations import Station


class Queue:
    """Tasks in line; they are put in line again, for their order follows from the rule."""

    def __init__(self) -> None:
        self.tasks = Several(TASK)

    def write(self, value: RankedQueue, book: Book) -> Cell:
        """The plain form."""
        return self.tasks.write(value.in_order(), book)

    def read(self, cell: Cell, shelf: Shelf) -> Any:
        """The tasks."""
        return self.tasks.read(cell, shelf)


def _itself(value: Any) -> Any:
    return value


_TASKS = Several(TASK, set, lambda task: task.number)
_VISITS = Several(Together(WHOLE, WHOLE, WHOLE), set, _itself)
_GROUP = Thing("groups")

STATE: dict[str, dict[str, Kind]] = {
    "Floor": {"lifts_free": WHOLE, "open_orders": Keyed(Thing("orders"), lambda order: order.number)},
    "Leftover": {"pieces_in": WHOLE, "pieces_done": WHOLE, "pieces_dropped": WHOLE},
    "Receipt": {"row": WHOLE},
    "FleetOut": {"row": WHOLE, "size": Together(NUMBER, NUMBER)},
    "OrderLimit": {
        "_taken": Several(WHOLE, set, _itself), "_held": Several(Together(WHOLE, NUMBER, WHOLE, Thing("orders"))),
        "_held_since": Mapping(WHOLE, NUMBER),
    },
    "Turns": {"_left": Several(Maybe(_VISITS)), "now": WHOLE},
    "Person": {"here": TRUTH, "busy": TRUTH, "idle": TRUTH, "pace": NUMBER, "kept": Several(TASK, deque)},
    "Crew": {
        "open_until": NUMBER, "overtime_until": NUMBER, "idle": Several(PERSON, deque),
        "absent_days": Several(Several(WHOLE, set, _itself)),
    },
    "Station": {
        "free_seats": Several(WHOLE), "families": Several(WHOLE), "singles": Queue(), "pairs": Queue(),
        "paused": Several(TASK, deque), "waiting": WHOLE, "queued_min": NUMBER, "_full_min": NUMBER,
        "_full_since": NUMBER,
    },
    "InterruptedStation": {"_at_work": Mapping(TASK, STRETCH), "_looks_again": TRUTH},
    "RoomStation": {"_inside": _TASKS, "outside": Queue(), "_waits": Mapping(TASK, ROOM_WAIT), "_kept": _TASKS},
    "Failures": {"until_next_min": NUMBER, "fails_at": NUMBER, "_worn_at_min": NUMBER, "life_min": NUMBER},
    "Flow": {"_bundles": WHOLE},
    "PrintRoom": {
        "groups": Keyed(_GROUP, lambda group: (group.fabric, group.mode, group.able)), "queued_m2": NUMBER,
        "_alarms": Several(NUMBER, set, _itself), "runs": WHOLE, "_serial": WHOLE,
    },
    "PrinterList": {"groups": Keyed(_GROUP, lambda group: (group.fabric, group.mode))},
    "Shelf": {"full": Mapping(WHOLE, WHOLE), "remnants": Several(ROLL), "on_order": WHOLE, "_next_lot": WHOLE},
    "PrinterProcess": {
        "agenda": AGENDA, "roll": Maybe(ROLL), "gang": Maybe(Thing("gangs")), "last_gang": Maybe(Thing("gangs")),
        "mode": TEXT, "plate_c": NUMBER, "speed": NUMBER, "hot": TRUTH, "lacks_cloth": TRUTH,
        "lacking": Mapping(WHOLE, NUMBER), "_shift_key": NUMBER, "_care_day": WHOLE, "_care_week": WHOLE,
        "_service_at": NUMBER, "_rounds": Maybe(TASK), "_idle_until": Maybe(NUMBER), "_called": TRUTH,
        "_looks_up_at": NUMBER, "_state": Coded(STATES), "_state_since": NUMBER,
    },
    "WebPath": {"wound_m": NUMBER, "_tail": Several(Together(NUMBER, PORTION)), "_wound": Several(PORTION)},
    # Widths are rounded: a speed is that of the first gang of nearly its width.
    "PrintRun": {"_speeds": Mapping(Together(TEXT, WHOLE, NUMBER), NUMBER)},
    "RollChanger": {"_heating": Maybe(NUMBER), "_hot_at": NUMBER},
    "RunningStops": {"_to_minor": NUMBER, "up_since": NUMBER},
    "NozzleCare": {"due": TRUTH, "slow": TRUTH, "speed_share": NUMBER, "_since_min": NUMBER, "_last_ran": NUMBER},
}  # fmt: skip


@cache
def state_of(made: type[Any]) -> Attributes:
    """The attributes of a class of parts that are state, those it inherits included."""
    kinds: dict[str, Kind] = {}
    for each in reversed(made.__mro__):
        kinds.update(STATE.get(each.__name__, {}))
    return Attributes(kinds)


def parts_of(floor: Floor) -> dict[str, Any]:
    """All parts by name. Whose turn it is on planners' lists comes first: what is in line hangs on it."""
    return dict(_parts(floor))


def _parts(floor: Floor) -> Iterator[tuple[str, Any]]:
    yield from _turns(floor)
    yield "floor", floor
    yield "pieces", floor.log.leftover
    yield "receipt", floor.receipt
    yield "intake", floor.intake
    if floor.intake.limit is not None:
        yield "order limit", floor.intake.limit
    yield "dispatch", floor.dispatch
    yield "flow", floor.flow
    for i, fleet in enumerate(floor.fleets):
        yield f"fleet {i}", fleet
    for crew, hours in zip(floor.crews, floor.hours, strict=True):
        name = crew.model.id
        yield f"crew {name}", crew
        yield f"hours {name}", hours
        if crew.index in floor.overtime:
            yield f"overtime {name}", floor.overtime[crew.index]
        for i, person in enumerate(crew.members):
            yield f"person {name} {i}", person
    for name, station in floor.stations.items():
        yield from _at_station(f"place {name}", station)
    yield from _at_station("hands", floor.hands)
    if floor.print_room is not None:
        yield from _in_print_room(floor.print_room)


def _turns(floor: Floor) -> Iterator[tuple[str, Any]]:
    for name, station in floor.stations.items():
        if isinstance(station, ListedStation):
            yield f"list {name}", station.turns
    if floor.print_room is not None:
        for i, listed in floor.print_room.lists.items():
            yield f"list {floor.print_room.printers[i].model.id}", listed.turns


def _at_station(name: str, station: Station) -> Iterator[tuple[str, Any]]:
    yield name, station
    if station.repairs is not None:
        yield f"{name}: repairs", station.repairs
        for seat, failures in enumerate(station.repairs.stops):
            yield f"{name}: machine {seat}", failures


def _in_print_room(room: PrintRoom) -> Iterator[tuple[str, Any]]:
    yield "print room", room
    for shelf in room.shelves:
        yield f"shelf {shelf.model.id}", shelf
    for name, line in room.calenders.items():
        yield f"calender {name}", line
    for printer in room.printers:
        yield from _of_printer(f"printer {printer.model.id}", printer)
        if printer.index in room.lists:
            yield f"printer {printer.model.id}: jobs on its list", room.lists[printer.index]


def _of_printer(name: str, printer: PrinterProcess) -> Iterator[tuple[str, Any]]:
    yield name, printer
    yield f"{name}: web path", printer.path
    yield f"{name}: rolls", printer.rolls
    yield f"{name}: stops", printer.stops
    if printer.stops.failures is not None:
        yield f"{name}: machine", printer.stops.failures
    yield f"{name}: nozzles", printer.nozzles
    yield f"{name}: first articles", printer.articles
    yield f"{name}: runs", printer.printing
