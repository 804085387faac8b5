"""Textbook systems as scenario files, run on the real engine, and a stated value compared with what was found."""

from __future__ import annotations

import datetime
import math
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NamedTuple

import numpy as np
from scipy import stats

import shopsim.published
from shopsim.floor.record import KIND, RunLog
from shopsim.floor.run import simulate
from shopsim.shop.order_book import OrderLine
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_file import load_scenario

FOLDER = Path(shopsim.published.__file__).parent / "systems"
RUNS = 10
Measure = Callable[[RunLog], float]


class Found(NamedTuple):
    """Mean over independent replications, its standard error, and half of its 95 % interval."""

    mean: float
    error: float
    half_width: float


def load(name: str) -> Scenario:
    """A system of the folder `systems`."""
    return load_scenario(FOLDER / f"{name}.yaml")


def run(scenario: Scenario, lines: Sequence[OrderLine] = (), runs: int = RUNS) -> list[RunLog]:
    """Independent replications 0, 1, 2, …"""
    return [simulate(scenario, lines, replication) for replication in range(runs)]


def estimate(values: Sequence[float]) -> Found:
    """Student's interval."""
    error = float(np.std(values, ddof=1)) / math.sqrt(len(values))
    return Found(float(np.mean(values)), error, float(stats.t.ppf(0.975, len(values) - 1)) * error)


def assert_agrees(values: Sequence[float], stated: float, within: float) -> None:
    """The stated value lies within three standard errors, and the 95 % interval is at most ±`within` (a share)."""
    found = estimate(values)
    assert abs(found.mean - stated) <= 3 * found.error, found
    assert found.half_width <= within * abs(stated), found


def waits(log: RunLog, kind: str = "work", place: int | None = None) -> np.ndarray:
    """Minutes from ready to first start of each operation that became ready after the warm-up."""
    column = {name: log.column("operations", name) for name in ("kind", "part", "ready", "start", "place")}
    chosen = (column["kind"] == KIND[kind]) & (column["part"] == 0) & (column["ready"] >= log.warm_up_min)
    if place is not None:
        chosen &= column["place"] == place
    return (column["start"] - column["ready"])[chosen]


def stays(log: RunLog) -> np.ndarray:
    """Minutes in the shop of each order that came after the warm-up and has left."""
    received, left = log.column("orders", "received"), log.column("orders", "dispatched")
    return (left - received)[(received >= log.warm_up_min) & (left >= 0)]


def orders_every(scenario: Scenario, minutes: int, pieces: int = 1) -> list[OrderLine]:
    """An order book of one product with one order every so many minutes up to the horizon."""
    start = datetime.datetime.combine(scenario.shop.starts, datetime.time())
    count = math.ceil(scenario.horizon_min / minutes)
    moments = (start + datetime.timedelta(minutes=minutes * i) for i in range(count))
    return [
        OrderLine(
            order_id=str(i), received=moment, due=moment.date(), product=scenario.products[0].id, pieces=pieces,
        )
        for i, moment in enumerate(moments)
    ]  # fmt: skip
