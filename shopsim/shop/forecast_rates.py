"""A forecast laid out as tables to read and edit: orders by month of the year, day of the week, hour of the day.

A rate is base x month x weekday x hour; each table shows one of the factors as it stands and the orders it comes to.
"""

from __future__ import annotations

import calendar
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from shopsim.shop.changes import Change
from shopsim.shop.demand import Forecast

Span = Literal["year", "week", "day"]
FIELDS: dict[Span, str] = {"year": "month_index", "week": "weekday_shares", "day": "hour_shares"}
NAMES: dict[Span, tuple[str, ...]] = {
    "year": tuple(calendar.month_name[1:]),
    "week": tuple(calendar.day_name),
    "day": tuple(f"{hour:02d}:00" for hour in range(24)),
}


@dataclass(frozen=True, slots=True)
class Rate:
    """One month, weekday or hour: its share as in the file, and its mean orders (of a month: orders a week)."""

    name: str
    share: float
    orders: float


def rates(forecast: Forecast, span: Span, month: int | None = None, weekday: int | None = None) -> list[Rate]:
    """The rates of a year (orders a week in each month), a week (orders a day) or a day (orders an hour).

    `month` (0 to 11) and `weekday` (0 to 6) narrow a week or a day down; without them it is an average one. Campaigns
    and hire fleets come on top.
    """
    shares = [1.0] * len(NAMES[span]) if forecast.evenly_spread else list(getattr(forecast, FIELDS[span]))
    per_week = forecast.orders_per_week * (1.0 if month is None or span == "year" else _relative(forecast, month))
    if span == "year":
        orders = [per_week * _relative(forecast, place) for place in range(12)]
    else:
        per_day = per_week / 7 if weekday is None else per_week * _weekday_part(forecast, weekday)
        total = sum(shares)
        orders = [(per_week if span == "week" else per_day) * share / total for share in shares]
    return [Rate(*each) for each in zip(NAMES[span], shares, orders, strict=True)]


def week_by_hour(forecast: Forecast, month: int | None = None) -> list[list[float]]:
    """Orders an hour: seven rows, Monday first, of 24 hours; of an average week, or one in a month (0 to 11)."""
    return [[rate.orders for rate in rates(forecast, "day", month, weekday)] for weekday in range(7)]


def share_changes(span: Span, shares: Sequence[float], edited: Mapping[int, float | None]) -> list[Change]:
    """The change that puts edited shares, by position, in place; a cleared one counts 0. None if nothing differs."""
    wanted: list[Any] = [edited.get(place, share) or 0 for place, share in enumerate(shares)]
    if wanted == list(shares):
        return []
    return [Change("set", f"demand.forecast.{FIELDS[span]}", [int(v) if float(v).is_integer() else v for v in wanted])]


def _relative(forecast: Forecast, month: int) -> float:
    if forecast.evenly_spread:
        return 1.0
    index = forecast.month_index
    return index[month] * 12 / sum(index)


def _weekday_part(forecast: Forecast, weekday: int) -> float:
    return 1 / 7 if forecast.evenly_spread else forecast.weekday_shares[weekday] / sum(forecast.weekday_shares)
