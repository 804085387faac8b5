"""`shopsim shifts`: shift patterns side by side."""

from __future__ import annotations

import argparse

from shopsim.answers.shifts import ShiftPatterns
from shopsim.doors.compare import asked
from shopsim.doors.study import tell


def run(arguments: argparse.Namespace) -> int:
    """Compare patterns and show or write the answer; returns 3 if none can be recommended."""
    return tell(arguments, question(arguments))


def question(arguments: argparse.Namespace) -> ShiftPatterns:
    """What a command line asks. Raises InputError with every fault of the files."""
    return ShiftPatterns(**asked(arguments))
