"""`shopsim verify`: published values against this installation."""

from __future__ import annotations

import argparse
import os
from collections.abc import Sequence
from typing import Any

from shopsim import __version__
from shopsim.doors.progress import CaseProgress
from shopsim.doors.writing import TO_STDOUT, console, write_json
from shopsim.errors import InputError, Problem
from shopsim.published.case import Case, Finding, Skipped
from shopsim.published.cases import CASES, SKIPPED, run_cases
from shopsim.terminal.verify_page import print_verify, verdict

NOT_AS_PUBLISHED = 1


def run(arguments: argparse.Namespace) -> int:
    """Work out the cases; returns 0 if every value is found as published, else 1."""
    cases, skipped = _chosen(arguments.only)
    workers = arguments.workers or os.cpu_count() or 1
    with CaseProgress(len(cases)) as progress:
        found = {case.id: values for case, values in run_cases(cases, arguments.full, workers, progress.done)}
    in_order = [(case, found[case.id]) for case in cases]
    if arguments.json:
        write_json(_as_json(in_order, skipped, arguments.full), arguments.json)
    if arguments.json != TO_STDOUT:
        print_verify(console(), in_order, skipped, arguments.full, each_value=arguments.values or bool(arguments.only))
    return 0 if all(finding.within for _, values in in_order for finding in values) else NOT_AS_PUBLISHED


def _chosen(only: Sequence[str] | None) -> tuple[list[Case], list[Skipped]]:
    """The cases asked for, all if none are named; whether ids are written large or small makes no difference."""
    if not only:
        return list(CASES), list(SKIPPED)
    asked = [name.strip().upper() for names in only for name in names.split(",")]
    known = {case.id for case in CASES} | {each.id for each in SKIPPED}
    unknown = [name or "without a name" for name in asked if name not in known]
    if unknown:
        raise InputError([Problem("", None, None, "--only", f"there is no case {', '.join(unknown)}")])
    return [case for case in CASES if case.id in asked], [each for each in SKIPPED if each.id in asked]


def _as_json(found: list[tuple[Case, list[Finding]]], skipped: list[Skipped], full: bool) -> dict[str, Any]:
    return {
        "version": __version__,
        "full": full,
        "sentence": verdict(found, full),
        "cases": [
            {
                "id": case.id, "title": case.title, "source": case.source, "tolerance": case.tolerance,
                "left_out": case.left_out, "path": case.path,
                "within": all(finding.within for finding in values),
                "findings": [
                    {
                        "what": finding.what, "expected": finding.expected, "found": finding.found,
                        "allowed": finding.allowed, "half_width": finding.half_width, "widest": finding.widest,
                        "at_least": finding.at_least, "again": finding.again, "loose": finding.loose,
                        "standard_error": finding.error, "at_first": finding.at_first,
                        "standard_errors_apart": finding.errors_apart, "within": finding.within,
                    }
                    for finding in values
                ],
            }
            for case, values in found
        ],
        "skipped": [
            {"id": each.id, "title": each.title, "source": each.source, "reason": each.reason} for each in skipped
        ],
    }  # fmt: skip
