"""Unequal work in classes of urgency, constant repairs, and lines of unequal places: exact laws of the books."""

from __future__ import annotations

from collections.abc import Iterator

from shopsim.clock import MINUTES_PER_WEEK
from shopsim.published.case import Case, Finding
from shopsim.published.limits import line_of, steady
from shopsim.published.machines import mean_completion, mean_wait, scv_completion
from shopsim.published.simulated import SIMULATED, all_at_once, load, mean_of, measured
from shopsim.published.urgency import classes

_HOURS = MINUTES_PER_WEEK / 60
# Orders a week of 18, 27 and 45 in 50 h; work of 10 min, of 15 (exponential) and of 25 (gamma, half as scattered).
_UNEQUAL = {
    "demand.forecast.orders_per_week": 302.4,
    "demand.forecast.mix[0].share_pct": 20, "demand.forecast.mix[1].share_pct": 30,
    "demand.forecast.mix[2].share_pct": 50,
    "products.urgent.route[0].minutes": 10.0,
    "products.normal.route[0].minutes": {"exponential": {"mean": 15.0}},
    "products.stock.route[0].minutes": {"gamma": {"mean": 25.0, "cv": 0.5}},
}  # fmt: skip


def _unequal_classes(full: bool) -> Iterator[Finding]:
    weeks = {"study.weeks": 200 if full else 7}
    waiting, interrupting = (0.05, 0.06) if full else (0.24, 0.36)
    in_line = (8.706781914894 / 60, 10.815878155147 / 60, 23.644012711252 / 60)
    yield from classes("waiting in line", weeks | _UNEQUAL, in_line, waiting)
    delays = (0.319148936170 / 60, 4.029998678472 / 60, 29.699913332370 / 60)
    stopped = weeks | _UNEQUAL | {"work_centres.desk.interrupted_by": "more_urgent"}
    # An urgent order waits for another urgent one only: three in a hundred do.
    yield from classes("interrupting", stopped, delays, interrupting, (2, 1, 1))


def _constant_repairs(full: bool) -> Iterator[Finding]:
    repairs = "work_centres.desk.stops.repairs[0].hours"
    sets = {"products.job.route[0].minutes": 10.0, repairs: 0.75, "study.weeks": 250 if full else 14}
    mean, scv, wait = measured(load("stops", sets), (mean_completion, scv_completion, mean_wait))
    yield mean_of("mean minutes from start to end", 12.5, mean, 0.01 if full else 0.045)
    yield mean_of("their SCV", 0.72, scv, 0.03 if full else 0.12)
    yield mean_of("mean wait, min", 17.9166666667, wait, 0.04 if full else 0.2)


_CONSTANT = {
    # Minutes at each place, and the mean wait before each.
    (10.0, 18.0, 14.0): (2.5, 11.0, 0.0),
    (18.0, 14.0, 10.0): (13.5, 0.0, 0.0),
    (14.0, 10.0, 18.0): (6.125, 0.0, 7.375),
}


def _constant_line(full: bool) -> Iterator[Finding]:
    for minutes, waits_min in list(_CONSTANT.items())[0 if full else 1 :]:
        sets = {f"products.job.route[{i}].minutes": each for i, each in enumerate(minutes)}
        scenario = load("tandem", {**sets, "study.weeks": 120 if full else 4})
        places = ("first", "second", "third")
        found = measured(scenario, [f"wait_mean_h.{place}" for place in places])
        told = " - ".join(f"{each:g}" for each in minutes)
        for place, wait_min, hours in zip(places, waits_min, found, strict=True):
            in_min = [60 * each for each in hours]
            name = f"work of {told} min: mean wait at the {place}, min"
            if wait_min:
                yield mean_of(name, wait_min, in_min, 0.05 if full else 0.3)
            else:
                yield Finding(name, 0, max(in_min), 1e-9)
        all_h = [sum(each) * 60 for each in zip(*found, strict=True)]
        yield mean_of(f"work of {told} min: mean wait in all, min", 13.5, all_h, 0.05 if full else 0.3)


# Orders on the line at once, orders an hour, hours of an order on it: places of 1, 2, 1.5 and 0.5 h.
_CLOSED = ((1, 0.2, 5.0), (3, 0.371428571429, 8.07692307692), (6, 0.455651663979, 13.1679536679))


