"""What becomes of the orders of a morning: when they leave, what they wait for from then on, what it costs by day."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from shopsim.clock import MINUTES_PER_DAY
from shopsim.floor.record import DISPATCHED
from shopsim.measures.costs import order_prices, penalties_of
from shopsim.measures.facts import Facts
from shopsim.measures.stretches import REASONS, stretches_of

NOWHERE = ""


class OrderFate(NamedTuple):
    """When an order left and came to its customer (minutes), and the penalty for being late."""

    out_min: float
    delivered_min: float
    penalty_cu: float


def fates_of(facts: Facts, orders: int) -> dict[int, OrderFate]:
    """What became of orders 0 to `orders` - 1; those that have not left are not in it."""
    rows = np.flatnonzero((facts.column("orders", "ending") == DISPATCHED) & np.isfinite(facts.left))
    penalty = np.zeros(facts.rows("orders"))
    penalty[facts.dispatched] = penalties_of(facts, order_prices(facts)[facts.dispatched])
    number = facts.code("orders", "order")[rows]
    out, delivered = (facts.column("orders", name)[rows] for name in ("dispatched", "delivered"))
    return {
        int(order): OrderFate(at, came, cu)
        for order, at, came, cu in zip(
            number.tolist(), out.tolist(), delivered.tolist(), penalty[rows].tolist(), strict=True
        )
        if order < orders
    }


def waits_from_now(facts: Facts, orders: int) -> dict[tuple[int, str, str], float]:
    """Hours of each order 0 to `orders` - 1 that left, from the window's start on, by (order, reason, place)."""
    number = facts.code("orders", "order")
    rows = np.flatnonzero(facts.dispatched & (number < orders))
    if not len(rows):
        return {}
    parts = stretches_of(facts, rows)
    begin = np.maximum(parts.start, facts.window.start_min)
    hours = np.maximum(parts.end - begin, 0.0) / 60
    places, reasons = [*facts.log.places, NOWHERE], list(REASONS)
    cell = (parts.at * len(reasons) + parts.reason) * len(places) + parts.place % len(places)
    found, where = np.unique(cell, return_inverse=True)
    total = np.bincount(where, hours)
    made: dict[tuple[int, str, str], float] = {}
    for key, spent in zip(found.tolist(), total.tolist(), strict=True):
        if spent > 0:
            rest, place = divmod(key, len(places))
            at, reason = divmod(rest, len(reasons))
            made[int(number[rows[at]]), reasons[reason], places[place]] = spent
    return made


def spent_by_day(facts: Facts) -> dict[tuple[str, int], float]:
    """Overtime pay and bought-in work, in currency units, by (category, day number)."""
    shifts, crews = facts.scenario.by_id("shifts"), facts.scenario.crews
    rules = {name: rule.premium_pct for rule in facts.scenario.policies.overtime for name in rule.crews}
    spent: dict[tuple[str, int], float] = {}
    crew, start, end, people = (facts.column("overtime", name).tolist() for name in ("crew", "start", "end", "people"))
    for each, begin, finish, count in zip(crew, start, end, people, strict=True):
        model = crews[int(each)]
        premium = shifts[model.shift].premium_pct + rules.get(model.id, 0.0)
        pay = (finish - begin) / 60 * count * model.wage_per_h * (1 + premium / 100)
        key = ("overtime_pay", int(begin // MINUTES_PER_DAY))
        spent[key] = spent.get(key, 0.0) + pay
    at, cost = facts.column("bought_in", "at").tolist(), facts.column("bought_in", "cost").tolist()
    for minute, amount in zip(at, cost, strict=True):
        key = ("bought_in", int(minute // MINUTES_PER_DAY))
        spent[key] = spent.get(key, 0.0) + amount
    return spent
