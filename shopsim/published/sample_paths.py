"""Laws of single runs: Little's identity, Lindley's recursion, busy periods, what an order finds when it comes."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

import numpy as np

from shopsim.floor.record import INSIDE, RunLog
from shopsim.floor.run import simulate
from shopsim.measures.audit import work_in_process_area
from shopsim.measures.intervals import Floats, Ints, merged
from shopsim.measures.kpis import measures_of
from shopsim.published.case import Case, Finding
from shopsim.published.queues import queue
from shopsim.published.readings import inside_at, share_with_inside, window_of
from shopsim.published.simulated import SIMULATED, Measure, load
from shopsim.shop.order_book import OrderLine

# Twelve orders: when they come, h. How long each stays stands in the system's file.
_CAME_H = (0.5, 1.0, 2.5, 3.0, 5.25, 6.0, 7.5, 9.0, 9.75, 14.0, 18.0, 19.5)
_EXACT = 1e-9


def _twelve_orders(hours: float) -> tuple[dict[str, float], RunLog]:
    """The shop's own measures of the twelve orders over the first hours, and the records."""
    scenario = load("twelve_orders", {"study.weeks": hours / 168})
    start = datetime.datetime.combine(scenario.shop.starts, datetime.time())
    lines = [
        OrderLine(order_id=product.id, received=moment, due=moment.date(), product=product.id, pieces=1)
        for product, came in zip(scenario.products, _CAME_H, strict=True)
        for moment in (start + datetime.timedelta(hours=came),)
    ]
    log = simulate(scenario, lines)
    return measures_of(log, scenario), log


def _area_h(log: RunLog) -> float:
    """Order-hours under the number inside, followed from event to event."""
    received, ended = log.column("orders", "received"), log.column("orders", "ended")
    return work_in_process_area(received, ended, window_of(log)) / 60


def _little(_full: bool) -> Iterator[Finding]:
    day, log = _twelve_orders(24)
    rate_per_h = day["orders_received_per_week"] / 168
    inside = day["work_in_process_orders"]
    yield Finding("24 h: orders", 12, float(len(log.table("orders"))))
    yield Finding("24 h: orders an hour", 0.5, rate_per_h, 1e-12)
    yield Finding("24 h: mean time in the shop, h", 4.16666666667, day["lead_time_mean_h"], _EXACT)
    yield Finding("24 h: mean number inside", 2.08333333333, inside, _EXACT)
    yield Finding("24 h: mean number inside, from event to event", 2.08333333333, _area_h(log) / 24, _EXACT)
    yield Finding(
        "24 h: mean number less rate times mean time", 0, inside - rate_per_h * day["lead_time_mean_h"], _EXACT
    )
    part, log = _twelve_orders(10)
    yield Finding("10 h: mean number inside, some still there", 2.7, part["work_in_process_orders"], _EXACT)
    yield Finding("10 h: mean number inside, from event to event", 2.7, _area_h(log) / 10, _EXACT)
    yield Finding("10 h: orders inside at the end", 4, float(np.sum(log.column("orders", "ending") == INSIDE)))
    naive = part["orders_received_per_week"] / 168 * part["lead_time_mean_h"]
    yield Finding("10 h: rate times mean time of those gone, which is not it", 3.465, naive, _EXACT)


def _off_lindley(log: RunLog) -> float:
    """Largest difference of waits, in order of arrival, from W' = max(0, W + S - A): a sum less its least so far."""
    order = np.argsort(log.column("operations", "ready"), kind="stable")
    ready, start, end = (log.column("operations", name)[order] for name in ("ready", "start", "end"))
    steps = (end - start)[:-1] - np.diff(ready)
    walk = np.concatenate(([0.0], np.cumsum(steps)))
    return float(np.max(np.abs(walk - np.minimum.accumulate(walk) - (start - ready))))


def _lindley(full: bool) -> Iterator[Finding]:
    for system in ("m_ln_1", "m_u_1"):
        log = simulate(load(system, {"study.weeks": 50 if full else 2}))
        yield Finding(f"{system}: largest difference, min", 0, _off_lindley(log), 1e-6)


