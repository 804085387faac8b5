"""`shopsim sensitivity`: what the answer hangs on among the inputs somebody is unsure of."""

from __future__ import annotations

import argparse
import sys

from pydantic import ValidationError

from shopsim.answers.sensitivity import HangsOn
from shopsim.doors.study import require_measure, study_shop, tell
from shopsim.errors import InputError, Problem
from shopsim.shop.located_faults import faults_of
from shopsim.shop.ranges_file import InputRange, Unsure, check_ranges, load_ranges
from shopsim.shop.scenario import Scenario
from shopsim.studies.sensitivity import SensitivityPlan

# Replications at each point, by method: what is changed meets the same orders, so few tell much; from two on luck can
# be told from inputs.
_COUNTS = {"bars": 6, "morris": 3, "sobol": 2}


def run(arguments: argparse.Namespace) -> int:
    """Run the shop over the ranges and show or write the answer; returns 3 if no input can be told to matter."""
    return tell(arguments, question(arguments))


def question(arguments: argparse.Namespace) -> HangsOn:
    """What a command line asks, with how much work that is on standard error. Raises InputError with every fault."""
    shop = study_shop(arguments)
    require_measure(arguments.measure)
    ranges = _ranges(arguments, shop.scenario)
    plan = SensitivityPlan(
        arguments.method, arguments.measure, arguments.replications or _COUNTS[arguments.method],
        arguments.trajectories, arguments.samples,
    )  # fmt: skip
    count = len(ranges)
    sys.stderr.write(f"{count} inputs take {plan.points(count):,} shops, {plan.runs(count):,} replications in all\n")
    return HangsOn(scenario=arguments.scenario, shop=shop, ranges=ranges, plan=plan)


def _ranges(arguments: argparse.Namespace, scenario: Scenario) -> tuple[Unsure, ...]:
    read = load_ranges(arguments.ranges, scenario) if arguments.ranges else ()
    made = []
    for path, low, high in arguments.given:
        try:
            made.append(InputRange(path=path, low=low, high=high))
        except ValidationError as fault:
            raise InputError(
                Problem("", None, None, f"--range {path}", message) for _, message in faults_of(InputRange, fault)
            ) from None
    given = check_ranges([*(one.given for one in read), *made], scenario, "--range")
    if not given:
        raise InputError([Problem("", None, None, "RANGES", "give a file of ranges, or --range")])
    return given
