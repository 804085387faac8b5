"""What orders are like: lines, products, pieces, sizes, promised lead days, rush, repeats, cancellations."""

from __future__ import annotations

import datetime
from bisect import bisect_left
from collections import Counter
from collections.abc import Sequence
from typing import Any

import numpy as np

from shopsim.clock import WEEKDAYS, parse_clock
from shopsim.distributions import Distribution
from shopsim.shop.products import Product
from shopsim.shop.scenario import Scenario
from shopsim.studies.fit_estimates import Estimate, mean_of, mean_of_times, share_of
from shopsim.studies.fit_found import (
    LEAST_FOR_SHAPE,
    Doubt,
    Findings,
    Fitted,
    as_written,
    counted,
    doubt_of,
    doubt_of_times,
    short,
)
from shopsim.studies.fit_history import History, Line, PastOrder
from shopsim.studies.fit_rounded_up import fit_rounded_up
from shopsim.studies.fit_sizes import fit_sizes

_DAYS_BEYOND = 400
# Between the first third of the lead time and its last half, where the model puts early and late withdrawals.
_EARLY_SHARE = 5 / 12


def fit_orders(history: History, scenario: Scenario, confidence_pct: float) -> Findings:
    """Everything of a forecast but how many orders come when; every line is of a product of the scenario."""
    found = Findings()
    products: dict[str, Product] = scenario.by_id("products")
    lines = [line for order in history.orders for line in order.lines]
    counts = [float(len(order.lines)) for order in history.orders]
    mean = mean_of(counts, confidence_pct)
    found.fitted.append(Fitted("demand.forecast.lines_per_order", as_written(counted(counts)), "mean lines an order",
                               mean, "orders", "as often as seen"))  # fmt: skip
    found.add(_mix(lines, products, confidence_pct))
    for name in dict.fromkeys(line.product for line in lines):
        found.add(fit_sizes(products[name], [line for line in lines if line.product == name], confidence_pct))
    found.add(_lead_days(history, scenario, confidence_pct))
    found.add(_shares(history, scenario, confidence_pct))
    return found


def _mix(lines: Sequence[Line], products: dict[str, Product], confidence_pct: float) -> Findings:
    found = Findings()
    of = Counter(line.product for line in lines)
    mix: list[dict[str, Any]] = []
    doubts: list[Doubt] = []
    for i, name in enumerate(product for product in products if of[product]):
        pieces = [line.pieces for line in lines if line.product == name]
        fit = fit_rounded_up(pieces)
        distribution: Distribution = fit.distribution if fit else counted([float(count) for count in pieces])
        share = share_of(of[name], len(lines), confidence_pct).scaled(100)
        mix.append({"product": name, "share_pct": short(share.value), "pieces": as_written(distribution)})
        path = f"demand.forecast.mix[{i}]"
        doubts += doubt_of(f"{path}.share_pct", share, least=0.001)
        mean = mean_of_times([float(count) for count in pieces], confidence_pct)
        moved = doubt_of_times(f"{path}.pieces", distribution, _unrounded(distribution, mean))
        how = fit.how if fit else "as often as seen"
        about = f"pieces a line of {name}, mean"
        found.fitted.append(Fitted("", None, about, mean, "lines", how, moved))
    never = [name for name in products if not of[name]]
    found.left += [f"product {name!r}: not ordered in these weeks, left out of the mix" for name in never]
    top = max(mix, key=lambda each: each["share_pct"])
    share = share_of(of[top["product"]], len(lines), confidence_pct).scaled(100)
    found.fitted.insert(0, Fitted("demand.forecast.mix", mix, f"share of {top['product']}, the most ordered, %", share,
                                  "lines", "shares with Wilson's interval", tuple(doubts)))  # fmt: skip
    return found


def _unrounded(distribution: Distribution, rounded: Estimate) -> Estimate:
    """The interval of whole pieces moved to the mean before rounding up."""
    shift = distribution.mean / rounded.value
    return rounded.scaled(shift)


