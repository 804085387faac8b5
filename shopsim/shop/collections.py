"""When orders are collected, and how promised days are counted: working days are days with a collection."""

from __future__ import annotations

import datetime
import math

from shopsim.clock import MINUTES_PER_DAY, minute_of, parse_clock
from shopsim.shop.people import WEEKDAYS
from shopsim.shop.scenario import Scenario

# Due dates and deliveries reach beyond the horizon.
_MORE_DAYS = 400


def collection_times(scenario: Scenario) -> list[float]:
    """All dispatch cut-offs from the start on, past the horizon, in minutes."""
    dispatch = scenario.policies.dispatch
    weekdays = {WEEKDAYS.index(day) for day in dispatch.days}
    days = int(scenario.horizon_min // MINUTES_PER_DAY) + _MORE_DAYS
    cut_off = parse_clock(dispatch.cut_off)
    return [
        float(day * MINUTES_PER_DAY + cut_off)
        for day in range(days)
        if day % 7 in weekdays and day not in scenario.closed_days
    ]


def cut_off_of(day: datetime.date, scenario: Scenario) -> float:
    """The dispatch cut-off of a day, in minutes: by then an order due on it has left."""
    return minute_of(day, scenario.shop.starts, parse_clock(scenario.policies.dispatch.cut_off))


def whole_days(days: float) -> int:
    """Working days are counted whole; a half day counts as one."""
    return max(0, math.floor(days + 0.5))
