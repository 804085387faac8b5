"""JSON for programs and a console for people; standard output carries one of them, never both."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import Any

from rich.console import Console

from shopsim.answers.plain import json_text
from shopsim.doors.plain_signs import speaks_unicode
from shopsim.errors import InputError, Problem
from shopsim.shop.file_text import write_text
from shopsim.signs import shown

TO_STDOUT = "-"


class _Console(Console):
    def on_broken_pipe(self) -> None:
        # Rich would leave with code 1; a reader that has seen enough is no failure, and `cli.main` says so.
        raise BrokenPipeError


def console() -> Console:
    """Standard output for people, as wide as the terminal; plain text where it is none."""
    return _Console(highlight=False)


def say(text: str) -> None:
    """A line on standard output; nothing in it steers the terminal."""
    sys.stdout.write(f"{shown(text)}\n")


def note(text: str) -> None:
    """Lines on standard error, beside the answer; nothing in them steers the terminal."""
    sys.stderr.write(shown(f"{text}\n", besides="\n"))


def write_json(answer: dict[str, Any], where: str) -> None:
    """Write an answer to a file or, for `-`, to standard output. NaN becomes null. Raises InputError if it cannot."""
    if where == TO_STDOUT:
        sys.stdout.write(json_text(answer, ascii_only=not speaks_unicode(sys.stdout)))
        return
    write_file(where, json_text(answer))


def write_file(where: str, text: str) -> None:
    """Write a text, whole or not at all. Raises InputError if it cannot."""
    try:
        write_text(Path(where), text)
    except (OSError, ValueError) as fault:
        raise cannot_write(where, fault) from None


def require_writable(where: str) -> None:
    """Raise InputError where nothing can be written: better before a study than after it."""
    path = Path(where)
    try:
        inside = next(folder for folder in path.absolute().parents if folder.exists())
        with tempfile.TemporaryFile(dir=inside) as trial:
            trial.write(b"shopsim")
    except (OSError, ValueError) as fault:
        raise cannot_write(where, fault) from None


def cannot_write(where: str, fault: Exception) -> InputError:
    """The error for a place nobody can write to."""
    why = getattr(fault, "strerror", None) or fault
    return InputError([Problem(where, None, None, "", f"cannot be written: {why}")])
