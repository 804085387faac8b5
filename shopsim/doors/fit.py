"""`shopsim fit`: a shop's own records into its scenario, with what each value rests on."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from shopsim.answers.drawn import of_fit
from shopsim.answers.fit import fit_document, fitted_text
from shopsim.doors.records_given import records_given
from shopsim.doors.writing import TO_STDOUT, console, write_file, write_json
from shopsim.errors import ExportError, InputError, Problem
from shopsim.sentences.fitting import fitted_sentence
from shopsim.shop.file_text import read_text
from shopsim.shop.scenario_file import parse_scenario
from shopsim.shop.yaml_writing import block
from shopsim.studies.fit_shop import fit_shop, ranges_text
from shopsim.studies.match_record import earlier_rows, held_out_from


def run(arguments: argparse.Namespace) -> None:
    """Fit a scenario and write it. Raises InputError for bad files, and where there is nothing to fit from."""
    text = read_text(Path(arguments.scenario))
    scenario = parse_scenario(text, arguments.scenario)
    rows = _seen(records_given(arguments, scenario), arguments.hold_out)
    try:
        fit = fit_shop(scenario, **rows, confidence_pct=arguments.confidence or scenario.study.confidence_pct)
    except ValueError as fault:
        raise ExportError([Problem(", ".join(arguments.orders), None, None, "", str(fault))]) from None
    answer = fitted_sentence(fit)
    if arguments.out:
        write_file(arguments.out, fitted_text(text, arguments.scenario, fit, answer))
    if arguments.ranges and not fit.ranges:
        raise InputError([Problem(arguments.ranges, None, None, "--ranges", "nothing was found that has a range")])
    if arguments.ranges:
        write_file(arguments.ranges, "\n".join(block(ranges_text(fit), 0)) + "\n")
    if arguments.pictures:
        from shopsim.pictures.saved import saved_page

        drawn = [(each.figure, each.words) for each in of_fit(fit)]
        write_file(arguments.pictures, saved_page("Measured against fitted", answer.sentence, drawn))
    if arguments.json:
        write_json(fit_document(arguments.scenario, fit, answer), arguments.json)
    if arguments.json != TO_STDOUT:
        from shopsim.terminal.fit_page import print_fit

        print_fit(console(), fit, answer)


def _seen(rows: dict[str, list[dict[str, Any]]], hold_out: int) -> dict[str, Any]:
    """The rows a fit may see: without those of the last weeks, where these are kept aside for `match`."""
    if not hold_out:
        return rows
    try:
        before = held_out_from(rows["orders"], hold_out)
    except ValueError as fault:
        raise InputError([Problem("", None, None, "--hold-out", str(fault))]) from None
    return {
        name: earlier_rows(listed, before, "received" if name == "orders" else "start") for name, listed in rows.items()
    }
