"""`shopsim payback`: does a change pay, when, and from what demand on."""

from __future__ import annotations

import argparse
from dataclasses import asdict, replace
from typing import TYPE_CHECKING, Any

from shopsim import __version__
from shopsim.doors.study import NOT_SETTLED, option_of, study_runner, study_shop, what_ifs_of, with_what_ifs
from shopsim.doors.writing import TO_STDOUT, bounds, console, write_json
from shopsim.errors import InputError, Problem
from shopsim.sentences import Answer
from shopsim.sentences.paying import paid, quantile
from shopsim.shop.shop_file import Shop
from shopsim.studies.cash_flow import PARTS, Spending, machines_bought, mean_wage_cu_per_h
from shopsim.studies.input_ranges import Range
from shopsim.studies.payback import MoneyInputs, Payback, PaybackPlan, Worth, payback, usual_ranges
from shopsim.terminal.payback_page import print_payback

if TYPE_CHECKING:
    from shopsim.shop.what_if import Spends

_SHARES = (0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95)


def run(arguments: argparse.Namespace) -> int:
    """Work out what a change is worth and show or write it; returns 3 if the runs cannot tell whether it pays."""
    base = study_shop(arguments)
    ((name, changed),) = with_what_ifs(base, arguments.scenario, [arguments.what_if]).items()
    spending = spending_of(_spends(arguments), base, changed)
    count = max(2, arguments.replications or base.scenario.study.replications)
    plan = PaybackPlan(count, spending, arguments.discount, arguments.growth, arguments.tax / 100)
    plan = replace(plan, ranges=_ranges(arguments, plan))
    with study_runner(arguments) as runner:
        found = payback(runner, option_of("as it stands", base), option_of(name, changed), plan)
    answer = paid(found)
    if arguments.json:
        write_json(as_json(arguments.scenario, found, answer), arguments.json)
    if arguments.json != TO_STDOUT:
        print_payback(console(), found, answer)
    return 0 if found.settled else NOT_SETTLED


def _spends(arguments: argparse.Namespace) -> Spends | None:
    files = what_ifs_of(arguments.what_if, arguments.scenario)
    given = [each.spends for each in files if each.spends is not None]
    if len(given) > 1:
        message = "give what all of them cost under `spends` of one of them"
        raise InputError([Problem(arguments.what_if, None, None, "spends", message)])
    return given[0] if given else None


def spending_of(spends: Spends | None, base: Shop, changed: Shop) -> Spending:
    """What a what-if says it costs; price, life and resale by the scenario's machines where it does not say."""
    bought = machines_bought(base.scenario, changed.scenario)
    if spends is None:
        return bought
    own = replace(
        bought, per_year_cu=spends.per_year, training_h=spends.training_h,
        training_cu_per_h=mean_wage_cu_per_h(changed.scenario), ramp_up_weeks=spends.ramp_up_weeks,
        ramp_up_share=spends.ramp_up_speed_pct / 100,
    )  # fmt: skip
    if spends.once:
        own = replace(own, once_cu=spends.once, resale_cu=spends.resale)
    return own if spends.life_years is None else replace(own, life_years=spends.life_years)


def _ranges(arguments: argparse.Namespace, plan: PaybackPlan) -> tuple[Range, ...]:
    given: dict[str, Range] = {}
    for name, low, high in arguments.ranges:
        if name not in MoneyInputs.__slots__:
            known = ", ".join(MoneyInputs.__slots__)
            raise InputError([Problem("", None, None, "--range", f"no input {name!r}; known: {known}")])
        try:
            given[name] = Range(name, low, high)
        except ValueError as fault:
            raise InputError([Problem("", None, None, "--range", str(fault))]) from None
    usual = {} if arguments.only_given else {one.name: one for one in usual_ranges(plan)}
    return tuple({**usual, **given}.values())


def as_json(name: str, found: Payback, answer: Answer) -> dict[str, Any]:
    """The answer for programs; `name` is the scenario as it was given."""
    study = found.base.scenario.study
    at_today = found.curves.gains[found.curves.factors.index(1.0)]
    return {
        "scenario": name,
        "scenario_hash": found.base.scenario.content_hash,
        "version": __version__,
        "option": found.option.name,
        "seed": study.seed,
        "replications": len(found.runs.npv_cu),
        "confidence": study.confidence_pct / 100,
        "sentence": answer.sentence,
        "below": answer.below,
        "settled": found.settled,
        "inputs": {**asdict(found.plan.spending), **asdict(found.plan.inputs), "tax_share": found.plan.tax_share},
        "gain_cu_per_year": {**bounds(found.gain_per_year), "parts": {
            part: float(at_today[:, i].mean()) for i, part in enumerate(PARTS)
        }},
        "flows_cu": found.runs.flows_cu.mean(axis=0).tolist(),
        "npv_cu": bounds(found.npv),
        "pays_back_after_years": _root(found.pays_back_after),
        "discounted_pays_back_after_years": _root(found.discounted_pays_back_after),
        "breaks_even_at_demand": {**_root(found.breaks_even_at), "tried": list(found.breaks_even_at.tried)},
        "runs": _spread(found.runs),
        "with_doubt": _spread(found.with_doubt),
        "tornado": [
            {"input": bar.doubt.name, "low": bar.doubt.low, "high": bar.doubt.high, "npv_at_low_cu": bar.at_low_cu,
             "npv_at_high_cu": bar.at_high_cu}
            for bar in found.tornado
        ],
    }  # fmt: skip


def _root(found: Any) -> dict[str, float | None]:
    return {"mean": found.estimate, "low": found.low, "high": found.high}


def _spread(worth: Worth) -> dict[str, Any]:
    """Values below which a share of all lies; null where the money never comes back, or no rate is found."""
    shares = {
        part: {f"{share:g}": quantile(values, share) for share in _SHARES}
        for part in ("npv_cu", "payback_years", "discounted_payback_years", "irr_pct")
        if (values := getattr(worth, part))
    }
    return {"count": len(worth.npv_cu), "share_paid_back": worth.share_paid_back, "below": shares}
