"""`shopsim crew`: the smallest crew that sends the orders out on time."""

from __future__ import annotations

import argparse
from typing import Any

from shopsim import __version__
from shopsim.doors.study import NOT_SETTLED, option_of, study_runner, study_shop, with_what_ifs
from shopsim.doors.writing import TO_STDOUT, bounds, console, write_json
from shopsim.errors import InputError, Problem
from shopsim.sentences import Answer
from shopsim.sentences.crews import crew_found
from shopsim.shop.shop_file import Shop
from shopsim.studies.crew import FIRST, WHOLE, Candidate, CrewAnswer, CrewPlan, Sizes, smallest_crew
from shopsim.terminal.crew_page import print_crew

MOST_CREWS = 100


def run(arguments: argparse.Namespace) -> int:
    """Try crews and show or write the answer; returns 3 if the question could not be settled."""
    shop = study_shop(arguments)
    if arguments.what_ifs:
        (shop,) = with_what_ifs(shop, arguments.scenario, ["+".join(arguments.what_ifs)]).values()
    plan = _plan(arguments, shop)
    with study_runner(arguments) as runner:
        found = smallest_crew(runner, option_of("crews", shop), plan)
    answer = crew_found(found)
    if arguments.json:
        write_json(as_json(arguments.scenario, found, answer), arguments.json)
    if arguments.json != TO_STDOUT:
        print_crew(console(), found, answer)
    return NOT_SETTLED if WHOLE in found.likely else 0


def _plan(arguments: argparse.Namespace, shop: Shop) -> CrewPlan:
    known = [crew.id for crew in shop.scenario.crews]
    faults = []
    for name, _, _ in arguments.crews:
        if name not in known:
            faults.append(f"there is no crew {name!r}; the file has {', '.join(known)}")
    if len({name for name, _, _ in arguments.crews}) < len(arguments.crews):
        faults.append("names a crew twice")
    sizes = tuple(Sizes(*given) for given in arguments.crews)
    count = 1
    for one in sizes:
        count *= one.high - one.low + 1
    if count > MOST_CREWS:
        faults.append(f"asks for {count} crews, at most {MOST_CREWS} can be tried at once")
    if faults:
        raise InputError([Problem("", None, None, "--crew", fault) for fault in faults])
    target_pct = shop.scenario.study.on_time_target_pct if arguments.target is None else arguments.target
    at_most = max(FIRST, arguments.at_most)
    return CrewPlan(sizes, target_pct / 100, arguments.tolerance / 100, arguments.by_weeks, at_most)


def as_json(name: str, found: CrewAnswer, answer: Answer) -> dict[str, Any]:
    """The answer for programs; `name` is the scenario as it was given."""
    study = found.candidates[0].found.scenario.study
    return {
        "scenario": name,
        "version": __version__,
        "seed": study.seed,
        "confidence": study.confidence_pct / 100,
        "target": found.plan.target,
        "tolerance": found.plan.tolerance,
        "sentence": answer.sentence,
        "below": answer.below,
        "enough": {block: None if crew is None else crew.heads for block, crew in found.enough.items()},
        "likely": {
            block: {"heads": crew.heads, "replications_to_tell": runs} for block, (crew, runs) in found.likely.items()
        },
        "crews": [_crew(crew) for crew in found.candidates],
    }


def _crew(crew: Candidate) -> dict[str, Any]:
    top = crew.found.constraint()
    return {
        "heads": crew.heads,
        "pay_per_week": crew.pay_per_week,
        "on_time_share": bounds(crew.found.interval("measures", "on_time_share")),
        "replications": len(crew.found.rows),
        "meets": {block: verdict.meets for block, verdict in crew.verdicts.items()},
        "constraint": {"id": top[0], "share": top[1].mean} if top else None,
    }
