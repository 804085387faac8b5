"""What the cases read off the records of a run beside the shop's own measures: shares that wait, numbers present."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from shopsim.floor.record import RunLog
from shopsim.measures.intervals import Floats, Ints, Window
from shopsim.published.simulated import stays, waits

# Waits shorter than this are rounding of floats.
_SLIVER_MIN = 1e-9
Reading = Callable[[RunLog], float]


def window_of(log: RunLog) -> Window:
    """The part of the run after its warm-up."""
    return Window(log.warm_up_min, log.horizon_min)


def share_waiting(log: RunLog) -> float:
    """Share of operations that do not start at once."""
    return float(np.mean(waits(log) > _SLIVER_MIN))


def share_waiting_over(minutes: float) -> Reading:
    """Share of operations that wait longer."""
    return lambda log: float(np.mean(waits(log) > minutes))


def share_staying_over(minutes: float) -> Reading:
    """Share of orders in the shop for longer."""
    return lambda log: float(np.mean(stays(log) > minutes))


def stay_deviation(log: RunLog) -> float:
    """Standard deviation of the orders' time in the shop, min."""
    return float(np.std(stays(log), ddof=1))


def number_waiting(log: RunLog) -> float:
    """Mean number of operations in line; those that never began are left out, too few to matter in a long run."""
    first = log.column("operations", "part") == 0
    ready, start = log.column("operations", "ready")[first], log.column("operations", "start")[first]
    window = window_of(log)
    return float(window.clipped(ready, start).sum()) / window.minutes


def number_at(place: int) -> Reading:
    """Mean number of operations in line or at work at a place, as `number_waiting`."""

    def number(log: RunLog) -> float:
        here = log.column("operations", "place") == place
        window = window_of(log)
        inside = window.clipped(log.column("operations", "ready")[here], log.column("operations", "end")[here])
        return float(inside.sum()) / window.minutes

    return number


def rate_at(place: int) -> Reading:
    """Operations an hour that come to a place."""

    def rate(log: RunLog) -> float:
        here = (log.column("operations", "place") == place) & (log.column("operations", "part") == 0)
        window = window_of(log)
        return float(window.holds(log.column("operations", "ready")[here]).sum()) / window.minutes * 60

    return rate


def shares_of_time(starts: Floats, ends: Floats, window: Window) -> Floats:
    """Share of the window during which exactly n = 0, 1, 2, … of the spans are in progress."""
    times = np.concatenate((starts, ends))
    steps = np.concatenate((np.ones(len(starts), dtype=np.int64), -np.ones(len(ends), dtype=np.int64)))
    order = np.argsort(times, kind="stable")
    level = np.concatenate(([0], np.cumsum(steps[order])))
    edges = np.clip(times[order], window.start_min, window.end_min)
    lasts = np.diff(np.concatenate(([window.start_min], edges, [window.end_min])))
    return np.bincount(level, lasts) / window.minutes


def numbers_inside(log: RunLog) -> Floats:
    """Share of time with exactly n = 0, 1, 2, … orders in the shop."""
    return shares_of_time(log.column("orders", "received"), log.column("orders", "ended"), window_of(log))


def share_with_inside(number: int) -> Reading:
    """Share of time with exactly so many orders in the shop."""
    return lambda log: float(numbers_inside(log)[number])


def share_with_at_most(number: int) -> Reading:
    """Share of time with at most so many orders in the shop."""
    return lambda log: float(numbers_inside(log)[: number + 1].sum())


def inside_at(log: RunLog, moments: Floats) -> Ints:
    """Orders in the shop at each moment."""
    received, ended = np.sort(log.column("orders", "received")), np.sort(log.column("orders", "ended"))
    return np.searchsorted(received, moments) - np.searchsorted(ended, moments)


def counts_of(times: Floats, window: Window, slot_min: float) -> Ints:
    """How many of the times fall into each slot of the window."""
    slots = int(window.minutes // slot_min)
    return np.histogram(times, window.start_min + np.arange(slots + 1) * slot_min)[0]


def dispersion(counts: Ints | Floats) -> float:
    """Variance over mean; 1 for a Poisson number, NaN where all are 0."""
    mean = float(np.mean(counts))
    return float(np.var(counts, ddof=1)) / mean if mean else math.nan
