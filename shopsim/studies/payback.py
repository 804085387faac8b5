"""Does an investment pay: net present value, internal rate, payback and break-even demand as distributions.

Replication k of option and base meet the same orders, and the option those as well that it wins: the same draws,
closer together. Its difference, taken as that of every year, gives one cash flow; the interval *of the mean* tells how
well the mean of these is known, a t interval that shrinks with more replications. How cases spread, by luck and by
doubt about inputs, is in `worth`.

Whether the shop's weeks stand for the year is the user's to say: gains a week are multiplied by 365.25 / 7, those that
go with orders as means over the weeks in which orders come in (`order_weeks`): a year has no weeks in which a book has
ended.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from shopsim.studies.cash_flow import Floats, GainCurves, MoneyCurves, with_won, yearly_books
from shopsim.studies.demand_scaling import scaled
from shopsim.studies.option import Option
from shopsim.studies.order_weeks import order_weeks
from shopsim.studies.payback_inputs import PaybackPlan, last_demand
from shopsim.studies.precision import Interval, interval
from shopsim.studies.replicate import Replications
from shopsim.studies.replication import Replication
from shopsim.studies.root_finding import Asked, Root, RootPlan, find_roots, root_of
from shopsim.studies.runner import Ask, Runner
from shopsim.studies.worth import (
    Bar,
    Worth,
    tornado,
    worth_at_demands,
    worth_by_luck,
    worth_by_orders_won,
    worth_of_runs,
    worth_with_doubt,
)

LOWEST, HIGHEST = 0.6, 1.5
# Orders won are looked for up to half of today's, or so much beyond what is planned.
_MOST_WON, _BEYOND_PLAN = 0.5, 1.5
_WON_AT_FIRST = (0.0, 0.1, 0.2)
# Growth is followed this far; what is told of further demand is told as the gain there.
_LEAST_DEMAND, _MOST_DEMAND = 0.3, 3.0
_CLOSENESS = 0.005
_STEPS_PER_YEAR = 4


@dataclass(frozen=True, slots=True)
class TakenAnyway:
    """The shop as it stands with the orders that the option would win: how many go out on time, and what the option is
    worth against that, with as many orders every year."""

    on_time: Interval
    npv: Interval


@dataclass(frozen=True, slots=True)
class Payback:
    """What came out. `runs` is one case a replication, `npv` their mean with its interval, `without_won` the same if no
    order is won (None where none is planned), `pays_back_after` the year by which the mean flows have come back
    (falling outside the life: no estimate), `breaks_even_at` the multiple of today's demand, the same every year, and
    `orders_won_needed` the share of orders won from which on the mean net present value is above 0; `tornado` the bars
    from the longest. `luck`, `doubt` and `with_doubt` (both) are the spreads of `worth`; `cut_off_share` is the share
    of doubtful cases in which demand leaves what was run, where the gain is taken as at the last of it.
    `on_time_now` is the base at today's demand, `on_time_then` the option at it with the orders won; `taken_anyway` is
    what to compare with if the shop took these orders as it stands (None where none is planned); `runs_now` and
    `runs_then` are the runs of either.
    """

    base: Option
    option: Option
    plan: PaybackPlan
    curves: GainCurves
    gain_per_year: Interval
    runs: Worth
    npv: Interval
    without_won: Interval | None
    pays_back_after: Root
    discounted_pays_back_after: Root
    breaks_even_at: Root
    orders_won_needed: Root
    tornado: tuple[Bar, ...]
    luck: Worth
    doubt: Worth
    with_doubt: Worth
    cut_off_share: float
    on_time_now: Interval
    on_time_then: Interval
    taken_anyway: TakenAnyway | None
    runs_now: Replications
    runs_then: Replications

    @property
    def settled(self) -> bool:
        """Whether the runs tell if the mean net present value lies above or below 0."""
        return self.npv.sign != 0


def payback(runner: Runner, base: Option, option: Option, plan: PaybackPlan) -> Payback:
    """Run base and option at several demands and work out what the option is worth. Raises as `growth`."""
    runs = _Runs(runner, base, option, plan.count)
    study = base.scenario.study
    even, needed = _break_even(runs, plan, study.confidence_pct), _orders_needed(runs, plan, study.confidence_pct)
    curves = runs.curves()
    found = worth_of_runs(curves, plan)
    same, won = curves.parts(plan.won)
    doubt, with_doubt, cut_off = worth_with_doubt(curves, plan, study.seed)
    return Payback(
        base, option, plan, curves, interval((same + won).sum(axis=1).tolist(), study.confidence_pct), found,
        interval(found.npv_cu, study.confidence_pct), _without_won(curves, plan, study.confidence_pct),
        _back_after(found.flows_cu, 0.0, study.confidence_pct),
        _back_after(found.flows_cu, plan.discount_pct / 100, study.confidence_pct), even, needed, tornado(curves, plan),
        worth_by_luck(curves, plan, study.seed), doubt, with_doubt, cut_off,
        runs.on_time(base, 1.0), runs.on_time(option, with_won(1.0, plan.won)),
        _taken_anyway(runs, curves, plan, study.confidence_pct), runs.at(base, 1.0),
        runs.at(option, with_won(1.0, plan.won)),
    )  # fmt: skip


class _Runs:
    """Base and option at multiples of today's demand, each run once."""

    def __init__(self, runner: Runner, base: Option, option: Option, count: int) -> None:
        self._runner = runner
        self.base = base
        self._option = option
        self._count = count
        self._found: dict[tuple[str, float], tuple[Replication, ...]] = {}

    def run(self, same: Iterable[float], option: Iterable[float]) -> None:
        """Base and option at the same demands, and the option alone at others."""
        wanted = [(which, factor) for factor in sorted(set(same)) for which in (self._option, self.base)]
        wanted += [(self._option, factor) for factor in sorted(set(option) - set(same))]
        new = [(which, factor) for which, factor in wanted if (_side(which, self.base), factor) not in self._found]
        found = self._runner.run([Ask(scaled(which, factor), self._count) for which, factor in new])
        for (which, factor), rows in zip(new, found, strict=True):
            self._found[_side(which, self.base), factor] = rows

    def curves(self) -> GainCurves:
        """All that was run so far."""
        level = {_side(which, self.base): order_weeks(which).per_order_week for which in (self.base, self._option)}
        books = {key: yearly_books(rows, level[key[0]]) for key, rows in sorted(self._found.items())}
        same = tuple(factor for side, factor in books if side == _BASE)
        option = tuple(factor for side, factor in books if side == _OPTION)
        gains = [books[_OPTION, factor] - books[_BASE, factor] for factor in same]
        return GainCurves(
            MoneyCurves(same, np.array(gains)), MoneyCurves(option, np.array([books[_OPTION, each] for each in option]))
        )

    def at(self, which: Option, factor: float) -> Replications:
        """What was run of one of the two at a demand."""
        return Replications(which.scenario, self._found[_side(which, self.base), factor])

    def on_time(self, which: Option, factor: float) -> Interval:
        """The share of orders that go out on time."""
        return self.at(which, factor).interval("measures", "on_time_share")


