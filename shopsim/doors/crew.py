"""`shopsim crew`: the smallest crew that sends the orders out on time."""

from __future__ import annotations

import argparse

from shopsim.answers.crew import SmallestCrew, size_faults
from shopsim.answers.question import changed
from shopsim.doors.study import study_shop, tell
from shopsim.errors import InputError, Problem
from shopsim.shop.shop_file import Shop
from shopsim.shop.what_if import load_what_if
from shopsim.studies.crew import FIRST, CrewPlan, Sizes


def run(arguments: argparse.Namespace) -> int:
    """Try crews and show or write the answer; returns 3 if the question could not be settled."""
    return tell(arguments, question(arguments))


def question(arguments: argparse.Namespace) -> SmallestCrew:
    """What a command line asks. Raises InputError with every fault of the files."""
    shop = study_shop(arguments)
    what_ifs = [load_what_if(name, arguments.scenario) for name in arguments.what_ifs]
    first = changed(shop, what_ifs) if what_ifs else None
    plan = _plan(arguments, first.shop if first else shop)
    return SmallestCrew(scenario=arguments.scenario, shop=shop, changed=first, plan=plan)


def _plan(arguments: argparse.Namespace, shop: Shop) -> CrewPlan:
    sizes = tuple(Sizes(*given) for given in arguments.crews)
    faults = size_faults(sizes, shop.scenario)
    if faults:
        raise InputError([Problem("", None, None, "--crew", fault) for fault in faults])
    target_pct = shop.scenario.study.on_time_target_pct if arguments.target is None else arguments.target
    if arguments.at_most < FIRST:
        message = f"must be at least {FIRST}, the first replications of every crew, found {arguments.at_most}"
        raise InputError([Problem("", None, None, "--at-most", message)])
    return CrewPlan(sizes, target_pct / 100, arguments.tolerance / 100, arguments.by_weeks, arguments.at_most)
