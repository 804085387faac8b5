"""A stretch of a run as bars, one a span: what each printer did, each seat, each person."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd

from shopsim.clock import MINUTES_PER_DAY
from shopsim.floor.record import KINDS, STATES, RunLog
from shopsim.measures.facts import Facts
from shopsim.measures.intervals import Floats, summed
from shopsim.measures.spans import (
    ABSENT,
    BLOCKED,
    BREAK,
    IDLE,
    PERSON_STATES,
    SEAT_STATES,
    SET_ASIDE,
    person_spans_of,
    seat_spans_of,
    work_of_people,
)
from shopsim.shop.scenario import Scenario

COLUMNS = ["kind", "row", "state", "start_min", "end_min", "order"]


def day_bars(log: RunLog, scenario: Scenario, start_min: float, end_min: float) -> pd.DataFrame:
    """Spans that lie in [start_min, end_min), cut to it: `kind` (printer, place, person), `row` (the printer, the seat,
    the person), `state` (a state, or the kind of work), start_min, end_min, `order` (NaN where it is for none).

    Off and closed time is left out, and so are free seats.
    """
    facts = Facts(log, scenario)
    parts = [_printers(facts), *_seats(facts), *_people(facts)]
    frame = pd.concat([part for part in parts if len(part)] or [pd.DataFrame(columns=COLUMNS)], ignore_index=True)
    frame = frame[(frame["end_min"] > start_min) & (frame["start_min"] < end_min)].reset_index(drop=True)
    frame["start_min"] = frame["start_min"].clip(lower=start_min)
    frame["end_min"] = frame["end_min"].clip(upper=end_min)
    return frame


def worked_by_day(log: RunLog, scenario: Scenario) -> Floats:
    """Minutes worked on each day since the start Monday, counted from the end of the warm-up on; two people at one task
    count once, a piece of work counts for the day on which it begins."""
    facts = Facts(log, scenario)
    _, start, _ = facts.pieces
    days = math.ceil(log.horizon_min / MINUTES_PER_DAY)
    return summed((start // MINUTES_PER_DAY).astype(np.int64), facts.worked, days)


def _printers(facts: Facts) -> pd.DataFrame:
    state = facts.code("printer_states", "state")
    on = state != STATES.index("off")
    printer = facts.code("printer_states", "printer")[on]
    start, end = (facts.column("printer_states", name)[on] for name in ("start", "end"))
    rows = [facts.log.printers[i] for i in printer]
    return _frame("printer", rows, [STATES[i] for i in state[on]], start, end, np.full(len(rows), -1.0))


def _seats(facts: Facts) -> list[pd.DataFrame]:
    row, start, end = facts.pieces
    place, seat = facts.seat_place[row], facts.code("operations", "seat")[row]
    kind, order = facts.code("operations", "kind")[row], facts.column("operations", "order")[row]
    seated = np.flatnonzero(place >= 0)
    at = seated[np.lexsort((start[seated], seat[seated], place[seated]))]
    names = [_seat_name(facts, p, s) for p, s in zip(place[at].tolist(), seat[at].tolist(), strict=True)]
    work = _frame("place", names, [KINDS[i] for i in kind[at]], start[at], end[at], order[at])
    spans = seat_spans_of(facts)
    kept = np.isin(spans.state, (SET_ASIDE, BLOCKED))
    names = [
        _seat_name(facts, p, s) for p, s in zip(spans.place[kept].tolist(), spans.seat[kept].tolist(), strict=True)
    ]
    states = [SEAT_STATES[i] for i in spans.state[kept]]
    return [work, _frame("place", names, states, spans.start[kept], spans.end[kept], np.full(len(names), -1.0))]


def _seat_name(facts: Facts, place: int, seat: int) -> str:
    seats = facts.log.place_seats[place] or 0
    return f"{facts.log.places[place]} {seat + 1}" if seats > 1 else facts.log.places[place]


def _people(facts: Facts) -> list[pd.DataFrame]:
    names = [person.name for person in facts.log.people]
    who, row, start, end = work_of_people(facts)
    kind, order = facts.code("operations", "kind")[row], facts.column("operations", "order")[row]
    work = _frame("person", [names[i] for i in who], [KINDS[i] for i in kind], start, end, order)
    spans = person_spans_of(facts)
    kept = np.isin(spans.state, (IDLE, BREAK, ABSENT))
    states = [PERSON_STATES[i] for i in spans.state[kept]]
    rest = _frame("person", [names[i] for i in spans.person[kept]], states, spans.start[kept], spans.end[kept],
                  np.full(int(kept.sum()), -1.0))  # fmt: skip
    return [work, rest]


def _frame(kind: str, rows: list[str], states: list[str], start: Floats, end: Floats, order: Floats) -> pd.DataFrame:
    return pd.DataFrame({
        "kind": kind, "row": rows, "state": states, "start_min": start, "end_min": end,
        "order": np.where(order >= 0, order, np.nan),
    })  # fmt: skip