def _busy_periods(log: RunLog) -> tuple[Floats, Ints]:
    """Minutes and orders of each period with orders in the shop that lies whole within the window."""
    received = np.sort(log.column("orders", "received"))
    periods = merged(received, np.sort(log.column("orders", "ended")))
    whole = (periods.starts >= log.warm_up_min) & np.isfinite(periods.ends)
    starts, ends = periods.starts[whole], periods.ends[whole]
    return ends - starts, np.searchsorted(received, ends) - np.searchsorted(received, starts)


def _busy_min(log: RunLog) -> float:
    return float(np.mean(_busy_periods(log)[0]))


def _orders_served(log: RunLog) -> float:
    return float(np.mean(_busy_periods(log)[1]))


def _share_serving(orders: int) -> Measure:
    return lambda log: float(np.mean(_busy_periods(log)[1] == orders))


_BUSY_COUNTY_HOSPITAL = (
    ("mean busy period, min", 60, _busy_min),
    ("mean orders served in it", 3, _orders_served),
    ("share of those with one order", 0.6, _share_serving(1)),
    ("share of those with two orders", 0.144, _share_serving(2)),
)

_BUSY_COMPACTOR = (
    ("mean orders served in a busy period", 3, _orders_served),
    ("share of those with one order", 0.513417119032592, _share_serving(1)),
    ("share of those with two orders", 0.175731425410484, _share_serving(2)),
    ("share of those with three orders", 0.090223522157742, _share_serving(3)),
)


def _finding_inside(number: int) -> Measure:
    """Share of orders that find exactly so many in the shop."""

    def share(log: RunLog) -> float:
        received = log.column("orders", "received")
        return float(np.mean(inside_at(log, received[received >= log.warm_up_min]) == number))

    return share


_SEEN = (
    ("share of orders that find nobody", 1 / 3, _finding_inside(0)),
    ("share of time with nobody", 1 / 3, share_with_inside(0)),
    ("share of orders that find two", 4 / 27, _finding_inside(2)),
    ("share of time with two", 4 / 27, share_with_inside(2)),
)

CASES = (
    Case(
        "A-21", "Little's law on a given log, whole and cut off",
        "J. D. C. Little, Operations Research 9 (1961) 383-387; S. Stidham, Operations Research 22 (1974) 417-421; "
        "derived log, replayed as orders that stay for given times",
        "exact but for rounding", _little, path="floor",
    ),
    Case(
        "X-07", "M/M/1: busy periods of the county hospital",
        "L. Kleinrock, Queueing Systems I, 1975, sections 5.8-5.9 (from memory), derived: 1 / (mu - lambda), "
        "1 / (1 - rho), Catalan numbers",
        SIMULATED, queue("m_m_1", _BUSY_COUNTY_HOSPITAL, (9, 0.23), (120, 0.03)), seconds=1.1, path="floor",
    ),
    Case(
        "X-08", "M/D/1: orders served without a pause",
        "É. Borel, Comptes Rendus 214 (1942) 452-456 (from memory), derived: exp(-rho n) (rho n)^(n - 1) / n!",
        SIMULATED, queue("m_d_1", _BUSY_COMPACTOR, (4, 0.2), (50, 0.03)), seconds=1.7, path="floor",
    ),
    Case(
        "X-18", "Orders at random see what the clock sees",
        "R. W. Wolff, Operations Research 30 (1982) 223-231 (from memory), derived for M/M/1 with rho 2/3; orders at "
        "equal gaps do not: A-22",
        SIMULATED, queue("m_m_1", _SEEN, (9, 0.23), (120, 0.03)), seconds=0.9, path="floor",
    ),
    Case(
        "X-19", "Each wait follows from the one before",
        "D. V. Lindley, Proceedings of the Cambridge Philosophical Society 48 (1952) 277-289 (from memory)",
        "exact but for rounding", _lindley, seconds=0.2, path="floor",
    ),
)  # fmt: skip
