"""Does an investment pay: net present value, internal rate, payback and break-even demand as distributions.

Two kinds of spread are kept apart. *Over runs*: replication k of option and base meet the same orders; its difference,
taken as that of every year, gives one cash flow, and the flows of all replications show what one season's luck does.
*Of the mean*: how well the mean of these is known, a t interval that shrinks with more replications. *With doubt* adds
inputs given as ranges, sampled by Latin hypercube, each sample with the luck of one replication.

Whether the shop's weeks stand for the year is the user's to say: gains a week are multiplied by 365.25 / 7.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from shopsim.craft.finance import irr, npv_cu, payback_years
from shopsim.studies.cash_flow import PARTS, Floats, GainCurves, Spending, cash_flows, yearly_gains
from shopsim.studies.demand_scaling import scaled
from shopsim.studies.input_ranges import Range, latin_hypercube
from shopsim.studies.option import Option
from shopsim.studies.precision import Interval, interval
from shopsim.studies.root_finding import Asked, Root, RootPlan, find_roots, root_of
from shopsim.studies.runner import Ask, Runner

FACTORS = (0.8, 1.0, 1.2)
LOWEST, HIGHEST = 0.6, 1.5
# Growth is followed this far; what is told of further demand is told as the gain there.
_LEAST_DEMAND, _MOST_DEMAND = 0.3, 3.0
_CLOSENESS = 0.005
SAMPLES = 1024
_STEPS_PER_YEAR = 4
# Which level moves which parts of the gain.
_LEVELS = {
    "gain_pct": ("sales", "late_penalties", "material", "other"), "sales_price_pct": ("sales", "late_penalties"),
    "material_price_pct": ("material",), "energy_price_pct": ("energy",), "wages_pct": ("labour",),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class MoneyInputs:
    """The inputs of the arithmetic, each of which may be given as a range by its name.

    Spending as in `Spending`; `discount_pct` and `growth_pct_per_year` (of demand) a year; `gain_pct` is how much of
    the extra sales and avoided penalties comes true, with the cloth, ink and freight that go with them; the others are
    levels of prices, 100 as in the scenario.
    """

    once_cu: float
    resale_cu: float
    life_years: float
    per_year_cu: float
    discount_pct: float = 8.0
    growth_pct_per_year: float = 0.0
    gain_pct: float = 100.0
    sales_price_pct: float = 100.0
    material_price_pct: float = 100.0
    energy_price_pct: float = 100.0
    wages_pct: float = 100.0


@dataclass(frozen=True, slots=True)
class PaybackPlan:
    """How much to run, and what is taken for granted; `ranges` are named as the fields of `MoneyInputs`.

    Gains are run at `factors` of today's demand, at today's, and at the one that growth leads to in the last year.
    """

    count: int
    spending: Spending
    discount_pct: float = 8.0
    growth_pct_per_year: float = 0.0
    tax_share: float = 0.0
    ranges: tuple[Range, ...] = ()
    factors: tuple[float, ...] = FACTORS

    @property
    def inputs(self) -> MoneyInputs:
        """The values without any doubt."""
        s = self.spending
        return MoneyInputs(
            s.once_cu, s.resale_cu, s.life_years, s.per_year_cu, self.discount_pct, self.growth_pct_per_year
        )


def last_demand(inputs: MoneyInputs) -> float:
    """The multiple of today's demand that growth leads to in the last year of the life; the first year has today's."""
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
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Worth:
    """Cash flows and what they are worth, one of each a replication or sample.

    `payback_years` are infinite where the money does not come back within the life, `irr_pct` minus infinity where no
    rate makes the flows worth 0.
    """

    flows_cu: Floats
    npv_cu: tuple[float, ...]
    payback_years: tuple[float, ...]
    discounted_payback_years: tuple[float, ...]
    irr_pct: tuple[float, ...]

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
class Payback:
    """What came out. `runs` is the spread over replications, `npv` the mean with its interval, `pays_back_after` the
    year by which the mean flows have come back (falling outside the life: no estimate), `breaks_even_at` the multiple
    of today's demand at which the mean net present value is 0, `tornado` the bars from the longest, `with_doubt` the
    spread over samples of all ranges and the luck of the runs together. `cut_off_share` is the share of these in which
    growth leads beyond the demands run, where the gain is taken as at the last of them.
    """

    base: Option
    option: Option
    plan: PaybackPlan
    curves: GainCurves
    gain_per_year: Interval
    runs: Worth
    npv: Interval
    pays_back_after: Root
    discounted_pays_back_after: Root
    breaks_even_at: Root
    tornado: tuple[Bar, ...]
    with_doubt: Worth
    cut_off_share: float

    @property
    def settled(self) -> bool:
        """Whether the runs tell if the mean net present value lies above or below 0."""
        return self.npv.sign != 0


def payback(runner: Runner, base: Option, option: Option, plan: PaybackPlan) -> Payback:
    """Run base and option at several demands and work out what the option is worth. Raises as `growth`.

    Raises ValueError for ranges whose name is none of `MoneyInputs`.
    """
    unknown = [one.name for one in plan.ranges if one.name not in MoneyInputs.__slots__]
    if unknown:
        raise ValueError(f"no input of the payback: {', '.join(unknown)}; known: {', '.join(MoneyInputs.__slots__)}")
    gains: dict[float, Floats] = {}

    def npv_at(asks: Sequence[Asked]) -> list[tuple[float, ...]]:
        each = [Ask(scaled(which, factor), count) for _, factor, count in asks for which in (option, base)]
        found = runner.run(each)
        values = []
        for i, (_, factor, _) in enumerate(asks):
            gains[factor] = yearly_gains(found[2 * i], found[2 * i + 1])
            curve = GainCurves((factor,), gains[factor][None])
            level = replace(plan.inputs, growth_pct_per_year=0.0)
            values.append(_worth(_flows(curve, level, plan), level.discount_pct).npv_cu)
        return values

    study = base.scenario.study
    last = min(max(last_demand(plan.inputs), _LEAST_DEMAND), _MOST_DEMAND)
    look = RootPlan(
        tuple(sorted({*plan.factors, 1.0, last})), _CLOSENESS, LOWEST, HIGHEST, plan.count,
        confidence_pct=study.confidence_pct, falling=False,
    )  # fmt: skip
    even = find_roots(npv_at, ["npv"], 0.0, look)["npv"]
    factors = tuple(sorted(gains))
    curves = GainCurves(factors, np.array([gains[factor] for factor in factors]))
    runs = _worth(_flows(curves, plan.inputs, plan), plan.discount_pct)
    return Payback(
        base, option, plan, curves, interval(gains[1.0].sum(axis=1).tolist(), study.confidence_pct), runs,
        interval(runs.npv_cu, study.confidence_pct), _back_after(runs.flows_cu, 0.0, study.confidence_pct),
        _back_after(runs.flows_cu, plan.discount_pct / 100, study.confidence_pct), even,
        _tornado(curves, plan), *_with_doubt(curves, plan, study.seed),
    )  # fmt: skip


def _flows(curves: GainCurves, inputs: MoneyInputs, plan: PaybackPlan) -> Floats:
    """Cash flows of every replication under some inputs."""
    spending = replace(
        plan.spending, once_cu=inputs.once_cu, resale_cu=inputs.resale_cu, life_years=inputs.life_years,
        per_year_cu=inputs.per_year_cu,
    )  # fmt: skip
    years = math.ceil(inputs.life_years)
    growth = 1 + inputs.growth_pct_per_year / 100
    levels = dict.fromkeys(PARTS, 1.0)
    for name, parts in _LEVELS.items():
        for part in parts:
            levels[part] *= getattr(inputs, name) / 100
    gains = curves.at([growth**year for year in range(years)], levels)
    return cash_flows(gains, spending, plan.tax_share)


def _worth(flows: Floats, discount_pct: float, with_rates: bool = True) -> Worth:
    rate, rows = discount_pct / 100, flows.tolist()
    return Worth(
        flows,
        tuple(npv_cu(rate, row) for row in rows),
        tuple(payback_years(row) for row in rows),
        tuple(payback_years(row, rate) for row in rows),
        tuple(_irr_pct(row) for row in rows) if with_rates else (),
    )


def _irr_pct(flows: Sequence[float]) -> float:
    try:
        return irr(flows) * 100
    except ValueError:
        return -math.inf


def _back_after(flows: Floats, rate: float, confidence_pct: float) -> Root:
    """Where the cash gathered by all replications crosses 0 on its way up, each year's flow taken as even."""
    years = flows.shape[1] - 1
    gathered = np.cumsum(flows / (1 + rate) ** np.arange(years + 1), axis=1)
    at = np.arange(years * _STEPS_PER_YEAR + 1) / _STEPS_PER_YEAR
    curve = {float(t): [float(np.interp(t, np.arange(years + 1), row)) for row in gathered] for t in at}
    return root_of(curve, 0.0, confidence_pct, falling=False)


