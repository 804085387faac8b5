"""In which of the weeks studied orders come in.

An order book ends, and a study of it goes on until its last orders are out. Divided by all these weeks the demand would
look smaller than any week had it, and a year put together from them would have fewer orders than the shop takes in one.
Weeks without an order between the first and the last count: they are how orders come. A forecast comes in from its
beginning to the end of the study, whatever its months are like; so does a fleet on hire.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from shopsim.clock import MINUTES_PER_WEEK, minute_of
from shopsim.studies.option import Option


class OrderWeeks(NamedTuple):
    """Weeks `studied`, of which the first `before` and the last `after` have no order received in them."""

    studied: float
    before: float
    after: float

    @property
    def with_orders(self) -> float:
        """How many weeks orders come in."""
        return self.studied - self.before - self.after

    @property
    def per_order_week(self) -> float:
        """What a mean over all weeks is multiplied by to be one over those with orders: exactly 1 where all are."""
        return self.studied / self.with_orders

    def of_the_first(self, weeks: float) -> OrderWeeks:
        """The same of the first so many of the weeks studied; none is taken off where orders come behind them alone."""
        end = min(self.studied - self.after, weeks)
        return OrderWeeks(weeks, self.before, weeks - end) if end > self.before else OrderWeeks(weeks, 0.0, 0.0)


def order_weeks(option: Option) -> OrderWeeks:
    """The weeks studied in which an option receives orders; where none is received no week is taken off."""
    studied, demand = option.scenario.study.weeks, option.scenario.demand
    starts = option.scenario.shop.starts
    received = {
        math.floor((minute_of(line.received.date(), starts) - option.scenario.warm_up_min) / MINUTES_PER_WEEK)
        for line in option.order_lines
    }
    spans = [(float(week), min(week + 1.0, studied)) for week in received if 0 <= week < studied]
    forecast = demand.forecast
    if forecast is not None and (forecast.orders_per_week or forecast.campaigns):
        first = 0 if forecast.starts is None else minute_of(forecast.starts, starts) - option.scenario.warm_up_min
        spans.append((max(0.0, float(math.floor(first / MINUTES_PER_WEEK))), studied))
    if demand.hire_fleets:
        spans.append((0.0, studied))
    spans = [(first, end) for first, end in spans if first < end]
    if not spans:
        return OrderWeeks(studied, 0.0, 0.0)
    return OrderWeeks(studied, min(first for first, _ in spans), studied - max(end for _, end in spans))
