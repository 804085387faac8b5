"""`shopsim growth`: how much more can the shop take on, as it stands and with each change."""

from __future__ import annotations

import argparse
from typing import Any

from shopsim import __version__
from shopsim.doors.study import NOT_SETTLED, option_of, study_runner, study_shop, with_what_ifs
from shopsim.doors.writing import TO_STDOUT, bounds, console, write_json
from shopsim.sentences import Answer
from shopsim.sentences.growing import grown
from shopsim.studies.growth import FACTORS, Growth, GrowthPlan, OptionGrowth, growth
from shopsim.terminal.growth_page import print_growth

_MEASURES = ("on_time_share", "lead_time_p50_h", "lead_time_p90_h", "dispatched_m2_per_week")


def run(arguments: argparse.Namespace) -> int:
    """Run more and less demand and show or write the answer; returns 3 if a break could not be settled."""
    base = study_shop(arguments)
    options = with_what_ifs(base, arguments.scenario, arguments.what_ifs)
    count = max(2, arguments.replications or base.scenario.study.replications)
    factors = FACTORS if arguments.demand is None else tuple(pct / 100 for pct in arguments.demand)
    plan = GrowthPlan(count, factors, arguments.precision, max(count, arguments.at_most))
    with study_runner(arguments) as runner:
        found = growth(
            runner, option_of("as it stands", base), [option_of(name, shop) for name, shop in options.items()], plan
        )
    answer = grown(found)
    if arguments.json:
        write_json(as_json(arguments.scenario, found, answer), arguments.json)
    if arguments.json != TO_STDOUT:
        print_growth(console(), found, answer)
    return 0 if found.settled else NOT_SETTLED


def as_json(name: str, found: Growth, answer: Answer) -> dict[str, Any]:
    """The answer for programs; `name` is the scenario as it was given, demands are shares of today's."""
    scenario = found.base.by_factor[min(found.base.by_factor)].scenario
    return {
        "scenario": name,
        "version": __version__,
        "seed": scenario.study.seed,
        "confidence": found.confidence_pct / 100,
        "sentence": answer.sentence,
        "below": answer.below,
        "settled": found.settled,
        "target": found.target_pct / 100,
        "options": {each.name: _option(each) for each in found.all},
    }


def _option(each: OptionGrowth) -> dict[str, Any]:
    root = each.breaks_at
    ends = {"mean": root.estimate, "low": root.low, "high": root.high}
    return {
        "today": each.today._asdict(),
        "breaks_at": {**ends, "replications": root.n},
        "headroom_pct": {end: each.headroom_pct(x) for end, x in ends.items()},
        "headroom_m2_per_week": {end: each.headroom_m2_per_week(x) for end, x in ends.items()},
        "tried": list(root.tried),
        "held_back_by": each.held_back_by(),
        "curve": [
            {"demand": factor, "replications": len(rows.rows),
             **{name: bounds(rows.interval("measures", name)) for name in _MEASURES}}
            for factor, rows in each.by_factor.items()
        ],
    }  # fmt: skip