_BASE, _OPTION = "base", "option"


def _side(which: Option, base: Option) -> str:
    return _BASE if which is base else _OPTION


def _break_even(runs: _Runs, plan: PaybackPlan, confidence_pct: float) -> Root:
    """From which demand on, the same every year, the mean is worth more than nothing."""

    def npv_at(asks: Sequence[Asked]) -> list[tuple[float, ...]]:
        demands = [factor for _, factor, _ in asks]
        runs.run(demands, [with_won(factor, plan.won) for factor in demands])
        found = worth_at_demands(runs.curves(), plan)
        return [found[factor] for factor in demands]

    last = min(max(last_demand(plan.inputs), _LEAST_DEMAND), _MOST_DEMAND)
    look = RootPlan(
        tuple(sorted({*plan.factors, 1.0, with_won(1.0, plan.won), last})), _CLOSENESS, LOWEST, HIGHEST, plan.count,
        confidence_pct=confidence_pct, falling=False,
    )  # fmt: skip
    return find_roots(npv_at, ["npv"], 0.0, look)["npv"]


def _orders_needed(runs: _Runs, plan: PaybackPlan, confidence_pct: float) -> Root:
    """From which share of orders won on, at the demand planned, the mean is worth more than nothing."""
    reached = {1.0, min(max(last_demand(plan.inputs), _LEAST_DEMAND), _MOST_DEMAND)}

    def npv_at(asks: Sequence[Asked]) -> list[tuple[float, ...]]:
        shares = [share for _, share, _ in asks]
        runs.run([], [with_won(demand, share) for demand in sorted(reached) for share in shares])
        found = worth_by_orders_won(runs.curves(), plan)
        return [found[share] for share in shares]

    best = [one.high / 100 for one in plan.ranges if one.name == "orders_won_pct"]
    grid = sorted({0.0, plan.won, *best}) if plan.won else _WON_AT_FIRST
    look = RootPlan(
        tuple(round(share, 12) for share in grid), _CLOSENESS, 0.0, max(_MOST_WON, round(_BEYOND_PLAN * max(grid), 12)),
        plan.count, confidence_pct=confidence_pct, falling=False,
    )  # fmt: skip
    return find_roots(npv_at, ["npv"], 0.0, look)["npv"]


def _without_won(curves: GainCurves, plan: PaybackPlan, confidence_pct: float) -> Interval | None:
    return interval(worth_by_orders_won(curves, plan)[0.0], confidence_pct) if plan.won else None


def _taken_anyway(runs: _Runs, curves: GainCurves, plan: PaybackPlan, confidence_pct: float) -> TakenAnyway | None:
    if not plan.won:
        return None
    then = with_won(1.0, plan.won)
    alike = worth_at_demands(curves, replace(plan, orders_won_pct=0.0, ranges=()))
    return TakenAnyway(runs.on_time(runs.base, then), interval(alike[then], confidence_pct))


def _back_after(flows: Floats, rate: float, confidence_pct: float) -> Root:
    """Where the cash gathered by all replications crosses 0 on its way up, each year's flow taken as even."""
    years = flows.shape[1] - 1
    gathered = np.cumsum(flows / (1 + rate) ** np.arange(years + 1), axis=1)
    at = np.arange(years * _STEPS_PER_YEAR + 1) / _STEPS_PER_YEAR
    curve = {float(t): [float(np.interp(t, np.arange(years + 1), row)) for row in gathered] for t in at}
    return root_of(curve, 0.0, confidence_pct, falling=False)