def _tornado(curves: GainCurves, plan: PaybackPlan) -> tuple[Bar, ...]:
    bars = []
    for doubt in plan.ranges:
        ends = []
        for value in (doubt.low, doubt.high):
            inputs = replace(plan.inputs, **{doubt.name: value})
            flows = _flows(curves, inputs, plan).mean(axis=0).tolist()
            ends.append(npv_cu(inputs.discount_pct / 100, flows))
        bars.append(Bar(doubt, ends[0], ends[1]))
    return tuple(sorted(bars, key=lambda bar: -bar.swing_cu))


def _with_doubt(curves: GainCurves, plan: PaybackPlan, seed: int) -> tuple[Worth, float]:
    """Samples of all ranges, the replications taken in turn; and in what share of them demand was not run so far."""
    n, cut_off = curves.gains.shape[1], 0
    parts = []
    for i, values in enumerate(latin_hypercube(plan.ranges, SAMPLES, seed)):
        inputs = replace(plan.inputs, **dict(zip((one.name for one in plan.ranges), values, strict=True)))
        cut_off += not curves.factors[0] <= last_demand(inputs) <= curves.factors[-1]
        one = GainCurves(curves.factors, curves.gains[:, i % n : i % n + 1])
        parts.append(_worth(_flows(one, inputs, plan), inputs.discount_pct, with_rates=False))
    longest = max(part.flows_cu.shape[1] for part in parts)
    flows = np.concatenate([np.pad(p.flows_cu, ((0, 0), (0, longest - p.flows_cu.shape[1]))) for p in parts])
    worth = Worth(
        flows, tuple(p.npv_cu[0] for p in parts), tuple(p.payback_years[0] for p in parts),
        tuple(p.discounted_payback_years[0] for p in parts), (),
    )  # fmt: skip
    return worth, cut_off / len(parts)
