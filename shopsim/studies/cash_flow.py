"""Cash in and out of an investment year by year, from what it changes a week in the shop.

Cash, not cost: the write-off of machines is left out (it only says how their price is spread), the price itself is paid
at the start and the resale received at the end of the life. Amounts are in the scenario's currency, CU.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shopsim.craft._limits import not_negative, positive, share
from shopsim.shop.printers import MachineMoney
from shopsim.shop.scenario import Scenario
from shopsim.studies.replication import Replication

Floats = NDArray[np.float64]
WEEKS_PER_YEAR = 365.25 / 7
_USUAL_LIFE_YEARS = 7.0  # CST-02

PARTS: dict[str, tuple[int, tuple[str, ...]]] = {
    "sales": (1, ("revenue",)),
    "late_penalties": (-1, ("late_penalties",)),
    "material": (-1, ("fabric", "ink")),
    "energy": (-1, ("energy",)),
    "labour": (-1, ("wages", "overtime_pay")),
    "service": (-1, ("service",)),
    "rent": (-1, ("rent",)),
    "other": (-1, ("packing_and_freight", "bought_in")),
}
"""What a gain is made of: its sign and the categories of `measures.costs`; all of them but `write_off`."""
# What is paid by the calendar, orders or not; all else goes with orders.
_PAID_BY_TIME = ("wages", "service", "rent")
_BOUGHT_FOR_SALES = ("material", "other")


@dataclass(frozen=True, slots=True)
class Spending:
    """What an option costs beyond what the shop's own books show each week.

    `once_cu` is paid at the start, with `training_h` hours at `training_cu_per_h`; `resale_cu` comes back after
    `life_years`; `per_year_cu` is paid each year on top. During the first `ramp_up_weeks` only `ramp_up_share` of the
    gain comes in. Raises ValueError for impossible numbers.
    """

    once_cu: float
    life_years: float = _USUAL_LIFE_YEARS
    resale_cu: float = 0.0
    per_year_cu: float = 0.0
    training_h: float = 0.0
    training_cu_per_h: float = 0.0
    ramp_up_weeks: float = 0.0
    ramp_up_share: float = 1.0

    def __post_init__(self) -> None:
        for name in ("once_cu", "resale_cu", "training_h", "training_cu_per_h", "ramp_up_weeks"):
            not_negative(name, getattr(self, name))
        positive("life_years", self.life_years)
        share("ramp_up_share", self.ramp_up_share)

    @property
    def at_start_cu(self) -> float:
        """Price and training."""
        return self.once_cu + self.training_h * self.training_cu_per_h

    def lost_share(self, year: int) -> float:
        """The share of the gain of a year, from 1, that is lost to the ramp-up."""
        weeks = min(self.ramp_up_weeks, year * WEEKS_PER_YEAR) - (year - 1) * WEEKS_PER_YEAR
        return (1 - self.ramp_up_share) * max(0.0, weeks) / WEEKS_PER_YEAR


def machines_bought(base: Scenario, option: Scenario) -> Spending:
    """The spending by the prices of the machines and seats an option has and the base has not; 0 if it buys none.

    Life is the mean by price. What the option does without is not sold.
    """
    once = resale = years = 0.0
    there = {name: count for name, _, count in _machines(base)}
    for name, money, count in _machines(option):
        price = max(0, count - there.get(name, 0)) * money.price
        once += price
        resale += price * money.resale_pct / 100
        years += price * money.life_years
    return Spending(once, years / once if once else _USUAL_LIFE_YEARS, resale)


def mean_wage_cu_per_h(scenario: Scenario) -> float:
    """The mean wage of all people."""
    heads = sum(crew.count for crew in scenario.crews)
    return sum(crew.count * crew.wage_per_h for crew in scenario.crews) / heads if heads else 0.0


def _machines(scenario: Scenario) -> list[tuple[str, MachineMoney, int]]:
    return [
        *((each.id, each.money, 1) for each in scenario.printers),
        *((each.id, each.money, each.count) for each in scenario.calenders),
        *((each.id, each.money, each.seats) for each in scenario.work_centres),
    ]


def yearly_books(runs: Sequence[Replication], per_order_week: float = 1.0) -> Floats:
    """By replication and part of `PARTS`, CU a year that comes in; what is paid is negative.

    `per_order_week` (`order_weeks`) makes of a week's mean that of the weeks in which orders come, for all that goes
    with orders; wages, machine service and floor are paid by the calendar.
    """
    level = {name: 1.0 if name in _PAID_BY_TIME else per_order_week for _, names in PARTS.values() for name in names}
    rows = [
        [sign * WEEKS_PER_YEAR * sum(one.money_per_week.get(name, 0.0) * level[name] for name in names)
         for sign, names in PARTS.values()]
        for one in runs
    ]  # fmt: skip
    return np.array(rows, dtype=float).reshape(len(rows), len(PARTS))


def won_share(weeks: float, year: int) -> float:
    """The mean share, over a year from 1, of the orders won in the end: from none evenly to all after weeks."""
    whole = weeks / WEEKS_PER_YEAR

    def gathered(until: float) -> float:
        return until - whole / 2 if until >= whole else until**2 / (2 * whole)

    return gathered(year) - gathered(year - 1)


@dataclass(frozen=True, slots=True)
class MoneyCurves:
    """Money of all replications at several multiples of today's demand: `amounts[factor, replication, part]`."""

    factors: tuple[float, ...]
    amounts: Floats

    def parts_at(self, factor: float) -> Floats:
        """By replication and part, CU a year at one of the factors. Raises ValueError for another."""
        found: Floats = self.amounts[self.factors.index(factor)]
        return found

    def at(self, factors: Sequence[float] | Floats, levels: Mapping[str, float]) -> Floats:
        """CU a year by replication and factor, straight in between and level beyond the ends.

        `levels` multiplies parts, e.g. `{"energy": 1.2}` for energy a fifth dearer.
        """
        sums = self.amounts @ np.array([levels.get(name, 1.0) for name in PARTS])
        known = np.array(self.factors)
        at = np.clip(np.asarray(factors, dtype=float), known[0], known[-1])
        right = np.clip(np.searchsorted(known, at, side="left"), min(1, len(known) - 1), len(known) - 1)
        left = np.maximum(right - 1, 0)
        width = known[right] - known[left]
        way = np.divide(at - known[left], width, out=np.zeros_like(at), where=width > 0)[:, None]
        found: Floats = (sums[left] * (1 - way) + sums[right] * way).T
        return found


