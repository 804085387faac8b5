"""`shopsim fit`: a shop's own records into its scenario, with what each value rests on."""

from __future__ import annotations

import argparse
from pathlib import Path

from shopsim.doors.records_given import records_given
from shopsim.doors.writing import TO_STDOUT, cannot_write, console, write_json
from shopsim.errors import ExportError, InputError, Problem
from shopsim.sentences.fitting import fitted_sentence
from shopsim.shop.file_text import read_text, write_text
from shopsim.shop.scenario_file import parse_scenario
from shopsim.shop.yaml_writing import block
from shopsim.studies.fit_shop import fit_shop, ranges_text


def run(arguments: argparse.Namespace) -> None:
    """Fit a scenario and write it. Raises InputError for bad files, and where there is nothing to fit from."""
    text = read_text(Path(arguments.scenario))
    scenario = parse_scenario(text, arguments.scenario)
    rows = records_given(arguments)
    try:
        fit = fit_shop(scenario, **rows, confidence_pct=arguments.confidence or scenario.study.confidence_pct)
    except ValueError as fault:
        raise ExportError([Problem(", ".join(arguments.orders), None, None, "", str(fault))]) from None
    answer = fitted_sentence(fit)
    if arguments.out:
        _write(arguments.out, fitted_text(text, arguments.scenario, fit, answer))
    if arguments.ranges and not fit.ranges:
        raise InputError([Problem(arguments.ranges, None, None, "--ranges", "nothing was found that has a range")])
    if arguments.ranges:
        _write(arguments.ranges, "\n".join(block(ranges_text(fit), 0)) + "\n")
    if arguments.json:
        write_json(fit_document(arguments.scenario, fit, answer), arguments.json)
    if arguments.json != TO_STDOUT:
        from shopsim.terminal.fit_page import print_fit

        print_fit(console(), fit, answer)


def _write(where: str, text: str) -> None:
    try:
        write_text(Path(where), text)
    except OSError as fault:
        raise cannot_write(where, fault) from None
