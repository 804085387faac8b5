"""Questions written as the commands that ask them, without the program and the scenario: `compare faster.yaml`."""

from __future__ import annotations

import argparse
import shlex
from importlib import import_module
from typing import Any, NoReturn

from shopsim.answers.question import Question
from shopsim.doors.command_line import parser
from shopsim.errors import InputError, Problem

COMMANDS = ("run", "compare", "crew", "shifts", "growth", "payback", "sensitivity", "warm-up", "match",
            "promise")  # fmt: skip
# What says how a question is answered or shown, and nothing of what is asked.
_NOT_ASKED = ("json", "debug", "workers", "cluster", "tls", "store", "no_store", "out", "week", "schema")


def asked_of(text: str, scenario: str, study: argparse.Namespace | None = None) -> Question[Any]:
    """The question that a command would ask of a scenario; seed, weeks and confidence come from `study` if it has any.

    Raises InputError for a command that asks nothing, for what its command line does not take, and for its files.
    """
    try:
        words = shlex.split(text)
    except ValueError as fault:
        raise _refused(text, f"is not a command: {str(fault).lower()}") from None
    if not words or words[0] not in COMMANDS:
        raise _refused(text, f"must begin with one of {', '.join(COMMANDS)}, then what that command takes")
    command, *rest = words
    arguments = _parsed(text, [command, scenario, *rest])
    usual = _parsed(text, [command, scenario, *_least(command)])
    for name in _NOT_ASKED:
        if getattr(arguments, name, None) != getattr(usual, name, None):
            raise _refused(text, f"`--{name.replace('_', '-')}` is no part of a question")
    for name in ("seed", "weeks", "confidence"):
        if getattr(arguments, name, None) is not None:
            raise _refused(text, f"`--{name}` is given once, for the whole report")
        setattr(arguments, name, getattr(study, name, None))
    question: Question[Any] = import_module(f"shopsim.doors.{command.replace('-', '_')}").question(arguments)
    return question


def _least(command: str) -> list[str]:
    """What a command cannot do without, so that it parses."""
    if command in ("compare", "shifts", "payback"):
        return ["some.yaml"]
    return ["--crew", "some=1"] if command == "crew" else []


def _parsed(text: str, words: list[str]) -> argparse.Namespace:
    made = parser()
    for one in (made, *_commands_of(made)):
        one.error = _raise  # type: ignore[method-assign]
    try:
        return made.parse_args(words)
    except _MisuseError as fault:
        raise _refused(text, str(fault)) from None
    except SystemExit:
        raise _refused(text, "asks for help, not for an answer") from None


def _commands_of(made: argparse.ArgumentParser) -> list[argparse.ArgumentParser]:
    return [
        command
        for action in made._actions
        if isinstance(action, argparse._SubParsersAction)
        for command in action.choices.values()
    ]


class _MisuseError(Exception):
    """What the parser says of a command line."""


def _raise(message: str) -> NoReturn:
    raise _MisuseError(message)


def _refused(text: str, message: str) -> InputError:
    return InputError([Problem("", None, None, f"--ask {text!r}", message)])
