"""Options in short: what each changes, its dates and what is left over, and whether the runs can tell it apart."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import shorten

from shopsim.answers.finished import Finished
from shopsim.answers.question import AS_IT_STANDS
from shopsim.report.blocks import Table, table
from shopsim.report.contents import Contents
from shopsim.report.told import Bounds, told

_MEASURES = ("on_time_share", "margin_per_week")
_NO_CHANGE = "nothing that the file holds"
_LETTERS = 60


def options_tables(contents: Contents) -> Iterator[Table]:
    """A table of the options of each question that sets several shops side by side."""
    for number, answer in enumerate(contents.answers, start=1):
        if "differences" in answer.document:
            yield _options(answer, number, contents.currency)


def _options(answer: Finished, number: int, currency: str) -> Table:
    options, differences = answer.document["options"], answer.document["differences"]
    rows = []
    for name in (AS_IT_STANDS, *differences):
        changes = "" if name == AS_IT_STANDS else first_of(options[name]["differs"] or [_NO_CHANGE])
        cells = [
            cell
            for measure in _MEASURES
            for cell in (
                told(options[name]["measures"][measure], measure),
                "" if name == AS_IT_STANDS else _sure(differences[name][measure]),
            )
        ]
        rows.append((name, changes, *cells))
    return table(
        f"The options of question {number}",
        ("", "what it changes", "on time, %", "surely?", f"what is left over, {currency} a week", "surely?"), rows,
        "Surely: whether the runs can tell it from the shop as it stands, on the same orders "
        f"({answer.document['confidence'] * 100:g} % confidence for all options at once).", left=(0, 1, 3, 5),
    )  # fmt: skip


def first_of(lines: list[str]) -> str:
    """The first of several lines, cut where it is long, and how many there are besides."""
    first = shorten(lines[0], _LETTERS, placeholder=" …")
    return f"{first}; and {len(lines) - 1} more" if len(lines) > 1 else first


def _sure(difference: Bounds) -> str:
    mean, low, high = (difference.get(name) for name in ("mean", "low", "high"))
    if mean is None or low is None or high is None:
        return "not clear"
    if low > 0:
        return "more"
    if high < 0:
        return "less"
    return "alike" if low == high else "not clear"
