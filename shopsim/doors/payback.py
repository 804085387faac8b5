"""`shopsim payback`: does a change pay, when, and from what demand on."""

from __future__ import annotations

import argparse
from dataclasses import replace

from shopsim.answers.payback import PaysBack, orders_won_of, spending_of
from shopsim.doors.study import several_replications, study_shop, tell, with_what_ifs
from shopsim.errors import InputError, Problem
from shopsim.studies.input_ranges import Range
from shopsim.studies.payback_inputs import MoneyInputs, PaybackPlan, usual_ranges


def run(arguments: argparse.Namespace) -> int:
    """Work out what a change is worth and show or write it; returns 3 if the runs cannot tell whether it pays."""
    return tell(arguments, question(arguments))


def question(arguments: argparse.Namespace) -> PaysBack:
    """What a command line asks. Raises InputError with every fault of the files."""
    base = study_shop(arguments)
    (changed,) = with_what_ifs(base, arguments.scenario, [arguments.what_if])
    count = several_replications(arguments, base)
    won_pct, won_weeks = orders_won_of(base, changed)
    plan = PaybackPlan(
        count, spending_of(base, changed), arguments.discount, arguments.growth, arguments.tax / 100,
        orders_won_pct=won_pct if arguments.orders_won is None else arguments.orders_won,
        orders_won_weeks=won_weeks if arguments.orders_won_weeks is None else arguments.orders_won_weeks,
    )  # fmt: skip
    try:
        plan = replace(plan, ranges=_ranges(arguments, plan))
    except ValueError as fault:
        raise InputError([Problem("", None, None, "--range", str(fault))]) from None
    return PaysBack(scenario=arguments.scenario, shop=base, changed=changed, plan=plan)


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
