"""The figures that a record and a run are compared by: one function reads them from what became of the orders of both.

A level is one number. A shape is a list (quantiles of lead times, weeks) of which only the distance matters.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shopsim.clock import MINUTES_PER_DAY, MINUTES_PER_WEEK
from shopsim.measures.lead_times import LEAD_SHARES
from shopsim.measures.over_time import minutes_since
from shopsim.studies.match_record import Orders, Outcome, Record
from shopsim.studies.replication import Replication

Floats = NDArray[np.float64]
ON_TIME, LEAD_P50, LEAD_P90, LEAD_CURVE = "on_time_share", "lead_time_p50_days", "lead_time_p90_days", "lead_time_days"
ORDERS_OUT, M2_OUT, IN_SHOP = "orders_out_per_week", "m2_out_per_week", "orders_in_shop"
MAIN = (ON_TIME, LEAD_P50, LEAD_P90, ORDERS_OUT, M2_OUT, IN_SHOP)
"""Levels that every record has."""
BY_WEEK = {"orders_out_by_week": ORDERS_OUT, "m2_out_by_week": M2_OUT, "in_shop_by_week": IN_SHOP}
"""Shapes over weeks, and the level that is their mean."""


@dataclass(frozen=True, slots=True, eq=False)
class Figures:
    """Levels and shapes by name; `steps` is what one order more or less does to a level, below which nothing shows."""

    levels: Mapping[str, float]
    shapes: Mapping[str, Floats]
    steps: Mapping[str, float]


def figures_of_record(record: Record) -> Figures:
    """The figures of what happened."""
    return _figures(record, record.outcome)


def figures_of_run(record: Record, row: Replication) -> Figures:
    """The figures of one replication of the record's scenario, made in detail."""
    hours = {name: np.array(each) for name, each in row.hours_by_week.items()}
    return _figures(record, Outcome(np.array(row.out_min), np.array(row.gone_min), hours))


def _figures(record: Record, outcome: Outcome) -> Figures:
    orders, end = record.orders, record.scenario.horizon_min
    edges: Floats = (record.run_in_weeks + np.arange(record.weeks + 1, dtype=np.float64)) * MINUTES_PER_WEEK
    out = orders.counted & (outcome.out_min >= edges[0]) & (outcome.out_min < end)
    share, due = _on_time(record, outcome, edges[0])
    lead = (outcome.out_min - orders.received)[out] / MINUTES_PER_DAY
    curve = np.quantile(lead, LEAD_SHARES) if len(lead) else np.full(len(LEAD_SHARES), math.nan)
    middle, nine_in_ten = (float(curve[LEAD_SHARES.index(each)]) for each in (0.5, 0.9))
    week = np.searchsorted(edges, outcome.out_min[out], side="right") - 1
    weekly_out: Floats = np.bincount(week, minlength=record.weeks).astype(np.float64)
    weekly_m2: Floats = np.bincount(week, orders.area_m2[out], minlength=record.weeks).astype(np.float64)
    inside = _in_shop(orders, outcome, edges)
    levels = {
        ON_TIME: share, LEAD_P50: middle, LEAD_P90: nine_in_ten, ORDERS_OUT: float(weekly_out.mean()),
        M2_OUT: float(weekly_m2.mean()), IN_SHOP: float(inside.mean()),
    }  # fmt: skip
    steps = {ON_TIME: 1 / max(1, due), ORDERS_OUT: 1 / record.weeks}
    shapes: dict[str, Floats] = {
        LEAD_CURVE: curve, "orders_out_by_week": weekly_out, "m2_out_by_week": weekly_m2, "in_shop_by_week": inside,
    }  # fmt: skip
    return Figures(levels | _hours(record, outcome), shapes, steps)


def _on_time(record: Record, outcome: Outcome, begin: float) -> tuple[float, int]:
    """The share of orders due in the weeks that count and not cancelled that left by their day, and how many there are.

    By days: an order that leaves on its due date is on time, whatever the hour.
    """
    orders = record.orders
    cancelled = np.isinf(outcome.out_min) & np.isfinite(outcome.gone_min)
    last_day = record.scenario.horizon_min / MINUTES_PER_DAY
    due = orders.counted & ~cancelled & (orders.due_day >= begin / MINUTES_PER_DAY) & (orders.due_day < last_day)
    count = int(due.sum())
    on_time = np.floor(outcome.out_min[due] / MINUTES_PER_DAY) <= orders.due_day[due]
    return (float(on_time.mean()) if count else math.nan), count


def _in_shop(orders: Orders, outcome: Outcome, edges: Floats) -> Floats:
    """Mean number of counted orders inside in each week, from receipt until they leave in any way."""
    received, gone = orders.received[orders.counted], outcome.gone_min[orders.counted]
    area = minutes_since(received, edges) - minutes_since(gone, edges)
    inside: Floats = np.diff(area) / np.diff(edges)
    return inside


def _hours(record: Record, outcome: Outcome) -> dict[str, float]:
    """Hours a week over the weeks that the record's logs cover."""
    found = {}
    for name, logged in record.outcome.hours.items():
        there = np.isfinite(logged)
        there[: record.run_in_weeks] = False
        if there.any() and name in outcome.hours:
            found[f"{name}_h_per_week"] = float(outcome.hours[name][there].mean())
    return found
