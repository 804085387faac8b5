"""`shopsim compare`: does a change help, by how much, how sure."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import Any, NamedTuple

from shopsim import __version__
from shopsim.doors.study import NOT_SETTLED, notes_of, option_of, study_runner, study_shop, with_what_ifs
from shopsim.doors.writing import TO_STDOUT, bounds, console, write_json
from shopsim.errors import InputError, Problem
from shopsim.measures.measure_names import UNITS, unit_of
from shopsim.sentences import Answer
from shopsim.sentences.comparison import base_name, compared
from shopsim.shop.what_if import differences
from shopsim.studies.compare import PairedDifference
from shopsim.studies.comparison import Comparison, Plan, compare_options
from shopsim.studies.precision import Interval
from shopsim.terminal.compare_page import print_compare

# Half-widths aimed at unless told: points of a share, and a share of the base for all else.
_POINTS = 0.02


def run(arguments: argparse.Namespace) -> int:
    """Compare and show or write the answer; returns 3 if the question could not be settled."""
    found, told = compared_options(arguments)
    answer = compared(found)
    if arguments.json:
        write_json(as_json(arguments.scenario, found, answer, told), arguments.json)
    if arguments.json != TO_STDOUT:
        print_compare(console(), found, answer, told.differs, told.notes)
    return 0 if found.settled else NOT_SETTLED


class Told(NamedTuple):
    """For each option, in words, what it changes, and what its files note and its shop asks to be careful about."""

    differs: dict[str, list[str]]
    notes: dict[str, list[str]]


def compared_options(arguments: argparse.Namespace) -> tuple[Comparison, Told]:
    """Run what the command line asks for; with it what is to be told of each option.

    Raises InputError with every fault of the files.
    """
    base = study_shop(arguments)
    options = with_what_ifs(base, arguments.scenario, arguments.what_ifs)
    _check_measure(arguments.measure)
    plan = _plan(arguments)
    with study_runner(arguments) as runner:
        changed = [option_of(name, shop) for name, shop in options.items()]
        found = compare_options(runner, option_of("as it stands", base), changed, plan, arguments.measure)
    differs = {name: [str(one) for one in differences(base.scenario, shop.scenario)] for name, shop in options.items()}
    return found, Told(differs, notes_of(base, arguments.scenario, arguments.what_ifs, options))


def _check_measure(name: str) -> None:
    if base_name(name) not in UNITS:
        raise InputError([Problem("", None, None, "--measure", f"there is no measure {name!r}; see `run --json`")])


def _plan(arguments: argparse.Namespace) -> Plan:
    if arguments.replications:
        return Plan("count", arguments.replications, at_most=arguments.replications)
    if arguments.until_clear:
        return Plan("clear", at_most=arguments.at_most)
    is_share = unit_of(arguments.measure) == "1" and arguments.measure.endswith(("_share", "_yield"))
    if arguments.precision:
        return Plan("precision", half_width=arguments.precision / (100 if is_share else 1), at_most=arguments.at_most)
    if is_share:
        return Plan("precision", half_width=_POINTS, at_most=arguments.at_most)
    raise InputError([Problem("", None, None, "--precision", f"say how precisely {arguments.measure} shall be known")])


def as_json(name: str, found: Comparison, answer: Answer, told: Told) -> dict[str, Any]:
    """The answer for programs; `name` is the scenario as it was given."""
    study = found.base.scenario.study
    return {
        "scenario": name,
        "scenario_hash": found.base.scenario.content_hash,
        "version": __version__,
        "seed": study.seed,
        "replications": found.runs,
        "confidence": study.confidence_pct / 100,
        "sentence": answer.sentence,
        "below": answer.below,
        "settled": found.settled,
        "decided_by": found.measure,
        "options": {
            option: {
                "scenario_hash": rows.scenario.content_hash,
                "differs": told.differs.get(option, []),
                "notes": told.notes.get(option, []),
                "measures": {
                    str(key): {**bounds(rows.interval("measures", key)), "unit": unit_of(str(key))}
                    for key in rows.keys("measures")
                },
                "constraint": _constraint(rows.constraint()),
            }
            for option, rows in {"as it stands": found.base, **found.options}.items()
        },
        "differences": _differences(found),
        "deciding": {
            option: _difference(difference) | {"confidence": found.confidence_pct / 100}
            for option, difference in found.deciding.items()
        },
    }


def _differences(found: Comparison) -> dict[str, dict[str, Any]]:
    measures: Sequence[str] = [str(key) for key in found.base.keys("measures")]
    each = {measure: found.differences(measure) for measure in measures}
    return {
        option: {measure: _difference(each[measure][option]) | {"unit": unit_of(measure)} for measure in measures}
        for option in found.options
    }


def _difference(difference: PairedDifference) -> dict[str, Any]:
    return {**bounds(difference.interval), "variance_reduction": difference.variance_reduction}


def _constraint(top: tuple[str, Interval] | None) -> dict[str, Any] | None:
    return {"id": top[0], "share": top[1].mean} if top else None
