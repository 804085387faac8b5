"""Scheduling instances as shops: a product for each job, a work centre with one person a machine, always open."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence

from shopsim.floor.record import KIND, RunLog
from shopsim.floor.run import simulate
from shopsim.shop.order_book import OrderLine
from shopsim.shop.scenario_file import check_values

MONDAY = datetime.date(2026, 1, 5)
DAY_MIN = 1440
EXACT = "none: whole minutes"
Route = Sequence[tuple[str, float]]


def job_shop(
    jobs: Mapping[str, Route],
    sequences: Mapping[str, Sequence[str]] | None = None,
    due_days: Mapping[str, int] | None = None,
    rule: str = "first_come",
    seats: int = 1,
) -> RunLog:
    """Run jobs (name: places and minutes in turn), all there at minute 0 and received in the order given.

    Each place has `seats` equal seats and takes by `rule`, or follows its planner's list of `sequences`.
    """
    places = list(dict.fromkeys(place for route in jobs.values() for place, _ in route))
    scenario = check_values({
        "shop": {"name": "schedule", "starts": MONDAY},
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
    }, "schedule")  # fmt: skip
    received = datetime.datetime.combine(MONDAY, datetime.time())
    days = due_days or {}
    lines = [
        OrderLine(order_id=name, received=received, due=MONDAY + datetime.timedelta(days.get(name, 50)), product=name,
                  pieces=1)
        for name in jobs
    ]  # fmt: skip
    return simulate(scenario, lines)


def ends(log: RunLog) -> list[float]:
    """Completion times in the order of the jobs; -1 for one that never got done."""
    complete: list[float] = log.column("orders", "complete")[log.column("orders", "order").argsort()].tolist()
    return complete


def makespan(log: RunLog) -> float:
    """When the last order is complete; -1 if one never was."""
    done = ends(log)
    return max(done) if min(done) >= 0 else -1.0


def worked(log: RunLog, place: str) -> list[tuple[int, float, float]]:
    """(job, start, end) at a place, by start."""
    at = (log.column("operations", "place") == log.places.index(place)) & (
        log.column("operations", "kind") == KIND["work"]
    )
    columns = [log.column("operations", name)[at].tolist() for name in ("order", "start", "end")]
    return sorted(((int(job), start, end) for job, start, end in zip(*columns, strict=True)), key=lambda row: row[1])


def flow_shop(minutes: Sequence[Sequence[float]], order: Sequence[int]) -> float:
    """Makespan of jobs on places in series, each place in this order; a row of `minutes` a job."""
    jobs = {f"job{j}": [(f"m{place}", work) for place, work in enumerate(minutes[j])] for j in order}
    return makespan(job_shop(jobs, {f"m{place}": list(jobs) for place in range(len(minutes[0]))}))


def days_done(
    work: Sequence[int],
    rule: str = "first_come",
    due: Sequence[int] | None = None,
    seats: int = 1,
    planned: Sequence[int] | None = None,
) -> list[float]:
    """Day on which each job (of so many days) is done at one place, by a queue rule or a planner's list."""
    names = [f"job{j}" for j in range(len(work))]
    jobs = {name: [("place", days * DAY_MIN)] for name, days in zip(names, work, strict=True)}
    due_days = dict(zip(names, due, strict=True)) if due is not None else None
    lists = {"place": [names[j] for j in planned]} if planned is not None else None
    return [at / DAY_MIN for at in ends(job_shop(jobs, lists, due_days, rule, seats))]
