"""Lead times of dispatched orders as a curve, and what was promised."""

from __future__ import annotations

import numpy as np

from shopsim.floor.record import RunLog
from shopsim.measures.facts import Facts
from shopsim.shop.scenario import Scenario

LEAD_SHARES = tuple(round(0.05 * step, 2) for step in range(1, 20))
"""Shares of orders for which the curve gives days: 5 %, 10 %, ... 95 %."""
_MINUTES_PER_DAY = 1440


def lead_days_at(log: RunLog, scenario: Scenario) -> tuple[float, ...]:
    """Days from receipt to dispatch within which each of `LEAD_SHARES` of the orders dispatched in the window went,
    interpolated between order statistics; NaN if none was."""
    return lead_days_from(Facts(log, scenario))


def lead_days_from(facts: Facts) -> tuple[float, ...]:
    """As `lead_days_at`, from facts at hand."""
    days = (facts.left - facts.column("orders", "received"))[facts.dispatched] / _MINUTES_PER_DAY
    if not len(days):
        return (float("nan"),) * len(LEAD_SHARES)
    return tuple(np.quantile(days, LEAD_SHARES).tolist())


def promised_days_from(facts: Facts) -> float:
    """Median days from receipt to the promised dispatch of the orders dispatched in the window; NaN if none was."""
    promised = (facts.column("orders", "due") - facts.column("orders", "received"))[facts.dispatched]
    return float(np.median(promised)) / _MINUTES_PER_DAY if len(promised) else float("nan")
