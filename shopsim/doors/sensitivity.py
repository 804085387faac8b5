"""`shopsim sensitivity`: what the answer hangs on among the inputs somebody is unsure of."""

from __future__ import annotations

import argparse
import sys
from typing import Any

from pydantic import ValidationError

from shopsim import __version__
from shopsim.doors.study import NOT_SETTLED, option_of, study_runner, study_shop
from shopsim.doors.writing import TO_STDOUT, bounds, console, write_json
from shopsim.errors import InputError, Problem
from shopsim.measures.measure_names import UNITS
from shopsim.sentences import Answer
from shopsim.sentences.comparison import base_name
from shopsim.sentences.doubting import hangs_on
from shopsim.shop.located_faults import faults_of
from shopsim.shop.ranges_file import InputRange, Unsure, check_ranges, load_ranges
from shopsim.shop.scenario import Scenario
from shopsim.studies.sensitivity import Sensitivity, SensitivityPlan, sensitivity
from shopsim.terminal.sensitivity_page import print_sensitivity

# Replications at each point, by method: what is changed meets the same orders, so few tell much.
_COUNTS = {"bars": 6, "morris": 3, "sobol": 1}


def run(arguments: argparse.Namespace) -> int:
    """Run the shop over the ranges and show or write the answer; returns 3 if no input can be told to matter."""
    shop = study_shop(arguments)
    if base_name(arguments.measure) not in UNITS:
        message = f"there is no measure {arguments.measure!r}; see `run --json`"
        raise InputError([Problem("", None, None, "--measure", message)])
    ranges = _ranges(arguments, shop.scenario)
    plan = SensitivityPlan(
        arguments.method, arguments.measure, arguments.replications or _COUNTS[arguments.method],
        arguments.trajectories, arguments.samples,
    )  # fmt: skip
    count = len(ranges)
    sys.stderr.write(f"{count} inputs take {plan.points(count):,} shops, {plan.runs(count):,} replications in all\n")
    with study_runner(arguments) as runner:
        found = sensitivity(runner, option_of("as it stands", shop), ranges, plan)
    answer = hangs_on(found)
    if arguments.json:
        write_json(as_json(arguments.scenario, found, answer), arguments.json)
    if arguments.json != TO_STDOUT:
        print_sensitivity(console(), found, answer)
    return 0 if found.settled else NOT_SETTLED


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


def as_json(name: str, found: Sensitivity, answer: Answer) -> dict[str, Any]:
    """The answer for programs; `name` is the scenario as it was given."""
    study = found.base.scenario.study
    return {
        "scenario": name,
        "scenario_hash": found.base.scenario.content_hash,
        "version": __version__,
        "seed": study.seed,
        "replications": found.plan.count,
        "points": found.plan.points(len(found.ranges)),
        "confidence": study.confidence_pct / 100,
        "sentence": answer.sentence,
        "below": answer.below,
        "settled": found.settled,
        "measure": found.plan.measure,
        "method": found.plan.method,
        "without_doubt": bounds(found.without_doubt),
        "with_doubt": bounds(found.with_doubt),
        "inputs": [_input(found, i) for i in found.ranking()],
    }


def _input(found: Sensitivity, i: int) -> dict[str, Any]:
    one = found.ranges[i]
    about: dict[str, Any] = {**one.given.model_dump(), "now": one.now, "matters": found.matters(i)}
    if found.bars:
        bar = found.bars[i]
        about |= {"at_low": bounds(bar.at_low), "at_high": bounds(bar.at_high), "swing": bounds(bar.swing)}
    if found.screened:
        screened = found.screened[i]
        about |= {
            "mean_absolute_effect": bounds(screened.mean_absolute), "mean_effect": screened.mean,
            "deviation_of_effects": screened.deviation,
        }  # fmt: skip
    if found.shares:
        for kind in ("first", "total"):
            index = getattr(found.shares[i], kind)
            about[f"{kind}_order"] = {"mean": index.estimate, "low": index.low, "high": index.high}
    return about
