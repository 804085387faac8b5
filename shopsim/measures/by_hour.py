"""What happens when in the week: work waiting by hour, and what holds the shop back by weekday."""

from __future__ import annotations

import numpy as np
import pandas as pd

from shopsim.clock import MINUTES_PER_DAY
from shopsim.floor.record import KIND, RunLog
from shopsim.measures.active_periods import in_shop_time, shop_hours
from shopsim.measures.bottleneck import covering, momentary_constraints
from shopsim.measures.facts import PRINT_ROOM, Facts
from shopsim.measures.intervals import Bools, Floats, merged
from shopsim.measures.over_time import minutes_since
from shopsim.shop.scenario import Scenario

_HOURS = 168


def waiting_by_hour(log: RunLog, scenario: Scenario) -> pd.DataFrame:
    """Mean number `waiting` at each `place` in each `hour` of the week (0 is Monday 00:00), over the window's whole
    hours: bundles in line for their first minute of work, at the print room printable bundles not yet on a printer.

    Work that had not begun by the end of the run has left no record of its place, so queues of the last days may be
    longer than shown.
    """
    facts = Facts(log, scenario)
    edges = np.arange(np.ceil(facts.window.start_min / 60), np.floor(facts.window.end_min / 60) + 1) * 60
    hour = (edges[:-1] // 60).astype(np.int64) % _HOURS
    counts = np.maximum(np.bincount(hour, minlength=_HOURS), 1)
    place, ready, start = (facts.column("operations", name) for name in ("place", "ready", "start"))
    waits = waits_in_line(facts)
    parts = []
    for i, name in enumerate(log.places):
        mine = waits & (place == i)
        queue = (ready[mine], start[mine])
        if name == PRINT_ROOM:
            queue = (facts.column("prints", "ready"), facts.column("prints", "start"))
        area = np.diff(minutes_since(queue[0], edges) - minutes_since(queue[1], edges)) / 60
        mean = np.bincount(hour, area, minlength=_HOURS) / counts
        parts.append(pd.DataFrame({"place": name, "hour": np.arange(_HOURS), "waiting": mean}))
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame(columns=["place", "hour", "waiting"])


def waits_in_line(facts: Facts) -> Bools:
    """Rows of `operations` that are the first stretch of work on orders, by people of the shop."""
    first = (facts.column("operations", "part") == 0) & (facts.column("operations", "person") >= 0)
    on_orders = (facts.column("operations", "order") >= 0) | (facts.column("operations", "kind") == KIND["calender"])
    return np.asarray(first & on_orders)


def constraint_by_weekday(log: RunLog, scenario: Scenario) -> pd.DataFrame:
    """Share of each `weekday`'s shop time (0 is Monday) in which each resource `id` was the constraint of the moment:
    of the active periods that hold the shop back (`bottleneck`) the longest. Shares of a day add up to at most 1."""
    facts = Facts(log, scenario)
    shop = shop_hours(facts)
    active = {name: periods for name, (_, periods) in in_shop_time(facts).items()}
    first = np.floor(facts.window.start_min / MINUTES_PER_DAY)
    days = np.arange(first, np.ceil(facts.window.end_min / MINUTES_PER_DAY) + 1) * MINUTES_PER_DAY
    midnights = shop.before(days)
    weekday = (days[:-1] // MINUTES_PER_DAY).astype(np.int64) % 7
    open_min = np.bincount(weekday, np.diff(midnights), minlength=7)
    held = momentary_constraints(active, shop.total_min or float("nan")).periods
    names = list(dict.fromkeys(name for name, _, _ in held))
    of_each = [merged(*_ends([(a, b) for name, a, b in held if name == one])) for one in names]
    rows = []
    if names:
        cuts = np.unique(np.concatenate([midnights, *(edge for p in of_each for edge in (p.starts, p.ends))]))
        _, length = covering(of_each, cuts[:-1])
        owner, minutes = np.argmax(length, axis=0), np.diff(cuts)
        day = weekday[np.clip(np.searchsorted(midnights, cuts[:-1], side="right") - 1, 0, len(weekday) - 1)]
        for i, name in enumerate(names):
            mine = (owner == i) & (length.max(axis=0) > 0)
            total = np.bincount(day[mine], minutes[mine], minlength=7)
            rows += [(d, name, float(total[d] / open_min[d])) for d in range(7) if open_min[d] > 0]
    return pd.DataFrame(rows, columns=["weekday", "id", "share"])


def _ends(spans: list[tuple[float, float]]) -> tuple[Floats, Floats]:
    both = np.array(spans, dtype=np.float64).reshape(-1, 2)
    return both[:, 0], both[:, 1]
