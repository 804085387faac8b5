"""More that is known exactly about one line: laws of work and waits, order of service, unequal servers, repair."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shopsim.floor.record import RunLog
from shopsim.published.case import Case, Finding
from shopsim.published.queues import queue
from shopsim.published.readings import (
    number_at,
    number_waiting,
    share_staying_over,
    share_waiting,
    share_waiting_over,
    share_with_inside,
)
from shopsim.published.simulated import SIMULATED, Measure, compared, load, waits

_ERLANG_WORK = (
    ("mean wait, h", 25 / 60, "wait_mean_h.desk"),
    ("mean time in the shop, h", 45 / 60, "lead_time_mean_h"),
    ("mean number of orders in the shop", 1.5, "work_in_process_orders"),
)

_SHORT_AND_LONG = (
    ("mean wait, h", 70 / 60, "wait_mean_h.desk"),
    ("mean time in the shop, h", 90 / 60, "lead_time_mean_h"),
    ("share that waits", 2 / 3, share_waiting),
)


def _mean_square_wait(log: RunLog) -> float:
    return float(np.mean(waits(log) ** 2))


_LAW_OF_WAITS = (
    ("share that waits", 2 / 3, share_waiting),
    ("share that waits for over half an order's work", 0.53479585830463682, share_waiting_over(2.5)),
    ("share that waits for over one order's work", 0.3507553196484414, share_waiting_over(5)),
    ("share that waits for over two orders' work", 0.1682738220066466, share_waiting_over(10)),
    ("mean of the squared wait, min2", 200 / 3, _mean_square_wait),
)

_TAILS = (
    ("share that waits for over 10 min", 0.26956918208027, share_waiting_over(10)),
    ("share that waits for over 30 min", 0.09916896, share_waiting_over(30)),
    ("share in the shop for over 40 min", 0.25563331, share_staying_over(40)),
)

_GEOMETRIC = {
    "products.job.bundle_pieces": 1,
    "demand.forecast.orders_per_week": 168.0,
    "demand.forecast.mix[0].pieces": {
        "discrete": {"values": list(range(1, 30)), "weights": [0.5**pieces for pieces in range(1, 30)]}
    },
}
_PIECES = (
    ("mean wait of a piece, h", 5 / 3, "wait_mean_h.desk"),
    ("mean number of pieces in the shop", 4, number_at(0)),
)

_UNEQUAL = (
    ("share of time empty", 0.402843601895735, share_with_inside(0)),
    ("share of time at work, the fast one", 0.470774091627172, "busy_share.fast"),
    ("share of time at work, the slow one", 0.391785150078989, "busy_share.slow"),
    ("share that waits", 0.265402843601896, share_waiting),
    ("mean wait, h", 6.369668246445499 / 60, "wait_mean_h.desk"),
    ("mean number of orders in the shop", 1.074881516587678, "work_in_process_orders"),
)


def _work_times_wait(log: RunLog) -> float:
    """Mean over orders of their minutes of work times those they waited."""
    counted = log.column("operations", "ready") >= log.warm_up_min
    wait = log.column("operations", "start") - log.column("operations", "ready")
    return float(np.mean((wait * log.column("operations", "worked_min"))[counted]))


_SIX = {"demand.hire_fleets[0].pieces": 6}
_TWENTY = {"demand.hire_fleets[0].pieces": 20, "work_centres.bench.seats": 3, "crews.technicians.count": 3}


def _by_rule(rule: str) -> dict[str, object]:
    return {"work_centres.desk.queue_rule": rule}


def _shortest_first(full: bool) -> Iterator[Finding]:
    shortest = (("mean wait, shortest work first, h", 23.59629796373806 / 60, "wait_mean_h.desk"),)
    yield from queue("m_m_1", shortest, (8, 0.25), (220, 0.03), _by_rule("shortest"))(full)
    if full:
        longest = (("mean wait, longest work first, h", 70.15299281060393 / 60, "wait_mean_h.desk"),)
        yield from compared(load("m_m_1", {**_by_rule("longest"), "study.weeks": 350}), longest, 0.04)


def _conservation(full: bool) -> Iterator[Finding]:
    weeks, width = (250, 0.05) if full else (8, 0.31)
    shortest = (("mean of work times wait, shortest work first, min2", 800, _work_times_wait),)
    yield from compared(load("m_m_1", {**_by_rule("shortest"), "study.weeks": weeks}), shortest, width)
    by_date = {**_by_rule("due_date"), "demand.forecast.lead_days": {"uniform": {"low": 0.0, "high": 0.25}}}
    due_date = (
        ("mean wait by due dates up to 6 h ahead, h", 40 / 60, "wait_mean_h.desk"),
        ("mean of work times wait by due dates, min2", 800, _work_times_wait),
    )
    yield from compared(load("m_m_1", {**by_date, "study.weeks": weeks}), due_date, width)


def _people_idle(people: int) -> Measure:
    return lambda log: 1 - (number_at(0)(log) - number_waiting(log)) / people


def _machines_served(full: bool) -> Iterator[Finding]:
    weeks, width = (900, 0.03) if full else (26, 0.25)
    six = (
        ("6 machines, 1 to serve them: share of time none is down", 0.484514903789, share_with_inside(0)),
        ("machines waiting", 0.329663940463, number_waiting),
        ("machine time lost in waiting", 0.0549439900771, lambda log: number_waiting(log) / 6),
        ("people's time without work", 0.484514903789, _people_idle(1)),
    )
    yield from compared(load("repair", {**_SIX, "study.weeks": weeks}), six, width)
    twenty = (
        ("20 machines, 3 to serve them: share of time none is down", 0.136249793871, share_with_inside(0)),
        ("machines waiting", 0.338854784277, number_waiting),
        ("machine time lost in waiting", 0.0169427392139, lambda log: number_waiting(log) / 20),
        ("people's time without work", 0.404207720757, _people_idle(3)),
    )
    yield from compared(load("repair", {**_TWENTY, "study.weeks": weeks}), twenty, width)


CASES = (
    Case(
        "X-01", "M/E4/1: the county hospital with steadier work",
        "Hillier & Lieberman, queueing chapter, Erlang service (from memory), derived: (1 + 1/4) / 2 of the wait of "
        "M/M/1",
        SIMULATED, queue("m_m_1", _ERLANG_WORK, (12, 0.2), (220, 0.03),
                         {"products.job.route[0].minutes": {"erlang": {"mean": 20.0, "k": 4}}}), seconds=1.2,
        path="floor",
    ),
    Case(
        "X-02", "M/H2/1: short and long work on one line",
        "Pollaczek (1930), Khinchine (1932), derived: E[S2] = 1400 min2",
        SIMULATED, queue("mixed_work", _SHORT_AND_LONG, (14, 0.3), (500, 0.03)), seconds=1.7, path="floor",
    ),
    Case(
        "X-03", "M/M/1 by length of work: shortest first and longest first",
        "T. E. Phipps, Operations Research 4 (1956) 76-85 (from memory), derived by integration: rho E[S] over the "
        "square of 1 - load that goes before",
        SIMULATED, _shortest_first, seconds=0.9, path="floor",
    ),
    Case(
        "X-04", "Order of service moves waits from one order to another, not the work that waits",
        "L. Kleinrock, Naval Research Logistics Quarterly 12 (1965) 181-192 (from memory), derived",
        SIMULATED, _conservation, seconds=1.6, path="floor",
    ),
    Case(
        "X-05", "M/D/1: how long waits are, not only on average",
        "A. K. Erlang (1909), law of the wait; L. Takács, Introduction to the Theory of Queues, 1962, its square (from "
        "memory), derived",
        SIMULATED, queue("m_d_1", _LAW_OF_WAITS, (3, 0.29), (90, 0.04)), seconds=1.2, path="floor",
    ),
    Case(
        "X-06", "M/M/3: long waits at the eye clinic",
        "Gross & Harris, Fundamentals of Queueing Theory, M/M/c, law of the wait (from memory), derived: Erlang C "
        "times exp(-(c mu - lambda) t)",
        SIMULATED, queue("m_m_3", _TAILS, (3.5, 0.3), (110, 0.03)), seconds=1.3, path="floor",
    ),
    Case(
        "X-11", "Machines that share the people who serve them",
        "W. Feller, An Introduction to Probability Theory I, section XVII.7, servicing of machines (from memory: "
        "losses of 0.0549 and 0.4845 with 6 machines, 0.01694 and 0.4042 with 20), recomputed",
        SIMULATED, _machines_served, seconds=1.5, path="floor",
    ),
    Case(
        "X-16", "Two unequal servers, the faster one asked first",
        "P. M. Morse, Queues, Inventories and Maintenance, 1958; V. P. Singh, Operations Research 18 (1970) 145-159 "
        "(from memory), derived from the equations of balance",
        SIMULATED, queue("fast_and_slow", _UNEQUAL, (12, 0.2), (250, 0.03)), seconds=1.2, path="floor",
    ),
    Case(
        "X-17", "Orders of a geometric number of pieces, worked on one by one",
        "Gross & Harris, Fundamentals of Queueing Theory, bulk input (from memory), derived: rho / (1 - rho) times the "
        "mean number of pieces",
        SIMULATED, queue("m_m_1", _PIECES, (14, 0.3), (300, 0.04), _GEOMETRIC), seconds=1, path="floor",
    ),
)  # fmt: skip
