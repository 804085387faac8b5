"""`shopsim match`: does the model agree with what really happened."""

from __future__ import annotations

import argparse

from shopsim.answers.match import MatchesRecord
from shopsim.doors.records_given import records_given
from shopsim.doors.study import study_shop, tell
from shopsim.errors import InputError, Problem
from shopsim.studies.match import MatchPlan
from shopsim.studies.match_luck import Tolerance
from shopsim.studies.match_record import PeriodPlan


def run(arguments: argparse.Namespace) -> int:
    """Run the weeks on record and compare; returns 3 if the record is too short to tell."""
    return tell(arguments, question(arguments))


def question(arguments: argparse.Namespace) -> MatchesRecord:
    """What a command line asks. Raises InputError for bad files and for a record that cannot be compared."""
    if not arguments.orders:
        raise InputError([Problem("", None, None, "--orders", "give the order history with its column `shipped`")])
    if arguments.hold_out and arguments.start == "warm":
        raise InputError([Problem("", None, None, "--start", "warm goes without --hold-out: the weeks before fill it")])
    shop = study_shop(arguments)
    rows = records_given(arguments, shop.scenario)
    asked = MatchesRecord(
        scenario=arguments.scenario, shop=shop, orders=tuple(rows["orders"]), printer_log=tuple(rows["printer_log"]),
        work_log=tuple(rows["work_log"]),
        period=PeriodPlan(arguments.run_in, arguments.hold_out, arguments.start),
        plan=MatchPlan(arguments.replications, Tolerance(arguments.tolerance, arguments.tolerance_points),
                       not arguments.no_causes),
    )  # fmt: skip
    # A record that cannot be compared is told before anything runs.
    _ = asked.record
    return asked
