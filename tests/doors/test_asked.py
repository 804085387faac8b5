"""Questions written as commands: what is refused, and in which words."""

from __future__ import annotations

import argparse
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest

from shopsim.answers.question import Question
from shopsim.doors.asked import COMMANDS, asked_of
from shopsim.errors import InputError
from shopsim.report.stress_experiments import STOPS
from tests.doors.tiny import write_shop

BEGINS = (
    "must begin with one of run, compare, crew, shifts, growth, payback, sensitivity, warm-up, match, promise, "
    "then what that command takes"
)


@pytest.mark.parametrize(("text", "message"), [
    ("", BEGINS),
    ("kept", BEGINS),
    ("run 'x", "is not a command: no closing quotation"),
    ("run --replications x", "argument --replications: must be a whole number from 1 to 100000, found 'x'"),
    ("compare", "the following arguments are required: WHAT_IF"),
    ("crew --crew sewers", "argument --crew: must be like sewers=2..10, found 'sewers'"),
    ("run --nonsense", "unrecognized arguments: --nonsense"),
    ("run --help", "asks for help, not for an answer"),
    ("run --workers 2", "`--workers` is no part of a question"),
    ("run --out there", "`--out` is no part of a question"),
    ("run --seed 3", "`--seed` is given once, for the whole report"),
])  # fmt: skip
def test_what_asks_nothing_is_refused(tmp_path: Path, text: str, message: str) -> None:
    with pytest.raises(InputError) as refused:
        asked_of(text, str(write_shop(tmp_path)))
    assert str(refused.value) == f"--ask {text!r}: {message}"


def test_seed_weeks_and_confidence_of_the_report_hold_for_every_question(tmp_path: Path) -> None:
    study = argparse.Namespace(seed=7, weeks=2.0, confidence=90.0)
    asked = asked_of("growth", str(write_shop(tmp_path)), study).shop.scenario.study
    assert (asked.seed, asked.weeks, asked.confidence_pct) == (7, 2.0, 90.0)


def test_every_question_can_be_asked_and_reported() -> None:
    for name in COMMANDS:
        import_module(f"shopsim.doors.{name.replace('-', '_')}")
    kinds = {each.kind for each in _below(Question) if hasattr(each, "kind")}
    assert {"as_we_are" if name == "run" else name.replace("-", "_") for name in COMMANDS} == kinds
    assert set(STOPS) == kinds


def _below(kind: type) -> list[type[Question[Any]]]:
    return [each for one in kind.__subclasses__() for each in (one, *_below(one))]
