"""What the words about an investment share: names of inputs and parts, orders compared, the middle of a spread."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from shopsim.figures import money
from shopsim.sentences.words import weeks_text
from shopsim.studies.demand_scaling import demand_size
from shopsim.studies.input_ranges import Range
from shopsim.studies.payback import Payback
from shopsim.studies.payback_inputs import usual_ranges

# The middle of the cases that is told.
TAIL = 0.1

PART_WORDS = {
    "sales": "Sales", "late_penalties": "Late penalties avoided", "material": "Cloth and ink", "energy": "Electricity",
    "labour": "Wages and overtime", "service": "Machine service", "rent": "Floor", "other": "Freight, bought in",
}  # fmt: skip
INPUT_WORDS = {
    "once_cu": "price", "resale_cu": "resale", "life_years": "years of use", "per_year_cu": "yearly extra cost",
    "discount_pct": "discount rate", "growth_pct_per_year": "growth of demand", "orders_won_pct": "orders won",
    "gain_pct": "gain that comes true", "sales_price_pct": "sales prices",
    "material_price_pct": "prices of cloth and ink", "energy_price_pct": "price of electricity",
    "wages_pct": "wages",
}  # fmt: skip


class OrdersPerWeek(NamedTuple):
    """Orders asked of the shop as it stands, and of the option with the orders it wins, in the first year."""

    today: float
    then: float


def orders_per_week(found: Payback) -> OrdersPerWeek:
    """The orders a week that base and option are given at today's demand."""
    today, then = demand_size(found.base), demand_size(found.option)
    return OrdersPerWeek(today.orders_per_week, then.orders_per_week * (1 + found.plan.won))


def orders_compared(found: Payback) -> str:
    """Orders with it beside those of the shop as it stands; empty where they are the same."""
    today, then = orders_per_week(found)
    if not math.isclose(today, then, rel_tol=1e-6):
        more = f" ({_more(then / today - 1)})" if today else ""
        slowly = f", all of them after {weeks_text(found.plan.orders_won_weeks)}" if found.plan.orders_won_weeks else ""
        return f"with {then:.3g} orders a week instead of {today:.3g}{more}{slowly}"
    before, after = (demand_size(which).m2_per_week for which in (found.base, found.option))
    if before and not math.isclose(before, after, rel_tol=1e-6):
        return f"with as many orders as today, but {_more(after / before - 1)} m²"
    return ""


def _more(share: float) -> str:
    return f"{abs(share) * 100:.3g} % {'more' if share > 0 else 'less'}"


def confidence_pct(found: Payback) -> float:
    """That of the file."""
    return found.base.scenario.study.confidence_pct


def quantile(values: Sequence[float], share: float) -> float:
    """The smallest value that at least a share of all reach at most."""
    return sorted(values)[max(1, math.ceil(len(values) * share - 1e-9)) - 1]


def middle(values: Sequence[float]) -> str:
    """The amounts between which four of five cases lie."""
    low, high = (money(quantile(values, share)) for share in (TAIL, 1 - TAIL))
    return f"{low} to {high}" if low != high else low


def in_percent(share: float) -> str:
    """A share of cases that is neither none nor all of them."""
    if share < 0.005:
        return "fewer than 1 %"
    return "more than 99 %" if share >= 0.995 else f"{share * 100:.0f} %"


def usual_told(found: Payback) -> str:
    """That ranges are the program's own and not the shop's."""
    usual = {one.name: one for one in usual_ranges(found.plan)}
    ours = sum(one.name in usual and _same(one, usual[one.name]) for one in found.plan.ranges)
    if not ours:
        return ""
    return " (usual ranges of ours)" if ours == len(found.plan.ranges) else f" ({ours} in usual ranges of ours)"


def _same(one: Range, other: Range) -> bool:
    # Typed ranges have lost some digits.
    return all(math.isclose(mine, its, rel_tol=1e-4) for mine, its in ((one.low, other.low), (one.high, other.high)))
