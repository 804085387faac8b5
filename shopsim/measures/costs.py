"""Money of one run over the window: what came in, what it cost by category, and what is left."""

from __future__ import annotations

import numpy as np

from shopsim.clock import MINUTES_PER_DAY
from shopsim.floor.record import STATES, RunLog
from shopsim.measures.facts import Facts
from shopsim.measures.intervals import Floats, Window, of_calendar, summed, union
from shopsim.measures.waste import used_rows
from shopsim.shop.printers import MachineMoney
from shopsim.shop.scenario import Scenario

COST_CATEGORIES: dict[str, str] = {
    "fabric": "Web used, waste included, at the fabric's price",
    "ink": "Ink printed and ink spent on cleaning",
    "energy": "Printers by state, calenders and seats while running or hot",
    "wages": "Hours attended in regular time, shift premium included; absent hours lie in the all-in wage (PPL-11)",
    "overtime_pay": "Overtime hours at wage with shift and overtime premium",
    "service": "Service contracts of machines, a share of their price a year (CST-03)",
    "write_off": "Price less resale over useful life, of all machines (CST-02)",
    "rent": "Floor of machines, seats and everything else (CST-08)",
    "packing_and_freight": "A fixed amount an order dispatched",
    "bought_in": "Work given out, when it was given out",
}
"""Categories of cost and what is in them; they add up to the whole cost."""

DAYS_PER_YEAR = 365.25
_RUNNING = ("printing", "tail", "warming")


def costs_of(log: RunLog, scenario: Scenario, window: Window | None = None) -> dict[str, float]:
    """Currency units over the window (the log's own unless given): `revenue`, `late_penalties`, every category of
    `COST_CATEGORIES`, their sum `cost`, and `margin` = revenue - late_penalties - cost.

    Revenue is that of orders dispatched in the window: price by m2 and piece, at least the minimum order, with the rush
    surcharge on top. A penalty (CST-13) is taken off when a late order is dispatched; days late are begun days.
    """
    return costs_from(Facts(log, scenario, window))


def costs_from(facts: Facts) -> dict[str, float]:
    """As `costs_of`, from facts at hand."""
    scenario, money = facts.scenario, facts.scenario.money
    prices = order_prices(facts)[facts.dispatched]
    years = facts.window.minutes / (DAYS_PER_YEAR * MINUTES_PER_DAY)
    machines = _machines(scenario)
    regular, overtime = _wages(facts)
    categories = {
        "fabric": _fabric(facts),
        "ink": _in_window(facts, "ink", "ml") / 1000 * scenario.supplies.ink_price_per_l,
        "energy": energy_kwh(facts) * money.energy_per_kwh,
        "wages": regular,
        "overtime_pay": overtime,
        "service": years * sum(m.price * m.service_pct_per_year / 100 * n for m, n in machines),
        "write_off": years * sum(m.price * (1 - m.resale_pct / 100) / m.life_years * n for m, n in machines),
        "rent": years
        * 12
        * money.rent_per_m2_month
        * (money.other_floor_m2 + sum(m.floor_m2 * n for m, n in machines)),
        "packing_and_freight": money.packing_and_freight_per_order * len(prices),
        "bought_in": _in_window(facts, "bought_in", "cost"),
    }
    revenue, penalties = float(prices.sum()), float(penalties_of(facts, prices).sum())
    cost = sum(categories.values())
    return {
        "revenue": revenue, "late_penalties": penalties, **categories, "cost": cost,
        "margin": revenue - penalties - cost,
    }  # fmt: skip


def dispatched_m2(facts: Facts) -> float:
    """Finished area of the orders dispatched in the window."""
    area = facts.line_area_m2 * facts.column("lines", "pieces")
    return float(area[facts.dispatched[facts.order_row(facts.code("lines", "order"))]].sum())


def order_prices(facts: Facts) -> Floats:
    """What each order of the log costs its customer, late penalties not taken off."""
    money, products = facts.scenario.money, facts.scenario.products
    product = facts.code("lines", "product")
    per_m2 = np.array([p.price_per_m2 for p in products])[product]
    each = np.array([p.price_per_piece for p in products])[product]
    line = (per_m2 * facts.line_area_m2 + each) * facts.column("lines", "pieces")
    rows = facts.order_row(facts.code("lines", "order"))
    price = np.maximum(summed(rows, line, facts.rows("orders")), money.minimum_order)
    return np.asarray(price * np.where(facts.column("orders", "rush") > 0, 1 + money.rush_surcharge_pct / 100, 1.0))


