"""Orders over time: how many are in the shop each day, and how many were due and on time each week."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from shopsim.clock import MINUTES_PER_DAY, MINUTES_PER_WEEK
from shopsim.floor.record import RunLog
from shopsim.measures.facts import Facts
from shopsim.measures.intervals import Floats
from shopsim.measures.kpis import due_orders
from shopsim.shop.scenario import Scenario


class DueByWeek(NamedTuple):
    """Orders due in each week of the window that were taken and not cancelled, and how many of them left by then."""

    due: tuple[float, ...]
    on_time: tuple[float, ...]


def in_shop_by_day(log: RunLog, scenario: Scenario) -> tuple[float, ...]:
    """Mean number of orders inside, from receipt to dispatch or cancellation, those held back left out, on each day of
    the window."""
    return in_shop_by_day_from(Facts(log, scenario))


def in_shop_by_day_from(facts: Facts) -> tuple[float, ...]:
    """As `in_shop_by_day`, from facts at hand."""
    start, end = facts.window.start_min, facts.window.end_min
    edges = np.append(np.arange(start, end, MINUTES_PER_DAY), end)
    area = minutes_since(facts.column("orders", "received"), edges) - minutes_since(facts.left, edges)
    held_back = (facts.column("release_waits", name) for name in ("start", "end"))
    area -= np.subtract(*(minutes_since(times, edges) for times in held_back))
    by_day: Floats = np.diff(area) / np.diff(edges)
    return tuple(by_day.tolist())


def due_by_week(log: RunLog, scenario: Scenario) -> DueByWeek:
    """Orders due and on time by week of the window; a week of the last days may be a short one."""
    return due_by_week_from(Facts(log, scenario))


def due_by_week_from(facts: Facts) -> DueByWeek:
    """As `due_by_week`, from facts at hand."""
    due, left = due_orders(facts)
    week = ((due - facts.window.start_min) // MINUTES_PER_WEEK).astype(int)
    count = math.ceil(facts.window.weeks - 1e-9)
    all_due = np.bincount(week, minlength=count).astype(float)
    on_time = np.bincount(week[left <= due], minlength=count).astype(float)
    return DueByWeek(tuple(all_due.tolist()), tuple(on_time.tolist()))


def minutes_since(moments: Floats, at: Floats) -> Floats:
    """Minutes since each of the moments that have passed, summed, at each time asked for."""
    past = np.sort(moments[np.isfinite(moments)])
    sums = np.concatenate([[0.0], np.cumsum(past)])
    passed = np.searchsorted(past, at)
    since: Floats = passed * at - sums[passed]
    return since
