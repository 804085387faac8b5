"""What cash flows are worth: of each replication, of lives with luck drawn year by year, and of uncertain inputs.

Three kinds of spread are kept apart. *Luck*: every year of a life is that of a replication drawn for it; one bad season
is not the luck of seven years. *Doubt*: inputs sampled from their ranges by Latin hypercube, each sample with the mean
of all replications. *Both* at once: each sample with luck drawn for it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from shopsim.craft.finance import irr, npv_cu, payback_years
from shopsim.streams import stream
from shopsim.studies.cash_flow import PARTS, Floats, GainCurves, cash_flows, with_won, won_share
from shopsim.studies.input_ranges import Range, latin_hypercube
from shopsim.studies.payback_inputs import MoneyInputs, PaybackPlan, last_demand
from shopsim.studies.root_finding import crossing

SAMPLES = 1024
# Which level of prices moves which parts of the money.
_LEVELS = {
    "sales_price_pct": ("sales", "late_penalties"), "material_price_pct": ("material",),
    "energy_price_pct": ("energy",), "wages_pct": ("labour",),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Worth:
    """Cash flows and what they are worth, one of each a case.

    `payback_years` are infinite where the money does not come back within the life; `irr_pct` is minus infinity where
    no rate makes the flows worth 0 because too little comes back, infinite where nothing has to. `breaks_even_at` is
    the multiple of today's demand, the same every year, and `orders_won_needed_pct` the orders won at the demand
    planned, from which on a case is worth more than nothing: minus infinity where it is at all that was run, infinite
    where it is at none.
    """

    flows_cu: Floats
    npv_cu: tuple[float, ...]
    payback_years: tuple[float, ...]
    discounted_payback_years: tuple[float, ...]
    irr_pct: tuple[float, ...]
    breaks_even_at: tuple[float, ...]
    orders_won_needed_pct: tuple[float, ...]

    @property
    def share_paid_back(self) -> float:
        """The share that comes back within the life."""
        return sum(math.isfinite(years) for years in self.payback_years) / len(self.payback_years)


@dataclass(frozen=True, slots=True)
class Bar:
    """The mean net present value with one input at its low and its high value, all others as they are."""

    doubt: Range
    at_low_cu: float
    at_high_cu: float

    @property
    def swing_cu(self) -> float:
        """How far the two lie apart."""
        return abs(self.at_high_cu - self.at_low_cu)


@dataclass(frozen=True, slots=True)
class _Cash:
    """Flows under some inputs, by replication, row and year: first as planned, then at the demands and at the shares of
    orders won that were run."""

    inputs: MoneyInputs
    flows: Floats
    demands: Floats
    won: Floats

    @property
    def planned(self) -> Floats:
        found: Floats = self.flows[:, 0]
        return found

    def mean(self) -> _Cash:
        """As one replication, the mean of all."""
        return replace(self, flows=self.flows.mean(axis=0, keepdims=True))

    def drawn(self, draws: NDArray[np.int64]) -> _Cash:
        """A life a row of `draws`, which holds a replication for each year."""
        years = self.flows.shape[2] - 1
        flows = np.empty((len(draws), *self.flows.shape[1:]))
        flows[:, :, 0] = self.flows[0, :, 0]
        for year in range(years):
            flows[:, :, year + 1] = self.flows[draws[:, year], :, year + 1]
        return replace(self, flows=flows)


def flows_as_planned(curves: GainCurves, inputs: MoneyInputs, plan: PaybackPlan) -> Floats:
    """Cash flows of every replication under some inputs, each taken as the luck of every year."""
    demands = _growing(inputs)
    return _flows(curves, inputs, plan, demands[None], _won(inputs.orders_won_pct / 100, plan, demands)[None])[:, 0]


def worth_of_runs(curves: GainCurves, plan: PaybackPlan) -> Worth:
    """Each replication taken as the luck of every year: what the interval of the mean rests on."""
    return _worth([_cash(curves, plan.inputs, plan)])


def worth_by_luck(curves: GainCurves, plan: PaybackPlan, seed: int) -> Worth:
    """Lives with luck drawn year by year, the inputs as planned."""
    cash = _cash(curves, plan.inputs, plan)
    return _worth([cash.drawn(_draws(cash.flows.shape[0], cash.flows.shape[2] - 1, seed))])


def worth_with_doubt(curves: GainCurves, plan: PaybackPlan, seed: int) -> tuple[Worth, Worth, float]:
    """Samples of all ranges: with the mean of the replications, and with luck drawn year by year; and in what share of
    them demand leaves what was run."""
    made, cut_off = [], 0
    for values in latin_hypercube(plan.ranges, SAMPLES, seed):
        inputs = replace(plan.inputs, **dict(zip((one.name for one in plan.ranges), values, strict=True)))
        cut_off += leaves_what_was_run(curves, inputs)
        made.append(_cash(curves, inputs, plan))
    longest = max(cash.flows.shape[2] for cash in made) - 1
    draws = _draws(made[0].flows.shape[0], longest, seed)
    alone = _worth([cash.mean() for cash in made])
    both = _worth([cash.drawn(draws[i : i + 1]) for i, cash in enumerate(made)])
    return alone, both, cut_off / len(made)


def worth_at_demands(curves: GainCurves, plan: PaybackPlan) -> dict[float, tuple[float, ...]]:
    """The net present value of each replication by demand, which is the same every year, orders won as planned."""
    cash = _cash(curves, plan.inputs, plan)
    return dict(zip(cash.demands.tolist(), _npv_by_row(cash, 1), strict=False))


def worth_by_orders_won(curves: GainCurves, plan: PaybackPlan) -> dict[float, tuple[float, ...]]:
    """The net present value of each replication by the share of orders won, demand as planned."""
    cash = _cash(curves, plan.inputs, plan)
    return dict(zip(cash.won.tolist(), _npv_by_row(cash, 1 + len(cash.demands)), strict=True))


def _npv_by_row(cash: _Cash, first: int) -> list[tuple[float, ...]]:
    rate = cash.inputs.discount_pct / 100
    rows = range(first, cash.flows.shape[1])
    return [tuple(npv_cu(rate, flows) for flows in cash.flows[:, row].tolist()) for row in rows]


def leaves_what_was_run(curves: GainCurves, inputs: MoneyInputs) -> bool:
    """Whether growth or orders won lead beyond the demands at which base and option were run."""
    last, won = last_demand(inputs), inputs.orders_won_pct / 100
    same, option = curves.same.factors, curves.option.factors
    return not (same[0] <= last <= same[-1] and with_won(max(1.0, last), won) <= option[-1])


def tornado(curves: GainCurves, plan: PaybackPlan) -> tuple[Bar, ...]:
    """One bar a range, the longest first."""
    bars = []
    for doubt in plan.ranges:
        ends = []
        for value in (doubt.low, doubt.high):
            inputs = replace(plan.inputs, **{doubt.name: value})
            flows = flows_as_planned(curves, inputs, plan).mean(axis=0).tolist()
            ends.append(npv_cu(inputs.discount_pct / 100, flows))
        bars.append(Bar(doubt, ends[0], ends[1]))
    return tuple(sorted(bars, key=lambda bar: -bar.swing_cu))


def _cash(curves: GainCurves, inputs: MoneyInputs, plan: PaybackPlan) -> _Cash:
    planned, years = _growing(inputs), math.ceil(inputs.life_years)
    demands = np.array(curves.same.factors)
    won = np.array([0.0, *(round(factor - 1, 12) for factor in curves.option.factors if factor > 1)])
    share = inputs.orders_won_pct / 100
    at = np.vstack([planned, np.repeat(demands[:, None], years, axis=1), np.tile(planned, (len(won), 1))])
    shares = np.array([share, *[share] * len(demands), *won])
    on_top = np.array([_won(each, plan, planned) for each in shares])
    return _Cash(inputs, _flows(curves, inputs, plan, at, on_top), demands, won)


def _growing(inputs: MoneyInputs) -> Floats:
    years = np.arange(math.ceil(inputs.life_years))
    return np.power(1 + inputs.growth_pct_per_year / 100, years, dtype=np.float64)


def _won(share: float, plan: PaybackPlan, demands: Floats) -> Floats:
    """Orders won of each year, from few at first to all of them."""
    if not share:
        return np.zeros_like(demands)
    return share * np.array([won_share(plan.orders_won_weeks, year) for year in range(1, len(demands) + 1)])


def _flows(curves: GainCurves, inputs: MoneyInputs, plan: PaybackPlan, demands: Floats, won: Floats) -> Floats:
    """By replication, row and year; `demands` and `won` by row and year."""
    spending = replace(
        plan.spending, once_cu=inputs.once_cu, resale_cu=inputs.resale_cu, life_years=inputs.life_years,
        per_year_cu=inputs.per_year_cu,
    )  # fmt: skip
    prices = dict.fromkeys(PARTS, 1.0)
    for name, parts in _LEVELS.items():
        for part in parts:
            prices[part] *= getattr(inputs, name) / 100
    gains = curves.at(demands.ravel(), won.ravel(), _gain_levels(curves, prices, inputs.gain_pct / 100), prices)
    rows, years = demands.shape
    flows = cash_flows(gains.reshape(-1, years), spending, plan.tax_share)
    return flows.reshape(-1, rows, years + 1)


def _gain_levels(curves: GainCurves, prices: Mapping[str, float], come_true: float) -> dict[str, float]:
    """Levels of the gain of which a part comes true: sales and penalties, and what is bought for sales that come or do
    not. Other cloth of the gain, as that of longer tails, is used in any case."""
    bought = sum(prices[part] * each for part, each in curves.bought_for_sales.items())
    sales = prices["sales"] * come_true + bought * (come_true - 1)
    return {**prices, "sales": sales, "late_penalties": prices["late_penalties"] * come_true}


def _draws(count: int, years: int, seed: int) -> NDArray[np.int64]:
    """A replication for each year of each life; a longer life has the same first years."""
    return stream(seed, 0, "payback/luck").integers(0, count, (years, SAMPLES)).T


def _worth(cases: Sequence[_Cash]) -> Worth:
    """All replications of all cases; shorter lives end in flows of 0."""
    longest = max(cash.flows.shape[2] for cash in cases)
    flows = [np.pad(cash.planned, ((0, 0), (0, longest - cash.flows.shape[2]))) for cash in cases]
    rows = [(cash, one) for cash in cases for one in cash.flows.tolist()]
    rates = [cash.inputs.discount_pct / 100 for cash, _ in rows]
    values = [[npv_cu(rate, row) for row in one] for rate, (_, one) in zip(rates, rows, strict=True)]
    last = len(cases[0].demands) + 1
    return Worth(
        np.concatenate(flows),
        tuple(each[0] for each in values),
        tuple(payback_years(one[0]) for _, one in rows),
        tuple(payback_years(one[0], rate) for rate, (_, one) in zip(rates, rows, strict=True)),
        tuple(_irr_pct(one[0]) for _, one in rows),
        tuple(_from(cash.demands, each[1:last]) for (cash, _), each in zip(rows, values, strict=True)),
        tuple(_from(cash.won * 100, each[last:]) for (cash, _), each in zip(rows, values, strict=True)),
    )


def _from(xs: Floats, values: Sequence[float]) -> float:
    """From which x on values lie above 0, straight in between."""
    estimate, beyond = crossing(xs, -np.array(values))
    return beyond * math.inf if estimate is None else estimate


def _irr_pct(flows: Sequence[float]) -> float:
    try:
        return irr(flows) * 100
    except ValueError:
        return math.inf if sum(flows) > 0 else -math.inf