def penalties_of(facts: Facts, prices: Floats) -> Floats:
    """What is taken off the prices of the orders dispatched: a share at once, a share a day,
    never above the cap (CST-13)."""
    money = facts.scenario.money
    late_min = (facts.column("orders", "dispatched") - facts.column("orders", "due"))[facts.dispatched]
    days = np.ceil(np.maximum(late_min, 0.0) / MINUTES_PER_DAY)
    share = (money.late_penalty_pct + money.late_penalty_pct_per_day * days) / 100
    return np.where(days > 0, np.minimum(share, money.late_penalty_max_pct / 100), 0.0) * prices


def _fabric(facts: Facts) -> float:
    rows = used_rows(facts)
    price = np.array([fabric.price_per_m2 for fabric in facts.scenario.fabrics])
    if not rows.any():
        return 0.0
    return float(np.sum(facts.column("metres", "m2")[rows] * price[facts.code("metres", "fabric")[rows]]))


def _in_window(facts: Facts, table: str, column: str) -> float:
    return float(facts.column(table, column)[facts.window.holds(facts.column(table, "at"))].sum())


def _wages(facts: Facts) -> tuple[float, float]:
    """Pay for regular hours and for overtime."""
    shifts = facts.scenario.by_id("shifts")
    rules = {name: rule for rule in facts.scenario.policies.overtime for name in rule.crews}
    regular = overtime = 0.0
    for i, crew in enumerate(facts.scenario.crews):
        premium = shifts[crew.shift].premium_pct
        extra = rules[crew.id].premium_pct if crew.id in rules else 0.0
        regular += facts.attended_by_crew[i] / 60 * crew.wage_per_h * (1 + premium / 100)
        overtime += facts.overtime_by_crew[i] / 60 * crew.wage_per_h * (1 + (premium + extra) / 100)
    return float(regular), float(overtime)


def energy_kwh(facts: Facts) -> float:
    """Electricity of printers by state, of calenders running, hot or off, and of seats being worked at (FIX-16)."""
    total = 0.0
    with_hands, alone = facts.printer_minutes
    running = np.array([state in _RUNNING for state in STATES])
    off = np.array([state == "off" for state in STATES])
    for model, minutes in zip(facts.scenario.printers, with_hands + alone, strict=True):
        kw = np.where(running, model.power.running_kw, np.where(off, model.power.off_kw, model.power.standby_kw))
        total += float(np.sum(kw * minutes)) / 60
    place = {name: i for i, name in enumerate(facts.log.places)}
    for centre in facts.scenario.work_centres:
        total += centre.running_kw * float(facts.worked_by_place[place[centre.id]]) / 60
    return total + _calender_kwh(facts)


def _calender_kwh(facts: Facts) -> float:
    """A drum is hot, breaks included, while its crew's shift or overtime lasts."""
    total = 0.0
    place = {name: i for i, name in enumerate(facts.log.places)}
    for drum in facts.scenario.calenders:
        i = place[drum.id]
        calendar = facts.log.place_calendars[i]
        shifts = [of_calendar(calendar.envelope())] if calendar is not None else []
        hot = union([*shifts, facts.place_hours[i]])
        hot_min = drum.count * float(hot.minutes(facts.window.start_min, facts.window.end_min))
        busy_min = float(facts.worked_by_place[i])
        off_min = drum.count * facts.window.minutes - hot_min
        power = drum.power
        total += (busy_min * power.running_kw + (hot_min - busy_min) * power.standby_kw + off_min * power.off_kw) / 60
    return total


def _machines(scenario: Scenario) -> list[tuple[MachineMoney, int]]:
    """Everything with a price or a floor, and how many of it."""
    return [
        *((printer.money, 1) for printer in scenario.printers),
        *((drum.money, drum.count) for drum in scenario.calenders),
        *((centre.money, centre.seats) for centre in scenario.work_centres),
    ]
