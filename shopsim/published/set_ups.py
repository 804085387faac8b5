"""Set-ups: at random between jobs, and once a batch."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator
from statistics import fmean

import numpy as np

from shopsim.floor.record import RunLog
from shopsim.floor.run import simulate
from shopsim.published.case import Case, Finding
from shopsim.published.machines import mean_completion, scv_completion
from shopsim.published.simulated import RUNS, SIMULATED, load, mean_of, measured, stays, waits
from shopsim.shop.order_book import OrderLine
from shopsim.shop.rough_cut import rough_cut
from shopsim.shop.scenario import Scenario
from shopsim.streams import stream

_PIECES_AN_HOUR = 0.4


def _place(measure: Callable[[RunLog, int], float], place: int) -> Callable[[RunLog], float]:
    return lambda log: measure(log, place)


def _random_set_ups(full: bool) -> Iterator[Finding]:
    weeks = {"study.weeks": 200 if full else 14}
    seldom = load("set_ups", weeks)
    often = load("set_ups", {
        **weeks, "work_centres.fast.set_up_min": {"discrete": {"values": [0, 45, 75], "weights": [8, 1, 1]}}
    })  # fmt: skip
    fast = next(each for each in rough_cut(seldom).loads if each.id == "fast")
    yield Finding("effective hours a job, fast machine, on paper (`check`)", 1.2, sum(fast.asked_h) / (
        100 * len(fast.asked_h)), 1e-9)  # fmt: skip
    flexible_scv, mean, scv = measured(
        seldom, (_place(scv_completion, 0), _place(mean_completion, 1), _place(scv_completion, 1))
    )
    width = 0.02 if full else 0.08
    yield mean_of("SCV of a job's minutes, flexible machine", 0.25, flexible_scv, width)
    yield mean_of("mean minutes a job, set-up before one in ten", 72, mean, width)
    yield mean_of("their SCV", 0.310763888889, scv, width)
    if full:
        mean, scv = measured(often, (_place(mean_completion, 1), _place(scv_completion, 1)))
        yield mean_of("mean minutes a job, set-up before one in five", 72, mean, width)
        yield mean_of("their SCV, set-up before one in five", 0.163194444444, scv, width)


def _batches(pieces: int, weeks: float) -> Scenario:
    return load("set_up_batches", {
        "study.weeks": weeks, "demand.forecast.orders_per_week": 168 * _PIECES_AN_HOUR / pieces,
        "demand.forecast.mix[0].pieces": pieces,
    })  # fmt: skip


def _wait_h(log: RunLog) -> float:
    return float(np.mean(waits(log))) / 60


def _stay_h(log: RunLog) -> float:
    return float(np.mean(stays(log))) / 60


def _split(pieces: int, weeks: float) -> list[float]:
    """Mean hours of a piece in the shop where each is sent on as soon as it is done, ten replications."""
    scenario = load("batches_split", {"study.weeks": weeks})
    found = []
    for replication in range(RUNS):
        log = simulate(scenario, _batch_orders(scenario, pieces, replication), replication)
        ready, end = log.column("operations", "ready"), log.column("operations", "end")
        found.append(float(np.mean((end - ready)[ready >= log.warm_up_min])) / 60)
    return found


def _batch_orders(scenario: Scenario, pieces: int, replication: int) -> list[OrderLine]:
    """Poisson orders of so many pieces each, of the two products in turn."""
    rng = stream(scenario.study.seed, replication, f"batches of {pieces}")
    mean_min = 60 * pieces / _PIECES_AN_HOUR
    arrivals = np.cumsum(rng.exponential(mean_min, int(1.5 * scenario.horizon_min / mean_min)))
    opening = datetime.datetime.combine(scenario.shop.starts, datetime.time())
    received = [opening + datetime.timedelta(minutes=at) for at in arrivals[arrivals < scenario.horizon_min].tolist()]
    return [
        OrderLine(
            order_id=str(i), received=at, due=at.date(), product=scenario.products[i % 2].id, pieces=pieces
        )
        for i, at in enumerate(received)
    ]  # fmt: skip


def _keeps_up(pieces: int) -> bool:
    return not rough_cut(_batches(pieces, 4)).hopeless


# Pieces a batch, then hours: its wait and its stay kept together; a piece's stay where each is sent on when done.
_TOGETHER = ((4, 40.5, 49.5), (8, 12.0714285714, 25.0714285714), (16, 11.6052631579, 32.6052631579))
_SPLIT = ((4, 48), (9, 21.5294117647), (16, 25.1052631579))


def _serial_batches(full: bool) -> Iterator[Finding]:
    least = next(pieces for pieces in range(1, 40) if _keeps_up(pieces))
    yield Finding("least batch that keeps up on paper (`check`)", "4", str(least))
    at_4, at_5 = (rough_cut(_batches(pieces, 4)).loads[0].share for pieces in (4, 5))
    # Utilization on paper is a + b / pieces.
    b = (at_4 - at_5) / (1 / 4 - 1 / 5)
    yield Finding("pieces a batch at which it would be 1", 3.33333333333, b / (1 - at_4 + b / 4), 1e-9)
    yield Finding("utilization with batches of 4, on paper", 0.9, rough_cut(_batches(4, 4)).loads[0].share, 1e-9)
    width = 0.1 if full else 0.35
    stays_h: dict[int, float] = {}
    for pieces, wait_h, stay_h in _TOGETHER if full else _TOGETHER[:2]:
        # Batches of 4 keep the machine at 90 %: their waits settle slowly, and ten means say little of their spread.
        runs = 3 * RUNS if full and pieces == 4 else RUNS
        found = measured(_batches(pieces, _weeks(full, pieces)), (_wait_h, _stay_h), runs=runs)
        stays_h[pieces] = fmean(found[1])
        yield mean_of(f"mean wait of a batch of {pieces}, h", wait_h, found[0], width)
        yield mean_of(f"mean time in the shop, batches of {pieces} kept together, h", stay_h, found[1], width)
    if full:
        yield Finding("best of these batches kept together", "8", str(min(stays_h, key=lambda size: stays_h[size])))
    for pieces, stay_h in _SPLIT if full else _SPLIT[1:2]:
        each_h = _split(pieces, _weeks(full, pieces))
        stays_h[pieces] = fmean(each_h)
        yield mean_of(f"mean time in the shop, pieces of batches of {pieces} sent on at once, h", stay_h, each_h, width)
    if full:
        best = min((pieces for pieces, _ in _SPLIT), key=lambda size: stays_h[size])
        yield Finding("best of these batches whose pieces are sent on at once", "9", str(best))


def _weeks(full: bool, pieces: int) -> int:
    if pieces == 4:
        return 1100 if full else 170
    return 600 if full else 65


CASES = (
    Case(
        "A-15", "Set-ups at random in the time a job takes",
        "Hopp & Spearman, Factory Physics, 3rd ed., section 8.4.3 (public chapter notes; which machine has which "
        "variation resolved by recomputation)",
        SIMULATED, _random_set_ups, seconds=1, path="floor",
    ),
    Case(
        "A-16", "Batches: a set-up, then piece by piece",
        "Hopp & Spearman, Factory Physics, chapter 9 (numbers from memory); exact waits of an M/D/1 of batches derived",
        f"{SIMULATED}: the full run knows times of batches kept together to 3-6 %; batches of 4 keep the machine at "
        "90 %, where 2 % would take ten times as long",
        _serial_batches, seconds=2.1,
        left_out="the best of all sizes from 4 to 40, of which three are run: those next to the best are 1 % apart",
        path="floor",
    ),
)  # fmt: skip
