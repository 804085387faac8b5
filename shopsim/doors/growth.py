"""`shopsim growth`: how much more can the shop take on, as it stands and with each change."""

from __future__ import annotations

import argparse

from shopsim.answers.growth import RoomToGrow
from shopsim.doors.study import several_replications, study_shop, tell, with_what_ifs
from shopsim.studies.growth import FACTORS, GrowthPlan


def run(arguments: argparse.Namespace) -> int:
    """Run more and less demand and show or write the answer; returns 3 if a break could not be settled."""
    return tell(arguments, question(arguments))


def question(arguments: argparse.Namespace) -> RoomToGrow:
    """What a command line asks. Raises InputError with every fault of the files."""
    base = study_shop(arguments)
    changed = with_what_ifs(base, arguments.scenario, arguments.what_ifs)
    count = several_replications(arguments, base)
    factors = FACTORS if arguments.demand is None else tuple(pct / 100 for pct in arguments.demand)
    plan = GrowthPlan(count, factors, arguments.precision, max(count, arguments.at_most))
    return RoomToGrow(scenario=arguments.scenario, shop=base, changed=changed, plan=plan)
