"""A queue from an empty start and over a long run: how far off a short run is, and how long a sure one takes."""

from __future__ import annotations

import math
from collections.abc import Iterator
from statistics import fmean, stdev

import numpy as np

from shopsim.floor.record import RunLog
from shopsim.floor.run import simulate
from shopsim.measures.intervals import Floats
from shopsim.published.case import Case, Finding
from shopsim.published.simulated import load, mean_of, measured
from shopsim.shop.scenario import Scenario
from shopsim.studies.batch_means import batch_interval
from shopsim.studies.run_length import asymptotic_variance, run_length_for

# As in the system's file: 336 orders a week.
_GAP_MIN = 30.0
_WEEK_MIN = 10_080.0


def _one_server(rho: float, weeks: float) -> Scenario:
    """Busy a share `rho` of the time, empty at the start."""
    minutes = {"products.job.route[0].minutes.exponential.mean": rho * _GAP_MIN}
    return load("m_m_1", {**minutes, "study": {"weeks": weeks, "opening": "empty", "seed": 8}})


def _delays_min(log: RunLog) -> Floats:
    """Time in line of each order served, in order of receipt."""
    delays: Floats = log.column("operations", "start") - log.column("operations", "ready")
    return delays[np.argsort(log.column("operations", "order"))]


def _from_empty(weeks: float, runs: int, orders: int) -> Floats:
    """Delays of the first orders, one row a run, in mean gaps between orders."""
    scenario = _one_server(0.9, weeks)
    rows = [_delays_min(simulate(scenario, replication=k))[:orders] for k in range(runs)]
    return np.array(rows) / _GAP_MIN


def _within_three_errors(what: str, expected: float, values: Floats) -> Finding:
    error = stdev(values) / math.sqrt(len(values))
    return Finding(what, expected, fmean(values), 3 * error, error)


_DELAYS = {2: 0.426315789474, 3: 0.734538562473, 5: 1.19651832331, 10: 1.97550309331, 50: 4.49860614937}


def _from_an_empty_start(full: bool) -> Iterator[Finding]:
    first = _from_empty(0.27, 2000 if full else 300, 50)
    yield Finding("delay of order 1", 0, float(first[:, 0].max()))
    for number, expected in _DELAYS.items():
        yield _within_three_errors(f"mean delay of order {number}, in mean gaps", expected, first[:, number - 1])
    if full:
        longer = _from_empty(0.78, 1000, 200)
        yield _within_three_errors("mean delay of order 200", 6.89256703848, longer[:, 199])
        yield _within_three_errors("mean delay of the first 100", 4.13418460298, longer[:, :100].mean(axis=1))
        sets = {"products.job.route[0].minutes.exponential.mean": 0.9 * _GAP_MIN, "study.weeks": 500}
        (waits_h,) = measured(load("m_m_1", {**sets, "study.warm_up_weeks": 10}), ("wait_mean_h.desk",))
        yield mean_of("mean delay in the long run", 8.1, [wait * 60 / _GAP_MIN for wait in waits_h], 0.12)


def _mean_inside(log: RunLog, bounds: Floats) -> Floats:
    """Average number of orders inside between each two bounds."""
    arrived, left = log.column("orders", "received"), log.column("orders", "ended")

    def area_until(events: Floats) -> Floats:
        # Sum of (bound - event) over the events before each bound.
        events = np.sort(events)
        before = np.searchsorted(events, bounds)
        area: Floats = before * bounds - np.concatenate([[0.0], np.cumsum(events)])[before]
        return area

    inside: Floats = np.diff(area_until(arrived) - area_until(np.minimum(left, log.horizon_min))) / np.diff(bounds)
    return inside


def _judged(what: str, expected: float, variance: float, values: Floats, batches: int) -> Iterator[Finding]:
    """The mean of one long run's values, and its asymptotic variance, from batch means."""
    run = batch_interval(values.tolist(), batches, 99)
    yield Finding(f"mean {what}, one long run", expected, run.interval.mean, run.interval.half_width or 0.0)
    # Three standard errors of a variance estimated from so many batches.
    near = 3 * math.sqrt(2 / (batches - 1))
    yield Finding(f"asymptotic variance of the {what}", variance, asymptotic_variance(run), near * variance)


def _long_run(full: bool) -> Iterator[Finding]:
    rho, batches, batch = (0.5, 600, 1000) if full else (0.5, 250, 400)
    service_min = rho * _GAP_MIN
    log = simulate(_one_server(rho, round(batches * batch * service_min / _WEEK_MIN, 3)))
    inside = _mean_inside(log, np.arange(0, log.horizon_min, service_min))
    yield from _judged("number inside, rho 0.5", rho / (1 - rho), 24, inside, batches)
    yield from _judged("delay in services, rho 0.5", rho / (1 - rho), 29, _delays_min(log) / service_min, batches)
    rho, variance, wanted = 0.8, 1800, 0.05 * 4
    planned = run_length_for(variance, wanted, 95)
    yield Finding("services for 5 % of the number inside, rho 0.8", 172_872, planned, 172.872)
    if full:
        scenario = _one_server(rho, round(planned * rho * _GAP_MIN / _WEEK_MIN, 3))
        service_min = rho * _GAP_MIN

        def variance_inside(log: RunLog) -> float:
            """From batches of 6000 mean services, some sixty times as long as the queue remembers."""
            inside = _mean_inside(log, np.arange(0, log.horizon_min, 6000 * service_min)) * math.sqrt(6000)
            return float(np.var(inside, ddof=1))

        found, variances = measured(scenario, ("work_in_process_orders", variance_inside), runs=16)
        yield mean_of("asymptotic variance of the number inside, rho 0.8", variance, variances, 0.4)
        yield mean_of("mean number inside in runs of that length, rho 0.8", rho / (1 - rho), found, 0.05)
        # So that 99 of 100 runs pass, 2.576 / 1.96 of the half-width that 95 of 100 keep.
        off = abs(found[0] - rho / (1 - rho))
        yield Finding("the first of these keeps its precision", "yes", "yes" if off < wanted * 2.576 / 1.96 else "no")


CASES = (
    Case(
        "E-08", "M/M/1 from an empty start: how far off the first orders are",
        "W. D. Kelton & A. M. Law, Operations Research 33 (1985) 378-396, lambda 1, mu 10/9; transient values computed "
        "exactly, long-run delay 8.1 from memory and recomputed",
        "three standard errors, as the case asks; the delay of the long run to ±12 %", _from_an_empty_start, seconds=1,
        path="floor",
    ),
    Case(
        "E-09", "M/M/1: how sure a long run is, and how long a sure run takes",
        "W. Whitt, Management Science 35 (1989) 1341-1366: number inside 2 rho (1 + rho) / (mu (1 - rho)^4); D. J. "
        "Daley (1968): delays rho (2 + 5 rho - 4 rho^2 + rho^3) / (mu^2 (1 - rho)^4); formulas from memory, recomputed",
        "three standard errors of a variance from batch means; means within their 99 % intervals, at rho 0.8 that of "
        "the variance as wide as ±40 %, from 280 batches in all", _long_run, seconds=1.2, path="library",
    ),
)  # fmt: skip
