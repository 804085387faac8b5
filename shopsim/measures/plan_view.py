"""The floor as a plan, moment by moment: which work waits or is worked at where, and who is busy."""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

import numpy as np
import pandas as pd

from shopsim.floor.record import KIND, RunLog
from shopsim.measures.by_hour import waits_in_line
from shopsim.measures.facts import PRINT_ROOM, Facts
from shopsim.measures.intervals import Bools, Floats, Ints
from shopsim.measures.spans import ABSENT, BREAK, IDLE, OFF_SHIFT, person_spans_of, work_of_people
from shopsim.shop.scenario import Scenario


class PlanView(NamedTuple):
    """Tables of the plan view.

    `places`: place, kind (printer or place), stage (0 is where work comes in), seats. `moments`: time_min, place, and
    the bundles waiting and in_work there. `people`: time_min, crew, person, doing (work, idle, break, absent, off),
    place (where at work; empty otherwise, and for side work).
    """

    places: pd.DataFrame
    moments: pd.DataFrame
    people: pd.DataFrame


def plan_view(log: RunLog, scenario: Scenario, start_min: float, end_min: float, every_min: float = 10) -> PlanView:
    """The plan at start_min, every so many minutes, before end_min.

    Bundles in line for a printer wait at the print room. A bundle put down half done waits where it lies. Work that had
    not begun by the end of the run has left no record of its place and is not seen.
    """
    facts = Facts(log, scenario)
    times = np.arange(start_min, end_min, every_min)
    places = places_by_stage(scenario)
    return PlanView(places, _moments(facts, times, places["place"].tolist()), _people(facts, times))


def places_by_stage(scenario: Scenario) -> pd.DataFrame:
    """Every place of the floor with its stage: as many steps down the routes as the longest way to it."""
    routes = _routes(scenario)
    stage = dict.fromkeys([place for route in routes for place in route], 0)
    # Routes may cross (cut before sewing here, after it there): then the rounds end this, and the order is a choice.
    for _ in stage:
        for route in routes:
            for before, after in pairwise(route):
                if before != after and stage[after] <= stage[before] < len(stage):
                    stage[after] = stage[before] + 1
    levels = {level: i for i, level in enumerate(sorted(set(stage.values())))}
    seats = {centre.id: centre.seats for centre in scenario.work_centres}
    seats |= {drum.id: drum.count for drum in scenario.calenders}
    printers = {printer.id for printer in scenario.printers}
    rows = [
        (place, "printer" if place in printers else "place", levels[level], seats.get(place, 1))
        for place, level in stage.items()
    ]
    frame = pd.DataFrame(rows, columns=["place", "kind", "stage", "seats"])
    return frame.sort_values("stage", kind="stable").reset_index(drop=True)


def _routes(scenario: Scenario) -> list[list[str]]:
    """The places of each product in the order of its route, once for each printer; the order check ends it."""
    artwork = scenario.demand.artwork
    head = [artwork.check_at] if artwork is not None and artwork.check_at is not None else []
    drums = [drum.id for drum in scenario.calenders]
    routes = []
    for product in scenario.products:
        steps = [getattr(op, "at", None) for op in product.route]
        after = [step for step in steps if step is not None]
        if any(op.op == "print" for op in product.route):
            for printer in scenario.printers:
                offline = drums if printer.fixation.kind == "offline" else []
                routes += [[*head, PRINT_ROOM, printer.id, *drum, *after] for drum in ([[d] for d in offline] or [[]])]
        else:
            routes.append([*head, *after])
    return routes


def _moments(facts: Facts, times: Floats, places: list[str]) -> pd.DataFrame:
    parts = []
    for place in places:
        waiting, working = _at_place(facts, times, place)
        parts.append(pd.DataFrame({"time_min": times, "place": place, "waiting": waiting, "in_work": working}))
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame(
        columns=["time_min", "place", "waiting", "in_work"]
    )  # fmt: skip


def _at_place(facts: Facts, times: Floats, place: str) -> tuple[Ints, Ints]:
    if place in facts.log.printers:
        mine = facts.column("prints", "printer") == facts.log.printers.index(place)
        start, end = (facts.column("prints", name)[mine] for name in ("start", "end"))
        return np.zeros(len(times), dtype=np.int64), _inside(start, end, times)
    if place == PRINT_ROOM:
        ready, start = (facts.column("prints", name) for name in ("ready", "start"))
        return _inside(ready, start, times), np.zeros(len(times), dtype=np.int64)
    row, begin, finish = facts.pieces
    here = _on_orders(facts) & (facts.column("operations", "place") == facts.log.places.index(place))
    working = _inside(begin[here[row]], finish[here[row]], times)
    first = here & waits_in_line(facts)
    line = _inside(facts.column("operations", "ready")[first], facts.column("operations", "start")[first], times)
    begun = _inside(facts.column("operations", "start")[first], _gone(facts)[first], times)
    return line + np.maximum(begun - working, 0), working


def _on_orders(facts: Facts) -> Bools:
    on_orders = (facts.column("operations", "order") >= 0) | (facts.column("operations", "kind") == KIND["calender"])
    return np.asarray(on_orders & (facts.column("operations", "person") >= 0))


def _gone(facts: Facts) -> Floats:
    """When the task of each first stretch is over: its last minute, or that its order was cancelled."""
    task, end = facts.code("operations", "task"), facts.column("operations", "end")
    last = facts.column("operations", "last") > 0
    over = np.full(int(task.max(initial=0)) + 1, np.inf)
    over[task[last]] = end[last]
    gone = np.where(facts.cancelled, facts.column("orders", "ended"), np.inf)
    by_order = np.full(int(facts.code("orders", "order").max(initial=0)) + 2, np.inf)
    by_order[facts.code("orders", "order")] = gone
    return np.asarray(np.minimum(over[task], by_order[facts.code("operations", "order")]))


def _inside(starts: Floats, ends: Floats, times: Floats) -> Ints:
    """How many of the spans [start, end) hold each time."""
    return np.searchsorted(np.sort(starts), times, side="right") - np.searchsorted(np.sort(ends), times, side="right")


_DOING = {IDLE: "idle", BREAK: "break", OFF_SHIFT: "off", ABSENT: "absent"}


def _people(facts: Facts, times: Floats) -> pd.DataFrame:
    spans = person_spans_of(facts)
    who, row, start, end = work_of_people(facts)
    place = np.where(facts.seat_place >= 0, facts.seat_place, facts.code("operations", "place"))[row]
    parts = []
    for i, person in enumerate(facts.log.people):
        mine = np.flatnonzero(spans.person == i)
        at = mine[np.clip(np.searchsorted(spans.start[mine], times, side="right") - 1, 0, None)]
        doing = [_DOING.get(state, "work") for state in spans.state[at].tolist()]
        own = np.flatnonzero(who == i)
        where = _place_at(times, start[own], end[own], place[own])
        parts.append(pd.DataFrame({
            "time_min": times, "crew": facts.log.crews[person.crew], "person": person.name, "doing": doing,
            "place": [facts.log.places[j] if j >= 0 else "" for j in where],
        }))  # fmt: skip
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame(
        columns=["time_min", "crew", "person", "doing", "place"]
    )  # fmt: skip


def _place_at(times: Floats, start: Floats, end: Floats, place: Ints) -> list[int]:
    """The place of the piece of work that holds each time, -1 where none does; pieces follow one another."""
    last = np.searchsorted(start, times, side="right") - 1
    inside = (last >= 0) & (times < np.append(end, -np.inf)[last])
    found: list[int] = np.where(inside, np.append(place, -1)[last], -1).tolist()
    return found
