"""One week cut into cells of equal length: what each printer, place and person did in most of each cell."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from shopsim.clock import MINUTES_PER_DAY, MINUTES_PER_WEEK
from shopsim.floor.record import STATES, RunLog
from shopsim.measures.intervals import Floats, Ints, of_calendar
from shopsim.measures.spans import BUSY, PERSON_STATES, person_spans, seat_spans
from shopsim.shop.scenario import Scenario

PRINTER_SIGNS = {
    "off": " ", "warming": "w", "waiting_job": ".", "waiting_material": "m", "waiting_operator": "o", "printing": "P",
    "tail": "t", "roll_change": "R", "join": "J", "take_up_change": "U", "set_point": "h", "mode_change": "v",
    "nozzle_check": "N", "cleaning": "C", "first_article": "F", "minor_stop": "s", "breakdown": "X", "service": "S",
    "care": "K",
}  # fmt: skip
PERSON_SIGNS = {
    "artwork": "A", "print": "P", "calender": "D", "cut": "c", "sew": "s", "eyelets": "e", "iron": "i", "rods": "d",
    "frame_fit": "f", "inspect": "q", "pack": "p", "work": "w", "repair": "r", "order_check": "k", "rest": "z",
    "bought_in": "b", "roll_change": "R", "join": "J", "take_up_change": "U", "nozzle_check": "N", "cleaning": "C",
    "first_article": "F", "minor_stop": "m", "care": "K", "attention": "a", "machine_repair": "X", "head_service": "H",
    "side_work": "t", "idle": ".", "break": "-", "off_shift": " ", "absent": "x",
}  # fmt: skip
SEAT_IDLE, SEAT_CLOSED, SEAT_MANY = ".", " ", "+"
_NO_WAIT = {ord(PRINTER_SIGNS[name]): " " for name in ("waiting_job", "waiting_material", "waiting_operator")}


@dataclass(frozen=True, slots=True)
class Row:
    """One line of signs, a sign a cell from 00:00 of the week's Monday on."""

    label: str
    signs: str


@dataclass(frozen=True, slots=True)
class Week:
    """Rows of one week, and the first and last hour of the day in which anything happens."""

    start_min: float
    cell_min: int
    printers: tuple[Row, ...]
    places: tuple[Row, ...]
    people: tuple[Row, ...]

    def hours(self) -> tuple[int, int]:
        """The hours of the day, from and to, outside which no day shows anything; (0, 0) for an empty week."""
        per_day = MINUTES_PER_DAY // self.cell_min
        # A printer left waiting overnight would stretch every day to 24 hours and show nothing.
        signs = [row.signs.translate(_NO_WAIT) for row in self.printers]
        signs += [row.signs for row in (*self.places, *self.people)]
        used = [i % per_day for row in signs for i, sign in enumerate(row) if sign != " "]
        if not used:
            return 0, 0
        return min(used) * self.cell_min // 60, math.ceil((max(used) + 1) * self.cell_min / 60)


def week_rows(log: RunLog, scenario: Scenario, start_min: float, cell_min: int) -> Week:
    """The week that begins at `start_min`. A cell shows the state that fills most of it, of equals the first listed."""
    edges = start_min + np.arange(0, MINUTES_PER_WEEK + cell_min, cell_min, dtype=float)
    places, people = _places(log, scenario, edges), _people(log, scenario, edges)
    return Week(start_min, cell_min, _printers(log, edges), places, people)


def _printers(log: RunLog, edges: Floats) -> tuple[Row, ...]:
    printer, state, start, end = (log.column("printer_states", name) for name in ("printer", "state", "start", "end"))
    signs = [PRINTER_SIGNS[name] for name in STATES]
    rows = []
    for i, name in enumerate(log.printers):
        mine = printer == i
        minutes = _minutes(edges, state[mine].astype(np.int64), start[mine], end[mine], len(STATES))
        rows.append(Row(name, _most(minutes, signs)))
    return tuple(rows)


def _people(log: RunLog, scenario: Scenario, edges: Floats) -> tuple[Row, ...]:
    spans = person_spans(log, scenario)
    signs = [PERSON_SIGNS[name] for name in PERSON_STATES]
    rows = []
    for i, person in enumerate(log.people):
        mine = spans.person == i
        minutes = _minutes(edges, spans.state[mine], spans.start[mine], spans.end[mine], len(PERSON_STATES))
        rows.append(Row(person.name, _most(minutes, signs)))
    return tuple(rows)


def _places(log: RunLog, scenario: Scenario, edges: Floats) -> tuple[Row, ...]:
    """Seats at work on average over the cell, rounded, at least 1 where any is; open is by the able crews' hours."""
    spans = seat_spans(log, scenario)
    cell_min = edges[1] - edges[0]
    rows = []
    for i, (name, seats, calendar) in enumerate(zip(log.places, log.place_seats, log.place_calendars, strict=True)):
        if seats is None:
            continue
        busy = (spans.place == i) & (spans.state == BUSY)
        minutes = _minutes(edges, np.zeros(int(busy.sum()), dtype=np.int64), spans.start[busy], spans.end[busy], 1)
        is_open = of_calendar(calendar).minutes(edges[:-1], edges[1:]) >= cell_min / 2
        signs = [
            _count(level) if level > 0 else SEAT_IDLE if there else SEAT_CLOSED
            for level, there in zip((minutes[:, 0] / cell_min).tolist(), is_open.tolist(), strict=True)
        ]
        rows.append(Row(f"{name}, {seats}", "".join(signs)))
    return tuple(rows)


def _count(level: float) -> str:
    seats = max(1, math.floor(level + 0.5))
    return str(seats) if seats < 10 else SEAT_MANY


def _minutes(edges: Floats, states: Ints, starts: Floats, ends: Floats, kinds: int) -> Floats:
    """Minutes of each state (column) in each cell (row)."""
    inside = (ends > edges[0]) & (starts < edges[-1])
    states, starts, ends = states[inside], starts[inside], ends[inside]
    total = np.zeros((len(edges) - 1, kinds))
    for state, start, end in zip(states.tolist(), starts.tolist(), ends.tolist(), strict=True):
        first = max(0, int(np.searchsorted(edges, start, side="right")) - 1)
        last = min(len(edges) - 1, int(np.searchsorted(edges, end, side="left")))
        share = np.minimum(edges[first + 1 : last + 1], end) - np.maximum(edges[first:last], start)
        total[first:last, state] += share
    return total


def _most(minutes: Floats, signs: list[str]) -> str:
    return "".join(signs[i] for i in np.argmax(minutes, axis=1).tolist())
