"""Answers asked again beside those of an earlier report: the questions in its `answers.json`, and what differs."""

from __future__ import annotations

import json
import math
import shlex
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from shopsim.errors import InputError, Problem
from shopsim.shop.file_text import read_text

_MAX_BYTES = 50_000_000
_MOST_TOLD = 20
# Sums may differ in their last digits from machine to machine.
_TOLERANCE = 1e-9
# Where the scenario lay, and what a later version of the program would tell of itself.
_NOT_COMPARED = ("scenario", "version")


class Earlier:
    """The answers of an earlier report. Raises InputError for a file that holds none."""

    def __init__(self, path: str) -> None:
        self.path = path
        try:
            read = json.loads(read_text(Path(path), _MAX_BYTES, InputError))
            self._answers = [(list(map(str, each["command"])), dict(each["answer"])) for each in read["answers"]]
            self.program = str(read["program"]["Code that makes numbers"])
            self._answers[0]  # at least one
        except (ValueError, TypeError, LookupError, RecursionError):
            raise InputError([self._problem("is no answers.json of a report")]) from None

    def asked(self) -> list[str]:
        """The questions as `--ask` takes them: without the program and the scenario."""
        return [shlex.join([*command[1:2], *command[3:]]) for command, _ in self._answers]

    def require_same(self, documents: list[Mapping[str, Any]]) -> int:
        """How many numbers are the same as then. Raises InputError with those that differ."""
        compared, found = 0, []
        for number, ((_, then), now) in enumerate(zip(self._answers, documents, strict=True), start=1):
            before, after = dict(_values(then)), dict(_values(now))
            for path in {**before, **after}:
                if path.partition(".")[0] in _NOT_COMPARED:
                    continue
                old, new = before.get(path), after.get(path)
                compared += isinstance(old, int | float)
                if not _same(old, new):
                    found.append(Problem(self.path, None, None, f"question {number}, {path}", f"{old} then, {new} now"))
        if found:
            more = len(found) - _MOST_TOLD
            rest = [self._problem(f"{more:,} more differ")] if more > 0 else []
            raise InputError([*found[:_MOST_TOLD], *rest])
        return compared

    def _problem(self, message: str) -> Problem:
        return Problem(self.path, None, None, "", message)


def _same(old: object, new: object) -> bool:
    if isinstance(old, int | float) and isinstance(new, int | float):
        return math.isclose(old, new, rel_tol=_TOLERANCE, abs_tol=_TOLERANCE)
    return old == new


def _values(value: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Every plain value of a document with its path."""
    if isinstance(value, Mapping):
        items: Any = value.items()
    elif isinstance(value, list | tuple):
        items = enumerate(value)
    else:
        yield path, value
        return
    for key, item in items:
        yield from _values(item, f"{path}.{key}" if path else str(key))
