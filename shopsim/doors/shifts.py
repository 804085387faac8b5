"""`shopsim shifts`: shift patterns side by side."""

from __future__ import annotations

import argparse
from dataclasses import asdict
from typing import Any

from shopsim.doors.compare import Told, compared_options
from shopsim.doors.compare import as_json as comparison_json
from shopsim.doors.study import NOT_SETTLED
from shopsim.doors.writing import TO_STDOUT, console, write_json
from shopsim.sentences import Answer
from shopsim.sentences.shifts import patterns_weighed
from shopsim.studies.shift_patterns import PatternAnswer, judge_patterns
from shopsim.terminal.shifts_page import print_shifts


def run(arguments: argparse.Namespace) -> int:
    """Compare patterns and show or write the answer; returns 3 if none can be recommended."""
    comparison, told = compared_options(arguments)
    found = judge_patterns(comparison)
    answer = patterns_weighed(found)
    if arguments.json:
        write_json(_as_json(arguments.scenario, found, answer, told), arguments.json)
    if arguments.json != TO_STDOUT:
        print_shifts(console(), found, answer, told.notes)
    return NOT_SETTLED if found.recommended is None else 0


def _as_json(name: str, found: PatternAnswer, answer: Answer, told: Told) -> dict[str, Any]:
    return {
        **comparison_json(name, found.comparison, answer, told),
        "recommended": found.recommended,
        "meets_target": list(found.meets),
        "may_be_best_on_time": list(found.best_dates),
        "may_leave_most_over": list(found.best_money),
        "rest_times": {
            pattern.name: [{**asdict(each), "first": each.first.isoformat()} for each in pattern.findings]
            for pattern in found.patterns
        },
    }
