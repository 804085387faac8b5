"""The same shop with more or less to do: demand times a factor, so that neighbouring factors meet nearly equal orders.

* A forecast's orders a week and its campaigns a month are multiplied. Replication k then draws the same orders in the
  same row, only closer together.
* Of an order book each order is kept or repeated by a fixed draw of its own: `1 + u` of them at a factor of 1 + u. An
  order kept at one factor is kept at all higher ones, and the draws (multiples of the golden section) spread evenly
  over the book, so that every week grows alike. A copy comes one week earlier or later than its original, at the same
  hour and with as long to its due date: two like orders at one moment would print as one.
* Fleets out on hire are multiplied and rounded.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple, TypeVar

from pydantic import BaseModel

from shopsim.errors import Problem, ScenarioError
from shopsim.shop.demand import Demand
from shopsim.shop.order_book import OrderLine
from shopsim.shop.rough_demand import arrivals
from shopsim.shop.scenario import Scenario
from shopsim.studies._checks import require_above_zero
from shopsim.studies.option import Option
from shopsim.studies.order_weeks import order_weeks

_GOLDEN = (math.sqrt(5) - 1) / 2
_MOST_WEEKS_AWAY = 8
Model = TypeVar("Model", bound=BaseModel)


class DemandSize(NamedTuple):
    """What is asked of a shop on paper, means over the weeks in which orders come; `m2_per_week` is finished area."""

    orders_per_week: float
    m2_per_week: float


def demand_size(option: Option) -> DemandSize:
    """The demand of an option as its file has it."""
    found = arrivals(option.scenario, option.order_lines)
    area = sum(float(flow.pieces.mean()) * sum(w * h * share for w, h, share in flow.sizes) for flow in found.flows)
    level = order_weeks(option).of_the_first(len(found.orders)).per_order_week
    return DemandSize(float(found.orders.mean()) * level, area * level)


def scaled(option: Option, factor: float) -> Option:
    """The option with its demand multiplied.

    Raises ValueError unless the factor is above 0, and ScenarioError where a planner's list names orders one by one.
    """
    require_above_zero(factor=factor)
    if factor == 1:
        return option
    scenario = option.scenario
    if option.order_lines and scenario.policies.sequences:
        message = "a planner's list names the orders of the book, so their number cannot be changed"
        raise ScenarioError([Problem(option.name, None, None, "policies.sequences", message)])
    lines = tuple(_scaled_book(option.order_lines, factor, scenario)) if option.order_lines else ()
    return Option(option.name, _with(scenario, demand=_scaled_demand(scenario.demand, factor)), lines)


def _with(model: Model, **changes: object) -> Model:
    """A checked copy with other values; whatever the model has worked out for itself is not carried along."""
    return type(model)(**{**{name: getattr(model, name) for name in type(model).model_fields}, **changes})


def _scaled_demand(demand: Demand, factor: float) -> Demand:
    forecast = demand.forecast
    if forecast is not None:
        campaigns = tuple(_with(each, per_month=each.per_month * factor) for each in forecast.campaigns)
        forecast = _with(forecast, orders_per_week=forecast.orders_per_week * factor, campaigns=campaigns)
    fleets = tuple(_with(each, pieces=max(1, math.floor(each.pieces * factor + 0.5))) for each in demand.hire_fleets)
    return _with(demand, forecast=forecast, hire_fleets=fleets)


def _scaled_book(lines: Sequence[OrderLine], factor: float, scenario: Scenario) -> Iterator[OrderLine]:
    orders: dict[str, list[OrderLine]] = {}
    for line in lines:
        orders.setdefault(line.order_id, []).append(line)
    received = [group[0].received for group in orders.values()]
    span = min(received), max(received)
    for rank, name in enumerate(sorted(orders, key=lambda name: (orders[name][0].received, name)), start=1):
        draw = rank * _GOLDEN % 1
        copies = math.floor(factor) + (draw < factor % 1)
        if copies:
            yield from orders[name]
        weeks_away = _weeks_away(orders[name][0], draw, span, scenario)
        for number in range(1, copies):
            away = datetime.timedelta(weeks=next(weeks_away, 0))
            for line in orders[name]:
                yield _moved(line, f"copy {number} of order {rank}", away)


def _weeks_away(
    line: OrderLine, draw: float, span: tuple[datetime.datetime, datetime.datetime], scenario: Scenario
) -> Iterator[int]:
    """Weeks to move copies by, nearest first, such that they stay within the book and are due on a day of work."""
    first_sign = 1 if draw * 1000 % 1 < 0.5 else -1
    for size in range(1, _MOST_WEEKS_AWAY + 1):
        for sign in (first_sign, -first_sign):
            away = datetime.timedelta(weeks=sign * size)
            closed = (line.due + away - scenario.shop.starts).days in scenario.closed_days
            if span[0] <= line.received + away <= span[1] and not closed:
                yield sign * size


def _moved(line: OrderLine, name: str, away: datetime.timedelta) -> OrderLine:
    return line.model_copy(update={
        "order_id": name, "received": line.received + away, "due": line.due + away,
        "approved": line.approved and line.approved + away, "cancelled": line.cancelled and line.cancelled + away,
    })  # fmt: skip
