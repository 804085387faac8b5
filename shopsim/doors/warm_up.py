"""`shopsim warm-up`: how long the shop takes to settle from empty."""

from __future__ import annotations

import argparse

from shopsim import __version__
from shopsim.doors.study import NOT_SETTLED, option_of, study_runner, study_shop
from shopsim.doors.writing import TO_STDOUT, console, write_json
from shopsim.sentences.settled import settled
from shopsim.studies.settling import settling
from shopsim.terminal.settling_page import print_settling


def run(arguments: argparse.Namespace) -> int:
    """Show or write the answer; returns 3 if the shop does not settle."""
    shop = study_shop(arguments)
    with study_runner(arguments) as runner:
        found = settling(runner, option_of("from empty", shop), arguments.replications or 10)
    answer = settled(found, shop.scenario)
    if arguments.json:
        write_json(
            {
                "scenario": arguments.scenario, "version": __version__, "seed": shop.scenario.study.seed,
                "replications": found.replications, "sentence": answer.sentence, "below": answer.below,
                "warm_up_weeks": found.weeks, "orders_in_shop_by_day": list(found.by_day),
                "smoothed": list(found.smoothed),
            },
            arguments.json,
        )  # fmt: skip
    if arguments.json != TO_STDOUT:
        print_settling(console(), found, answer)
    return NOT_SETTLED if found.weeks is None else 0
