"""`shopsim verify`: published values against this installation, as a table."""

from __future__ import annotations

import argparse
import os
from typing import Any

from shopsim import __version__
from shopsim.doors.progress import CaseProgress
from shopsim.doors.writing import TO_STDOUT, console, write_json
from shopsim.errors import InputError, Problem
from shopsim.published.case import Case, Finding
from shopsim.published.cases import CASES, run_cases
from shopsim.terminal.verify_page import print_verify, verdict

NOT_AS_PUBLISHED = 1


def run(arguments: argparse.Namespace) -> int:
    """Work out the cases; returns 0 if every value is found as published, else 1."""
    cases = _chosen(arguments)
    workers = arguments.workers or os.cpu_count() or 1
    with CaseProgress(len(cases)) as progress:
        found = {case.id: values for case, values in run_cases(cases, arguments.full, workers, progress.done)}
    in_order = [(case, found[case.id]) for case in cases]
    if arguments.json:
        write_json(_as_json(in_order, arguments.full), arguments.json)
    if arguments.json != TO_STDOUT:
        print_verify(console(), in_order)
    return 0 if all(finding.within for _, values in in_order for finding in values) else NOT_AS_PUBLISHED


def _chosen(arguments: argparse.Namespace) -> list[Case]:
    if not arguments.only:
        return [case for case in CASES if case.quick or arguments.full]
    by_id = {case.id: case for case in CASES}
    asked = arguments.only.split(",")
    unknown = [name for name in asked if name not in by_id]
    if unknown:
        raise InputError([Problem("", None, None, "--only", f"there is no case {', '.join(unknown)}")])
    return [case for case in CASES if case.id in asked]


def _as_json(found: list[tuple[Case, list[Finding]]], full: bool) -> dict[str, Any]:
    return {
        "version": __version__,
        "full": full,
        "sentence": verdict(found),
        "cases": [
            {
                "id": case.id, "title": case.title, "source": case.source, "tolerance": case.tolerance,
                "findings": [
                    {
                        "what": finding.what, "expected": finding.expected, "found": finding.found,
                        "allowed": finding.allowed, "standard_error": finding.error,
                        "standard_errors_apart": finding.errors_apart, "within": finding.within,
                    }
                    for finding in values
                ],
            }
            for case, values in found
        ],
    }  # fmt: skip
