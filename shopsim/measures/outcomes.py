"""What became of every single order, and the hours of printers and places week by week: what a shop's records tell too.

Numbers of a replication boil orders down to shares and means; whoever compares a run with what really happened needs
them one by one.
"""

from __future__ import annotations

import math

import numpy as np

from shopsim.clock import MINUTES_PER_WEEK
from shopsim.floor.record import KIND, STATE
from shopsim.measures.facts import PRINT_ROOM, Facts
from shopsim.measures.intervals import Floats
from shopsim.measures.over_time import minutes_since


def order_outcomes_from(facts: Facts) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """For each order in order of receipt the minute at which it was dispatched, and at which it left in any way.

    Infinity where that did not happen before the horizon.
    """
    order = np.argsort(facts.code("orders", "order"))
    gone = facts.left[order]
    withdrawn = (facts.cancelled | facts.turned_away)[order]
    return tuple(np.where(withdrawn, np.inf, gone).tolist()), tuple(gone.tolist())


def hours_by_week_from(facts: Facts) -> dict[str, tuple[float, ...]]:
    """Hours in each week from the first simulated on, by `printing.ID` and `down.ID` of printers (clock time) and
    `work.ID` of places (time at their seats, breaks left out; two people at one piece count once)."""
    log = facts.log
    weeks = math.ceil(log.horizon_min / MINUTES_PER_WEEK - 1e-9)
    edges: Floats = np.arange(weeks + 1, dtype=np.float64) * MINUTES_PER_WEEK
    printer, state = facts.code("printer_states", "printer"), facts.code("printer_states", "state")
    start, end = facts.column("printer_states", "start"), facts.column("printer_states", "end")
    hours: dict[str, tuple[float, ...]] = {}
    for i, name in enumerate(log.printers):
        for word, code in (("printing", STATE["printing"]), ("down", STATE["breakdown"])):
            mine = (printer == i) & (state == code)
            hours[f"{word}.{name}"] = _between(start[mine], end[mine], edges)
    row, begin, finish = facts.pieces
    place, by_hand = facts.seat_place[row], facts.code("operations", "kind")[row] != KIND["machine_repair"]
    for i, name in enumerate(log.places):
        if name != PRINT_ROOM and log.place_seats[i] is not None:
            mine = (place == i) & by_hand
            hours[f"work.{name}"] = _between(begin[mine], finish[mine], edges)
    return hours


def _between(starts: Floats, ends: Floats, edges: Floats) -> tuple[float, ...]:
    """Hours of all spans between one edge and the next."""
    passed = minutes_since(starts, edges) - minutes_since(ends, edges)
    return tuple((np.diff(passed) / 60).tolist())
