"""`shopsim warm-up`: how long the shop takes to settle from empty."""

from __future__ import annotations

import argparse

from shopsim.answers.warm_up import Settles
from shopsim.doors.study import study_shop, tell


def run(arguments: argparse.Namespace) -> int:
    """Show or write the answer; returns 3 if the shop does not settle."""
    return tell(arguments, question(arguments))


def question(arguments: argparse.Namespace) -> Settles:
    """What a command line asks. Raises InputError with every fault of the files."""
    shop = study_shop(arguments)
    return Settles(scenario=arguments.scenario, shop=shop, count=arguments.replications or 10)
