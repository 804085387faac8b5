"""`shopsim fit`: a shop's own records into its scenario, with what each value rests on."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from shopsim import __version__
from shopsim.doors.records_given import records_given
from shopsim.doors.writing import TO_STDOUT, cannot_write, console, write_json
from shopsim.errors import ExportError, InputError, Problem, ScenarioError
from shopsim.sentences import Answer
from shopsim.sentences.fitting import comment_of, fitted_sentence
from shopsim.shop.file_text import read_text, write_text
from shopsim.shop.scenario_comments import with_comments
from shopsim.shop.scenario_edit import edit_scenario
from shopsim.shop.scenario_file import parse_scenario
from shopsim.shop.yaml_writing import block
from shopsim.studies.fit_found import Fitted
from shopsim.studies.fit_shop import ShopFit, fit_shop, ranges_text


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
        write_json(as_json(arguments.scenario, fit, answer), arguments.json)
    if arguments.json != TO_STDOUT:
        from shopsim.terminal.fit_page import print_fit

        print_fit(console(), fit, answer)


def fitted_text(text: str, name: str, fit: ShopFit, answer: Answer) -> str:
    """The scenario's text with the values found and a comment above each. Raises ScenarioError if it is not sound."""
    edited = edit_scenario(text, fit.changes, name)
    comments = {one.path: comment_of(one, fit.confidence_pct) for one in fit.written}
    left = "".join(f"\n- {line}" for line in fit.left)
    head = f"Fitted by shopsim {__version__}. {answer.sentence}\n{answer.below}\nNot fitted:{left or ' nothing'}\n"
    try:
        made = with_comments(edited, comments, head)
    except ValueError as fault:
        raise ScenarioError([Problem(name, None, None, "", str(fault))]) from None
    parse_scenario(made, name)
    return made


def _write(where: str, text: str) -> None:
    try:
        write_text(Path(where), text)
    except OSError as fault:
        raise cannot_write(where, fault) from None


def as_json(name: str, fit: ShopFit, answer: Answer) -> dict[str, Any]:
    """The answer for programs."""
    return {
        "scenario": name,
        "version": __version__,
        "sentence": answer.sentence,
        "below": answer.below,
        "confidence": fit.confidence_pct / 100,
        "rows": dict(fit.rows),
        "fitted": [_fitted(one) for one in fit.fitted],
        "ranges": ranges_text(fit)["ranges"] if fit.ranges else [],
        "not_fitted": list(fit.left),
    }


def _fitted(one: Fitted) -> dict[str, Any]:
    estimate = one.estimate
    return {
        "path": one.path or None, "value": one.value, "about": one.about, "estimate": estimate.value,
        "low": estimate.low, "high": estimate.high, "n": estimate.n, "of": one.of, "how": one.how,
    }  # fmt: skip