def _lead_days(history: History, scenario: Scenario, confidence_pct: float) -> Findings:
    """Working days between the first cut-off after receipt (or approval) and the due date, as the shop counts them."""
    dispatch = scenario.policies.dispatch
    if dispatch.at_once:
        return Findings([], ["lead days: the shop dispatches at once, without days of collection"])
    weekdays = {WEEKDAYS.index(day.capitalize()[:3]) for day in dispatch.days}
    closed = {scenario.shop.starts + datetime.timedelta(days=day) for day in scenario.closed_days}
    reach = (history.last - history.first).days + 2 * _DAYS_BEYOND
    begin = history.first - datetime.timedelta(days=_DAYS_BEYOND)
    every = (begin + datetime.timedelta(days=i) for i in range(reach))
    days = [day for day in every if day.weekday() in weekdays and day not in closed]
    cut_off = parse_clock(dispatch.cut_off)
    found = Findings()
    for key, path in ((False, "demand.forecast.lead_days"), (True, "demand.forecast.rush_lead_days")):
        orders = [order for order in history.orders if bool(order.rush) is key]
        of = " to rush orders" if key else ""
        leads = [_lead(order, days, cut_off, scenario.demand.lead_from_approval) for order in orders]
        if len(leads) < LEAST_FOR_SHAPE:
            found.left.append(f"{path.rsplit('.', 1)[1].replace('_', ' ')}: {len(leads)} orders, too few")
            continue
        mean = mean_of(leads, confidence_pct)
        found.fitted.append(Fitted(path, as_written(counted(leads)), f"mean working days promised{of}", mean, "orders",
                                   "as often as seen"))  # fmt: skip
    return found


def _lead(order: PastOrder, days: list[datetime.date], cut_off: float, from_approval: bool) -> float:
    at = order.approved if from_approval and order.approved is not None else order.received
    first = at.date() if at.hour * 60 + at.minute <= cut_off else at.date() + datetime.timedelta(days=1)
    return float(max(0, bisect_left(days, order.due) - bisect_left(days, first)))


def _shares(history: History, scenario: Scenario, confidence_pct: float) -> Findings:
    found = Findings()
    orders = history.orders

    def share(path: str, about: str, flags: Sequence[bool], of: str = "orders", how: str = "Wilson's interval") -> None:
        made = share_of(int(np.sum(flags)), len(flags), confidence_pct).scaled(100)
        found.fitted.append(Fitted(path, short(made.value), about, made, of, how, doubt_of(path, made, most=100)))

    rush = [order.rush for order in orders if order.rush is not None]
    if len(rush) >= LEAST_FOR_SHAPE:
        share("demand.forecast.rush_pct", "rush orders, %", rush)
    else:
        found.left.append("rush share: the history does not say which orders were rush")
    repeat = [order.repeat for order in orders if order.repeat is not None]
    if scenario.demand.artwork is not None and len(repeat) >= LEAST_FOR_SHAPE:
        share("demand.artwork.new_file_pct", "orders with a new file, %", [not each for each in repeat])
    if any(order.withdrawn for order in orders):
        early = [order.withdrawn and _withdrawn_at(order) < _EARLY_SHARE for order in orders]
        late = [order.withdrawn and not one for order, one in zip(orders, early, strict=True)]
        how = "Wilson's interval; before print = in the first part of the lead time"
        share("demand.cancellations.before_print_pct", "cancelled before print, %", early, how=how)
        share("demand.cancellations.after_print_pct", "cancelled after print, %", late, how=how)
    else:
        found.left.append("cancellations: none on record")
    return found


def _withdrawn_at(order: PastOrder) -> float:
    """Share of the lead time gone when it was withdrawn; 0 where the time is not known."""
    if order.cancelled is None:
        return 0.0
    lead = datetime.datetime.combine(order.due, datetime.time(16)) - order.received
    return (order.cancelled - order.received) / max(lead, datetime.timedelta(hours=1))