def _closed_line(full: bool) -> Iterator[Finding]:
    means = (("s1", 60), ("s2", 120), ("s3", 90), ("s4", 30))
    route = [{"op": "work", "at": at, "minutes": {"exponential": {"mean": mean}}} for at, mean in means]
    for most, per_h, stay_h in _CLOSED if full else _CLOSED[1:]:
        line = line_of("penny_fab_1", most, products__penny__route=route, study__weeks=85 if full else 10)
        runs = [steady(line, replication=k)[:2] for k in range(10)]
        width = 0.015 if full else 0.065
        yield mean_of(f"{most} on the line, orders/h", per_h, [run[0] for run in runs], width)
        yield mean_of(f"{most} on the line, hours there", stay_h, [run[1] for run in runs], width)


# Mean minutes of the two places, room between them, orders an hour.
_UNEQUAL_PAIRS = (
    (60, 40, 0, 0.789473684211), (40, 60, 0, 0.789473684211), (60, 40, 2, 0.924170616114), (40, 60, 2, 0.924170616114),
)  # fmt: skip


def _blocking_pairs(full: bool) -> Iterator[Finding]:
    for first, second, room, per_h in _UNEQUAL_PAIRS if full else _UNEQUAL_PAIRS[1:3]:
        scenario = load("line_2", {
            "work_centres.s2.room_before_bundles": room, "study.weeks": 110 if full else 5,
            "products.job.route[0].minutes.exponential.mean": float(first),
            "products.job.route[1].minutes.exponential.mean": float(second),
        })  # fmt: skip
        lines = all_at_once(scenario, int(1.7 * scenario.horizon_min / 60))
        (per_week,) = measured(scenario, ("orders_per_week",), lines)
        name = f"{first} then {second} min, room for {room} between: orders/h"
        yield mean_of(name, per_h, [orders / _HOURS for orders in per_week], 0.01 if full else 0.065)


CASES = (
    Case(
        "X-23", "Three classes of unequal work: waiting in line, interrupting",
        "A. Cobham, Operations Research 2 (1954) 70-76; interrupting and resumed: L. Kleinrock, Queueing Systems II, "
        "1976, chapter 3 (formulas from memory), derived numbers: work of 10 min, exponential of 15, gamma of 25 (cv "
        "0.5), 0.36, 0.54 and 0.9 orders an hour",
        f"{SIMULATED}; few urgent orders ever wait for others of their kind",
        _unequal_classes, seconds=2.3, path="floor",
    ),
    Case(
        "X-24", "Constant work, repairs of constant length: completion times and waits",
        "D. P. Gaver, Journal of the Royal Statistical Society B 24 (1962) 73-90, completion time (from memory); "
        "Pollaczek-Khinchine with its moments 12.5 and 268.75, derived",
        f"{SIMULATED}; repairs are few, so that waits are known to 4 % in the full run", _constant_repairs, seconds=2.5,
        path="floor",
    ),
    Case(
        "X-25", "Places of constant work in a row: all waits together are those of the slowest alone",
        "H. D. Friedman, Operations Research 13 (1965) 121-131 (from memory), derived: M/D/1 with the longest work so "
        "far, less what was waited before",
        f"{SIMULATED}, to 5 % in the full run", _constant_line, seconds=1.6, path="floor",
    ),
    Case(
        "X-26", "A line of unequal places with so many orders on it: exact by mean values",
        "W. J. Gordon & G. F. Newell, Operations Research 15 (1967) 254-265; M. Reiser & S. S. Lavenberg, Journal of "
        "the ACM 27 (1980) 313-322, mean value analysis (from memory), derived numbers",
        f"{SIMULATED}, to 1.5 % in the full run", _closed_line, seconds=1.2, path="floor",
    ),
    Case(
        "X-27", "Two unequal places with little room between: output, and the same the other way round",
        "G. C. Hunt, Operations Research 4 (1956) 674-683; E. J. Muth, Management Science 25 (1979) 152-158, "
        "reversibility (from memory), derived: M/M/1 with room for two more than stand between",
        f"{SIMULATED}, to 1 % in the full run", _blocking_pairs, seconds=1.1, path="floor",
    ),
)  # fmt: skip
