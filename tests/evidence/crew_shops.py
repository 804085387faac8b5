"""Small shops whose crews send a known share of orders out on time, and three questions at the edge of the tolerance.

Poisson orders, 7 an hour, go through one role or two after another; each person takes an exponential time of 20 minutes
in the mean for a job, first come, first served. So short a time after an empty start has no formula, so the truth is
found by a program of its own (`shares_in_numbers`: J. Kiefer and J. Wolfowitz, "On the theory of queues with many
servers", Transactions of the American Mathematical Society 78 (1955) 1-18), which shares nothing with the engine:
`python -m tests.evidence.crew_shops` prints the levels kept here, of 400,000 replications each.
"""

from __future__ import annotations

import datetime
import itertools
import sys
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from shopsim.shop.scenario_file import check_values
from shopsim.studies.crew import CrewPlan, Sizes
from shopsim.studies.option import Option

Floats = NDArray[np.float64]
Heads = tuple[int, ...]

ORDERS_PER_H, MEAN_H = 7.0, 1 / 3
WEEKS, WARM_UP_WEEKS = 0.1, 0.05
_HOURS_A_WEEK = 168
LOW, HIGH = 3, 4
ROLES = ("sewers", "packers")
# The later role is the cheaper one, so that no two crews cost the same.
WAGES = (28, 20)


@dataclass(frozen=True, slots=True)
class EdgeCase:
    """A question whose answer is known: `at_edge` lies from the target by the tolerance to a hair."""

    roles: int
    within_h: float
    at_edge: Heads
    tolerance: float
    meets: bool
    right: Heads

    @property
    def target(self) -> float:
        """The share of orders on time that is asked for."""
        level = LEVELS[self.within_h][self.at_edge]
        return level - self.tolerance if self.meets else level + self.tolerance

    @property
    def plan(self) -> CrewPlan:
        """The question as `smallest_crew` takes it."""
        return CrewPlan(tuple(Sizes(role, LOW, HIGH) for role in ROLES[: self.roles]), self.target, self.tolerance)

    def option(self, seed: int) -> Option:
        """The shop for the real engine."""
        return Option("crews", check_values(_values(self.roles, self.within_h, seed), "crews"))


# What shares of orders are done within so many hours, by heads; standard errors are below 0.0003.
LEVELS: dict[float, dict[Heads, float]] = {
    0.6: {(3,): 0.5960, (4,): 0.7902},
    1.0: {(3, 3): 0.4514, (3, 4): 0.5805, (4, 3): 0.5809, (4, 4): 0.7338},
}
CASES = {
    # The right crew is only just enough.
    "just enough": EdgeCase(1, 0.6, (4,), 0.01, True, (4,)),
    # The crew below the right one only just misses.
    "just too few": EdgeCase(1, 0.6, (3,), 0.04, False, (4,)),
    # Two roles as a grid: the cheaper of two ways to one person more is only just enough.
    "two roles": EdgeCase(2, 1.0, (3, 4), 0.04, True, (3, 4)),
}


def _values(roles: int, within_h: float, seed: int) -> dict[str, Any]:
    names = ROLES[:roles]
    minutes = {"exponential": {"mean": MEAN_H * 60}}
    return {
        "shop": {"name": "Crews", "starts": datetime.date(2026, 1, 5)},
        "work_centres": [
            {"id": f"desk_of_{name}", "seats": HIGH, "queue_rule": "first_come", "skill": name} for name in names
        ],
        "shifts": [{"id": "always", "round_the_clock": True}],
        "crews": [
            {"id": name, "count": LOW, "skills": {name: 3}, "shift": "always", "wage_per_h": wage}
            for name, wage in zip(names, WAGES, strict=False)
        ],
        "products": [
            {"id": "job", "route": [{"op": "work", "at": f"desk_of_{name}", "minutes": minutes} for name in names]}
        ],
        "demand": {"forecast": {
            "orders_per_week": ORDERS_PER_H * _HOURS_A_WEEK, "evenly_spread": True, "lines_per_order": 1, "rush_pct": 0,
            "mix": [{"product": "job", "share_pct": 100, "pieces": 1}], "lead_days": within_h / 24,
        }},
        "policies": {"dispatch": {"at_once": True, "courier_days": 0}},
        "study": {"weeks": WEEKS, "warm_up_weeks": WARM_UP_WEEKS, "seed": seed},
    }  # fmt: skip


def shares_in_numbers(case: EdgeCase, replications: int, seed: int) -> dict[Heads, Floats]:
    """Shares of orders on time by heads, a number a replication; all crews meet the same orders and minutes."""
    rng = np.random.default_rng(seed)
    hours = (WEEKS + WARM_UP_WEEKS) * _HOURS_A_WEEK
    # Eight standard deviations more than come in: the last one is always received after the end.
    most = int(ORDERS_PER_H * hours + 8 * np.sqrt(ORDERS_PER_H * hours))
    received = rng.exponential(1 / ORDERS_PER_H, (replications, most)).cumsum(axis=1)
    minutes = [rng.exponential(MEAN_H, received.shape) for _ in range(case.roles)]
    due = received + case.within_h
    counted = (due >= WARM_UP_WEEKS * _HOURS_A_WEEK) & (due < hours)
    found = {}
    for heads in itertools.product(range(LOW, HIGH + 1), repeat=case.roles):
        ready = received
        for people, work in zip(heads, minutes, strict=True):
            ready = _done(ready, work, people)
        found[heads] = (counted & (ready <= due)).sum(axis=1) / counted.sum(axis=1)
    return found


def _done(ready: Floats, work: Floats, people: int) -> Floats:
    """When each job is done that is taken up in the order of `ready` by whoever is free first."""
    order = ready.argsort(axis=1, kind="stable")
    rows = np.arange(len(ready))
    free: Floats = np.zeros((len(ready), people))
    done = np.empty_like(ready)
    for job in order.T:
        first = free.argmin(axis=1)
        free[rows, first] = np.maximum(ready[rows, job], free[rows, first]) + work[rows, job]
        done[rows, job] = free[rows, first]
    return done


def _levels(case: EdgeCase, batches: int = 40, each: int = 10_000) -> dict[Heads, tuple[float, float]]:
    """The mean share by heads with its standard error."""
    found = [shares_in_numbers(case, each, seed) for seed in range(batches)]
    together = {heads: np.concatenate([one[heads] for one in found]) for heads in found[0]}
    return {heads: (float(s.mean()), float(s.std(ddof=1) / np.sqrt(len(s)))) for heads, s in together.items()}


if __name__ == "__main__":
    for asked in {case.within_h: case for case in CASES.values()}.values():
        for crew, (level, error) in _levels(asked).items():
            sys.stdout.write(f"{asked.within_h} {crew}: {level:.4f} ({error:.5f})\n")