@dataclass(frozen=True, slots=True)
class GainCurves:
    """What an option leaves over the base: `same` on the same orders, both run at each demand; `option` the option's
    own books, run at these demands and at those with the orders it wins.

    Two steps, so that luck and curvature that both shops share cancel wherever no order is won.
    """

    same: MoneyCurves
    option: MoneyCurves

    @property
    def bought_for_sales(self) -> dict[str, float]:
        """CU that comes in, so below 0, for each CU of the base's sales: cloth and ink, freight and work bought in."""
        base = self.option.parts_at(1.0) - self.same.parts_at(1.0)
        books = dict(zip(PARTS, base.mean(axis=0).tolist(), strict=True))
        return {part: books[part] / books["sales"] if books["sales"] else 0.0 for part in _BOUGHT_FOR_SALES}

    def at(
        self, demands: Sequence[float] | Floats, won: Sequence[float] | Floats, levels: Mapping[str, float],
        won_levels: Mapping[str, float],
    ) -> Floats:  # fmt: skip
        """CU a year by replication and demand, a multiple of today's; `won` is the share of it that comes on top for
        the option alone. `levels` multiplies parts of the gain on the same orders, `won_levels` of that on orders won.
        """
        gains = self.same.at(demands, levels)
        if not np.any(won):
            return gains
        then = np.asarray(demands) * (1 + np.asarray(won))
        return gains + self.option.at(then, won_levels) - self.option.at(demands, won_levels)

    def parts(self, won: float) -> tuple[Floats, Floats]:
        """By replication and part, CU a year at today's demand: on the same orders, and on a share of orders won."""
        same = self.same.parts_at(1.0)
        if not won:
            return same, np.zeros_like(same)
        return same, self.option.parts_at(with_won(1.0, won)) - self.option.parts_at(1.0)


def with_won(demand: float, won: float) -> float:
    """A demand with a share of it on top, the same number however it was reached."""
    return round(demand * (1 + won), 12)


def cash_flows(gains: Floats, spending: Spending, tax_share: float = 0.0) -> Floats:
    """Flows at the start and the end of each year of the life; `gains` by replication and year, before ramp-up.

    A life that ends within a year earns that part of its last year. Tax is paid on each year's cash less an even
    write-off down to the resale; a loss saves tax. Raises ValueError for fewer gains than years.
    """
    years = math.ceil(spending.life_years)
    if gains.shape[1] < years:
        raise ValueError(f"gains must cover {years} years, found {gains.shape[1]}")
    flows = np.zeros((gains.shape[0], years + 1))
    flows[:, 0] = -spending.at_start_cu
    written_off = (spending.once_cu - spending.resale_cu) / spending.life_years
    for year in range(1, years + 1):
        part = min(1.0, spending.life_years - (year - 1))
        gain = gains[:, year - 1]
        # Who learns loses of a gain; a loss does not get smaller by learning.
        gain = gain - np.maximum(gain, 0.0) * spending.lost_share(year)
        cash = part * (gain - spending.per_year_cu)
        flows[:, year] = cash - share("tax_share", tax_share) * (cash - part * written_off)
    flows[:, years] += spending.resale_cu
    return flows
