"""Does a change pay, when, and from what demand on."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from typing import Any, ClassVar, NamedTuple, Self

from rich.console import Console

from shopsim import __version__
from shopsim.answers.by_run import ByRun
from shopsim.answers.drawn import Drawn, of_payback
from shopsim.answers.plain import bounds, held_back_by, typed, typed_pct
from shopsim.answers.question import (
    AS_IT_STANDS,
    FIRST_SHOWN,
    Changed,
    Document,
    FilesOf,
    Question,
    files_of,
    notes_of,
    option_of,
)
from shopsim.errors import InputError, Problem
from shopsim.sentences import Answer
from shopsim.sentences.paying import paid
from shopsim.sentences.paying_words import orders_per_week, quantile
from shopsim.shop.shop_file import Shop
from shopsim.shop.what_if import Spends
from shopsim.studies.cash_flow import PARTS, Floats, Spending, machines_bought, mean_wage_cu_per_h
from shopsim.studies.demand_scaling import demand_size
from shopsim.studies.order_weeks import order_weeks
from shopsim.studies.payback import Payback, payback
from shopsim.studies.payback_inputs import PaybackPlan
from shopsim.studies.precision import interval
from shopsim.studies.root_finding import Root
from shopsim.studies.runner import Runner
from shopsim.studies.worth import Worth
from shopsim.terminal.payback_page import print_payback

_SHARES = (0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95)


def spending_of(base: Shop, one: Changed) -> Spending:
    """What the what-ifs say they cost; price, life and resale by the machines they add where they do not say.

    Raises InputError if more than one of them says.
    """
    spends = _spends_of(one)
    bought = machines_bought(base.scenario, one.shop.scenario)
    if spends is None:
        return bought
    own = replace(
        bought, per_year_cu=spends.per_year, training_h=spends.training_h,
        training_cu_per_h=mean_wage_cu_per_h(one.shop.scenario), ramp_up_weeks=spends.ramp_up_weeks,
        ramp_up_share=spends.ramp_up_speed_pct / 100,
    )  # fmt: skip
    if spends.once:
        own = replace(own, once_cu=spends.once, resale_cu=spends.resale)
    return own if spends.life_years is None else replace(own, life_years=spends.life_years)


class OrdersWon(NamedTuple):
    """Orders that a change alone brings, in percent of today's, and the weeks until all of them come."""

    pct: float
    weeks: float


def orders_won_of(base: Shop, one: Changed) -> OrdersWon:
    """The orders that the what-ifs say they win; a number a week is told against today's.

    Raises InputError if more than one of them says what it costs and wins, and where there are no orders to count from.
    """
    spends = _spends_of(one)
    if spends is None:
        return OrdersWon(0.0, 0.0)
    if not spends.orders_won_per_week:
        return OrdersWon(spends.orders_won_pct, spends.orders_won_weeks)
    today = demand_size(option_of(AS_IT_STANDS, base)).orders_per_week
    if today <= 0:
        message = "the shop as it stands has no orders that these would come on top of"
        place = files_of(one.what_ifs) or one.name
        raise InputError([Problem(place, None, None, "spends.orders_won_per_week", message)])
    return OrdersWon(round(spends.orders_won_per_week / today * 100, 6), spends.orders_won_weeks)


def _spends_of(one: Changed) -> Spends | None:
    given = [what_if.spends for what_if in one.what_ifs if what_if.spends is not None]
    if len(given) > 1:
        message = "give what all of them cost under `spends` of one of them"
        raise InputError([Problem(files_of(one.what_ifs) or one.name, None, None, "spends", message)])
    return given[0] if given else None


