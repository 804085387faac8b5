"""Textbook systems as scenario files, run on the real engine, and a stated value beside the one found."""

from __future__ import annotations

import datetime
import math
from collections.abc import Callable, Generator, Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path
from statistics import fmean

import numpy as np
from numpy.typing import NDArray

from shopsim.floor.record import KIND, RunLog
from shopsim.floor.run import simulate
from shopsim.measures.kpis import measures_of
from shopsim.published.case import Finding
from shopsim.shop.changes import Change, changed_values
from shopsim.shop.order_book import OrderLine
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values, load_scenario
from shopsim.studies.precision import t_quantile

FOLDER = Path(__file__).parent / "systems"
RUNS = 10
SIMULATED = "the stated value lies in the 99 % interval of ten replications, which is as narrow as the case says"
_NEXT_SEEDS = 1_000
_seeds_on: ContextVar[int] = ContextVar("_seeds_on", default=0)
Measure = Callable[[RunLog], float] | str
"""A number read off the records, or the name of one of the shop's own measures (`measure_names`)."""
Stated = tuple[str, float, Measure]
"""What is measured, the value stated for it, and how it is found."""


def load(name: str, sets: Mapping[str, object] | None = None) -> Scenario:
    """A system of the folder `systems`, with values put in place of its own: `{"study.weeks": 80}`."""
    scenario = _with(load_scenario(FOLDER / f"{name}.yaml"), sets or {}, name)
    seeds_on = _seeds_on.get()
    return _with(scenario, {"study.seed": scenario.study.seed + seeds_on}, name) if seeds_on else scenario


def _with(scenario: Scenario, sets: Mapping[str, object], name: str) -> Scenario:
    if not sets:
        return scenario
    values = scenario_values(scenario)
    for path, value in sets.items():
        values = changed_values(values, Change("set", path, value))
    return check_values(values, name)


@contextmanager
def other_draws() -> Generator[None, None, None]:
    """In here every system has another seed than its file's."""
    before = _seeds_on.set(_NEXT_SEEDS)
    try:
        yield
    finally:
        _seeds_on.reset(before)


def all_at_once(scenario: Scenario, orders: int, pieces: int = 1) -> list[OrderLine]:
    """An order book of the first product whose orders all come at the first minute: a shop never out of work."""
    start = datetime.datetime.combine(scenario.shop.starts, datetime.time())
    product = scenario.products[0].id
    return [
        OrderLine(order_id=str(i), received=start, due=start.date(), product=product, pieces=pieces)
        for i in range(orders)
    ]


def run(scenario: Scenario, lines: Sequence[OrderLine] = (), runs: int = RUNS) -> list[RunLog]:
    """Independent replications 0, 1, 2, …; for systems small enough to keep all records."""
    return [simulate(scenario, lines, replication) for replication in range(runs)]


def measured(
    scenario: Scenario, measures: Sequence[Measure], lines: Sequence[OrderLine] = (), runs: int = RUNS
) -> list[list[float]]:
    """One list a measure with a number a replication; records are dropped as soon as they are read."""
    found: list[list[float]] = [[] for _ in measures]
    for replication in range(runs):
        log = simulate(scenario, lines, replication)
        own = measures_of(log, scenario) if any(isinstance(measure, str) for measure in measures) else {}
        for values, measure in zip(found, measures, strict=True):
            values.append(own[measure] if isinstance(measure, str) else measure(log))
    return found


def compared(
    scenario: Scenario, stated: Sequence[Stated], width: float, lines: Sequence[OrderLine] = (), runs: int = RUNS
) -> Iterator[Finding]:
    """Each stated value beside the mean over replications of its measure."""
    found = measured(scenario, [measure for _, _, measure in stated], lines, runs)
    for (what, expected, _), values in zip(stated, found, strict=True):
        yield mean_of(what, expected, values, width)


def measure(scenario: Scenario, name: str) -> Measure:
    """One of the measures that `shopsim run` shows."""
    return lambda log: measures_of(log, scenario)[name]


def mean_of(what: str, expected: float, values: Sequence[float], width: float) -> Finding:
    """A stated value beside the mean of independent values, whose 99 % interval may be ±`width` of it (a share; of 1
    where it is 0)."""
    error = float(np.std(values, ddof=1)) / math.sqrt(len(values))
    half_width = t_quantile(len(values) - 1, 0.995) * error
    return Finding(what, expected, fmean(values), half_width, error, half_width, width * (abs(expected) or 1.0))


def orders_every(scenario: Scenario, minutes: int, pieces: int = 1) -> list[OrderLine]:
    """An order book of one product with one order every so many minutes up to the horizon."""
    start = datetime.datetime.combine(scenario.shop.starts, datetime.time())
    moments = (start + datetime.timedelta(minutes=m) for m in range(0, math.ceil(scenario.horizon_min), minutes))
    return [
        OrderLine(
            order_id=str(i), received=moment, due=moment.date(), product=scenario.products[0].id, pieces=pieces,
        )
        for i, moment in enumerate(moments)
    ]  # fmt: skip


def waits(log: RunLog, kind: str = "work", place: int | None = None) -> NDArray[np.float64]:
    """Minutes from ready to first start of each operation that became ready after the warm-up."""
    column = {name: log.column("operations", name) for name in ("kind", "part", "ready", "start", "place")}
    chosen = (column["kind"] == KIND[kind]) & (column["part"] == 0) & (column["ready"] >= log.warm_up_min)
    if place is not None:
        chosen &= column["place"] == place
    minutes: NDArray[np.float64] = (column["start"] - column["ready"])[chosen]
    return minutes


def stays(log: RunLog) -> NDArray[np.float64]:
    """Minutes in the shop of each order that came after the warm-up and has left."""
    received, left = log.column("orders", "received"), log.column("orders", "dispatched")
    minutes: NDArray[np.float64] = (left - received)[(received >= log.warm_up_min) & (left >= 0)]
    return minutes
