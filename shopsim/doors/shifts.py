"""`shopsim shifts`: shift patterns side by side."""

from __future__ import annotations

import argparse

from shopsim.answers.shifts import ShiftPatterns
from shopsim.doors.compare import asked
from shopsim.doors.study import tell
from shopsim.terminal.shifts_page import print_shifts


def run(arguments: argparse.Namespace) -> int:
    """Compare patterns and show or write the answer; returns 3 if none can be recommended."""
    question = ShiftPatterns(**asked(arguments))
    return tell(arguments, question, lambda out, found, answer: print_shifts(out, found, answer, question.notes()))
