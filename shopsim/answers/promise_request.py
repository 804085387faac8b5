"""A request as an order: its lines, and the due date the shop would plan it for."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from typing import Any

from shopsim.clock import date_of
from shopsim.errors import Problem, TodayError
from shopsim.floor.order_table import minute_of_moment
from shopsim.shop.collections import collection_times, whole_days
from shopsim.shop.demand import Forecast
from shopsim.shop.scenario import Scenario
from shopsim.shop.today_checks import check_today
from shopsim.shop.today_model import OpenLine, OpenOrder, Today

NAME = "request"


def request_of(
    scenario: Scenario, today: Today, lines: Sequence[OpenLine], by: datetime.date | None = None, *,
    rush: bool = False, new_file: bool = False, source: str = "--request",
) -> OpenOrder:  # fmt: skip
    """An order that comes in now; without a wanted date it is planned for the shop's usual lead time.

    `new_file`: its artwork is still to be checked and approved. `source` names it in messages. Raises TodayError with
    every fault: unknown products, sizes no web takes, a date before today.
    """
    order = OpenOrder(
        order=NAME, received=today.now, due=by or usual_due(scenario, today.now, rush), rush=rush,
        stage="received" if new_file else "released", repeat=not new_file, lines=tuple(lines),
    )  # fmt: skip
    faults = check_today(Today(now=today.now, orders=(order,)), scenario)
    if faults:
        raise TodayError(Problem("", None, None, source, _words(path, message)) for path, message in faults)
    return order


def _words(path: Sequence[Any], message: str) -> str:
    return f"{path[-1]}: {message}"


def usual_due(scenario: Scenario, now: datetime.datetime, rush: bool) -> datetime.date:
    """The collection day so many days on as the forecast promises on average; the handbook's where there is none."""
    forecast = scenario.demand.forecast
    days = forecast.rush_lead_days if rush and forecast else forecast.lead_days if forecast else None
    if days is None:
        # DEM-13: as many days as a forecast promises unless told.
        fields = Forecast.model_fields["rush_lead_days" if rush else "lead_days"]
        mean = sum(fields.default) / 3
    else:
        mean = days.mean
    at = minute_of_moment(now, scenario.shop.starts)
    ahead = [each for each in collection_times(scenario) if each >= at]
    return date_of(ahead[min(whole_days(mean), len(ahead) - 1)], scenario.shop.starts)
