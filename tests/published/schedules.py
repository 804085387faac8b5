"""Scheduling instances as shops: a product for each job, a work centre with one person a machine, always open."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from typing import Any

from shopsim.floor.record import KIND, RunLog
from shopsim.floor.run import simulate
from shopsim.shop.cross_checks import cross_check
from shopsim.shop.order_book import OrderLine
from shopsim.shop.scenario import Scenario
from shopsim.shop.sequence_checks import check_listed_orders

MONDAY = datetime.date(2026, 1, 5)
DAY_MIN = 1440
Route = Sequence[tuple[str, float]]


def job_shop(
    jobs: Mapping[str, Route],
    sequences: Mapping[str, Sequence[str]] | None = None,
    due_days: Mapping[str, int] | None = None,
    rule: str = "first_come",
    seats: int = 1,
) -> RunLog:
    """Run jobs (name: places and minutes in turn), all there at minute 0 and received in the order given."""
    places = list(dict.fromkeys(place for route in jobs.values() for place, _ in route))
    scenario = Scenario.model_validate({
        "shop": {"name": "published", "starts": MONDAY},
        "work_centres": [{"id": p, "skill": p, "seats": seats, "queue_rule": rule} for p in places],
        "shifts": [{"id": "always", "round_the_clock": True}],
        "crews": [{"id": f"crew_{p}", "skills": {p: 3}, "shift": "always", "count": seats} for p in places],
        "products": [
            {"id": name, "route": [{"op": "work", "at": place, "minutes": minutes} for place, minutes in route]}
            for name, route in jobs.items()
        ],
        "demand": {"order_book": {"file": "orders.csv"}},
        "policies": {
            "dispatch": {"at_once": True},
            "sequences": [{"at": place, "orders": list(orders)} for place, orders in (sequences or {}).items()],
        },
        "study": {"weeks": 8, "opening": "empty"},
    })  # fmt: skip
    received = datetime.datetime.combine(MONDAY, datetime.time())
    days = due_days or {}
    lines = [
        OrderLine(order_id=name, received=received, due=MONDAY + datetime.timedelta(days.get(name, 50)), product=name,
                  pieces=1)
        for name in jobs
    ]  # fmt: skip
    assert cross_check(scenario) == []
    assert check_listed_orders(scenario, lines) == []
    return simulate(scenario, lines)


def ends(log: RunLog) -> list[float]:
    """Completion times by order; every order must be out."""
    complete = log.table("orders")
    by_order = complete[complete[:, 0].argsort()]
    times: list[float] = by_order[:, 5].tolist()
    assert min(times) >= 0
    return times


def makespan(log: RunLog) -> float:
    """When the last order is complete."""
    return max(ends(log))


def starts(log: RunLog, place: str) -> list[tuple[int, float, float]]:
    """(order, start, end) at a place, by start."""
    rows = log.table("operations")
    mine = rows[(rows[:, 3] == log.places.index(place)) & (rows[:, 2] == KIND["work"])]
    return sorted(((int(r[7]), float(r[12]), float(r[13])) for r in mine), key=lambda row: row[1])


def flow_shop(minutes: Mapping[str, Sequence[float]], order: Sequence[Any]) -> float:
    """Makespan of a permutation on machines in series, run on the floor; orders come in in the order of the list."""
    jobs = {str(j): [(f"m{i}", m) for i, m in enumerate(minutes[str(j)])] for j in order}
    return makespan(
        job_shop(jobs, {f"m{i}": [str(j) for j in order] for i in range(len(next(iter(minutes.values()))))})
    )