@dataclass(frozen=True, kw_only=True)
class PaysBack(Question[Payback]):
    """What one change is worth over its life; settled where the runs can tell whether it pays."""

    kind: ClassVar = "payback"
    changed: Changed
    plan: PaybackPlan

    @property
    def in_rounds(self) -> bool:
        return True

    def options(self) -> tuple[Changed, ...]:
        return (self.changed,)

    def in_words(self) -> str:
        return f"Does “{self.changed.name}” pay, when, and from what demand on?"

    def command(self, files: FilesOf) -> list[str]:
        plan = self.plan
        doubts = [
            part for one in plan.ranges for part in ("--range", f"{one.name}={typed(one.low)}..{typed(one.high)}")
        ]
        return [
            "payback", self.scenario_file, files(self.changed.what_ifs), "--replications", str(plan.count),
            "--discount", typed(plan.discount_pct), "--growth", typed(plan.growth_pct_per_year),
            "--orders-won", typed(plan.orders_won_pct), "--orders-won-weeks", typed(plan.orders_won_weeks),
            "--tax", typed_pct(plan.tax_share), "--only-given", *doubts,
        ]  # fmt: skip

    def study(self, runner: Runner) -> Payback:
        return payback(runner, option_of(AS_IT_STANDS, self.shop), self.changed.option, self.plan)

    def at_first(self) -> Self | None:
        few = self.plan.count <= FIRST_SHOWN
        return None if few else replace(self, plan=replace(self.plan, count=FIRST_SHOWN))

    def answer(self, found: Payback) -> Answer:
        return paid(found)

    def show(self, console: Console, found: Payback) -> None:
        print_payback(console, found, self.answer(found), notes_of(self.shop, self.changed))

    def pictures(self, found: Payback) -> Iterator[Drawn]:
        return of_payback(
            self.document(found),
            found.with_doubt.npv_cu,
            found.with_doubt.payback_years,
            self.shop.scenario.money.currency,
        )

    def by_run(self, found: Payback) -> ByRun:
        same, won = found.curves.parts(found.plan.won)
        return {found.option.name: {
            "gain_cu_per_year": (same + won).sum(axis=1).tolist(), "npv_cu": list(found.runs.npv_cu),
            "payback_years": list(found.runs.payback_years), "irr_pct": list(found.runs.irr_pct),
            "breaks_even_at_demand": list(found.runs.breaks_even_at),
            "orders_won_needed_pct": list(found.runs.orders_won_needed_pct),
        }}  # fmt: skip

    def settled(self, found: Payback) -> bool:
        return found.settled

    def document(self, found: Payback) -> Document:
        study, answer = found.base.scenario.study, self.answer(found)
        same, won = found.curves.parts(found.plan.won)
        gains = same + won
        return {
            "scenario": self.scenario,
            "scenario_hash": found.base.scenario.content_hash,
            "version": __version__,
            "option": found.option.name,
            "seed": study.seed,
            "replications": len(found.runs.npv_cu),
            "confidence": study.confidence_pct / 100,
            "sentence": answer.sentence,
            "below": answer.below,
            "settled": found.settled,
            "notes": notes_of(self.shop, self.changed),
            "inputs": {
                **asdict(found.plan.spending), **asdict(found.plan.inputs), "tax_share": found.plan.tax_share,
                "orders_won_weeks": found.plan.orders_won_weeks,
            },
            "orders_per_week": orders_per_week(found)._asdict(),
            "order_weeks": {
                "today": order_weeks(found.base)._asdict(), "then": order_weeks(found.option)._asdict(),
            },
            "on_time_share": {"today": bounds(found.on_time_now), "then": bounds(found.on_time_then)},
            "constraint": {
                "today": held_back_by(found.runs_now.constraint()),
                "then": held_back_by(found.runs_then.constraint()),
            },
            "taken_anyway": found.taken_anyway and {
                "on_time_share": bounds(found.taken_anyway.on_time), "npv_cu": bounds(found.taken_anyway.npv),
            },
            "gain_cu_per_year": {
                **bounds(found.gain_per_year), "parts": _parts(gains), "of_it_orders_won": _parts(won),
                "parts_between": {
                    part: bounds(interval(gains[:, i].tolist(), study.confidence_pct))
                    for i, part in enumerate(PARTS)
                },
            },
            "flows_cu": found.runs.flows_cu.mean(axis=0).tolist(),
            "npv_cu": bounds(found.npv),
            "npv_without_orders_won_cu": bounds(found.without_won or found.npv),
            "pays_back_after_years": _root(found.pays_back_after),
            "discounted_pays_back_after_years": _root(found.discounted_pays_back_after),
            "breaks_even_at_demand": _root(found.breaks_even_at),
            "orders_won_needed": _root(found.orders_won_needed),
            "luck": _spread(found.luck),
            "doubt": _spread(found.doubt),
            "with_doubt": {**_spread(found.with_doubt), "share_beyond_demands_run": found.cut_off_share},
            "tornado": [
                {"input": bar.doubt.name, "low": bar.doubt.low, "high": bar.doubt.high, "npv_at_low_cu": bar.at_low_cu,
                 "npv_at_high_cu": bar.at_high_cu}
                for bar in found.tornado
            ],
        }  # fmt: skip


def _parts(gains: Floats) -> Document:
    return {part: float(gains[:, i].mean()) for i, part in enumerate(PARTS)}


def _root(found: Root) -> Document:
    """`beyond` is 1 where it would be later than all that was tried, -1 where it was before, else 0."""
    return {"mean": found.estimate, "low": found.low, "high": found.high, "beyond": found.beyond,
            "tried": list(found.tried)}  # fmt: skip


def _spread(worth: Worth) -> dict[str, Any]:
    """Values below which a share of all lies; null where the money never comes back, or no rate is found.

    Of demand and of orders won null stands for values outside what was run, with the shares of cases that lie there.
    """
    named = {
        "npv_cu": worth.npv_cu, "payback_years": worth.payback_years,
        "discounted_payback_years": worth.discounted_payback_years, "irr_pct": worth.irr_pct,
        "breaks_even_at_demand": worth.breaks_even_at, "orders_won_needed_pct": worth.orders_won_needed_pct,
    }  # fmt: skip
    outside = {
        name: {"below": sum(value == -math.inf for value in named[name]) / len(named[name]),
               "above": sum(value == math.inf for value in named[name]) / len(named[name])}
        for name in ("breaks_even_at_demand", "orders_won_needed_pct")
    }  # fmt: skip
    return {
        "count": len(worth.npv_cu),
        "share_worth_more_than_nothing": sum(value > 0 for value in worth.npv_cu) / len(worth.npv_cu),
        "share_paid_back": worth.share_paid_back,
        "below": {name: {f"{share:g}": quantile(values, share) for share in _SHARES} for name, values in named.items()},
        "share_outside_demands_run": outside,
    }
