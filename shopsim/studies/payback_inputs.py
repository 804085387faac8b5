"""What the arithmetic of a payback takes: its inputs, each of which may be in doubt, and how much is run."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shopsim.craft._limits import not_negative
from shopsim.studies.cash_flow import Spending
from shopsim.studies.input_ranges import Range

FACTORS = (0.8, 1.0, 1.2)
# Forecasts of won orders are hopes: common practice, no source.
_WON_AT_WORST, _WON_AT_BEST = 0.5, 1.25


@dataclass(frozen=True, slots=True)
class MoneyInputs:
    """The inputs of the arithmetic, each of which may be given as a range by its name.

    Spending as in `Spending`; `discount_pct` and `growth_pct_per_year` (of demand) a year; `orders_won_pct` are orders
    that come because of the option alone, in percent of all others; `gain_pct` is how much of the extra sales and
    avoided penalties on the same orders comes true, with the cloth, ink and freight bought for such sales (but all the
    cloth that tails and faults take); the others are levels of prices, 100 as in the scenario.
    """

    once_cu: float
    resale_cu: float
    life_years: float
    per_year_cu: float
    discount_pct: float = 8.0
    growth_pct_per_year: float = 0.0
    orders_won_pct: float = 0.0
    gain_pct: float = 100.0
    sales_price_pct: float = 100.0
    material_price_pct: float = 100.0
    energy_price_pct: float = 100.0
    wages_pct: float = 100.0


@dataclass(frozen=True, slots=True)
class PaybackPlan:
    """How much to run, and what is taken for granted; `ranges` are named as the fields of `MoneyInputs`.

    Gains are run at `factors` of today's demand, at today's, and at the one that growth leads to in the last year; the
    option at these with the orders it wins as well. Won orders come evenly, all of them after `orders_won_weeks`.
    Raises ValueError for fewer than no orders won, and for ranges of no input.
    """

    count: int
    spending: Spending
    discount_pct: float = 8.0
    growth_pct_per_year: float = 0.0
    tax_share: float = 0.0
    ranges: tuple[Range, ...] = ()
    factors: tuple[float, ...] = FACTORS
    orders_won_pct: float = 0.0
    orders_won_weeks: float = 0.0

    def __post_init__(self) -> None:
        not_negative("orders_won_pct", self.orders_won_pct)
        not_negative("orders_won_weeks", self.orders_won_weeks)
        unknown = [one.name for one in self.ranges if one.name not in MoneyInputs.__slots__]
        if unknown:
            known = ", ".join(MoneyInputs.__slots__)
            raise ValueError(f"no input of the payback: {', '.join(unknown)}; known: {known}")
        for one in self.ranges:
            if one.name == "orders_won_pct" and not 0 <= one.low <= self.orders_won_pct <= one.high:
                raise ValueError(
                    f"orders_won_pct must be at least 0 and its range hold the value planned, {self.orders_won_pct:g}, "
                    f"found {one.low:g} to {one.high:g}"
                )

    @property
    def inputs(self) -> MoneyInputs:
        """The values without any doubt."""
        s = self.spending
        return MoneyInputs(
            s.once_cu, s.resale_cu, s.life_years, s.per_year_cu, self.discount_pct, self.growth_pct_per_year,
            self.orders_won_pct,
        )  # fmt: skip

    @property
    def won(self) -> float:
        """The orders won as a share of all others."""
        return self.orders_won_pct / 100


def last_demand(inputs: MoneyInputs) -> float:
    """The multiple of today's demand that growth leads to in the last year of the life; the first year has today's.

    Without the orders won.
    """
    return (1 + inputs.growth_pct_per_year / 100) ** (math.ceil(inputs.life_years) - 1)


def usual_ranges(plan: PaybackPlan) -> tuple[Range, ...]:
    """Doubts of anyone who buys a machine; common practice, no source, but resale (CST-02) and energy (CST-05)."""
    s = plan.spending
    found = [
        Range("gain_pct", 80, 110), Range("sales_price_pct", 97, 103), Range("material_price_pct", 90, 115),
        Range("energy_price_pct", 45, 140), Range("wages_pct", 97, 108),
        Range("discount_pct", max(0.0, plan.discount_pct - 3), plan.discount_pct + 3),
        Range("growth_pct_per_year", plan.growth_pct_per_year - 3, plan.growth_pct_per_year + 3),
        Range("life_years", s.life_years * 5 / 7, s.life_years * 10 / 7),
    ]  # fmt: skip
    if s.once_cu:
        found.insert(0, Range("once_cu", round(s.once_cu * 0.9, 2), round(s.once_cu * 1.1, 2)))
    if s.resale_cu:
        most = min(s.once_cu, s.resale_cu * 1.75)
        found.append(Range("resale_cu", round(s.resale_cu * 0.5, 2), round(most, 2)))
    if plan.orders_won_pct:
        won = plan.orders_won_pct
        found.append(Range("orders_won_pct", won * _WON_AT_WORST, won * _WON_AT_BEST))
    return tuple(found)
