"""`shopsim compare`: does a change help, by how much, how sure."""

from __future__ import annotations

import argparse
from typing import Any

from shopsim.answers.comparison import WhatIfHelps, usual_plan
from shopsim.doors.study import require_measure, study_shop, tell, with_what_ifs
from shopsim.measures.measure_names import scale_of
from shopsim.studies.comparison import Plan


def run(arguments: argparse.Namespace) -> int:
    """Compare and show or write the answer; returns 3 if the question could not be settled."""
    return tell(arguments, question(arguments))


def question(arguments: argparse.Namespace) -> WhatIfHelps:
    """What a command line asks. Raises InputError with every fault of the files."""
    return WhatIfHelps(**asked(arguments))


def asked(arguments: argparse.Namespace) -> dict[str, Any]:
    """What a command line says of a comparison. Raises InputError with every fault of the files."""
    base = study_shop(arguments)
    changed = with_what_ifs(base, arguments.scenario, arguments.what_ifs)
    require_measure(arguments.measure)
    plan = _plan(arguments)
    return {
        "scenario": arguments.scenario, "shop": base, "changed": changed, "plan": plan, "measure": arguments.measure
    }  # fmt: skip


def _plan(arguments: argparse.Namespace) -> Plan:
    if arguments.replications:
        return Plan("count", arguments.replications, at_most=arguments.replications)
    if arguments.until_clear:
        return Plan("clear", at_most=arguments.at_most)
    if arguments.precision:
        half_width = arguments.precision / scale_of(arguments.measure)
        return Plan("precision", half_width=half_width, at_most=arguments.at_most)
    return usual_plan(arguments.measure, arguments.at_most)
