"""The rows of usual values that a report cites: what each is about, its usual range, and what it stands on."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from shopsim.report.blocks import Table, table
from shopsim.report.contents import Contents
from shopsim.report.craft_values import craft_values
from shopsim.report.handbook_rows import founded_on
from shopsim.report.inputs import inputs_of

HANDBOOK = "our own collection of usual values of the trade"
"""What the trade handbook is, for readers who cannot open it."""
_ROW = re.compile(r"[A-Z]{3}-\d\d(?:\.\.\d\d)?")


class UsualValue(NamedTuple):
    """A cited row: what it is about, the usual ranges of the values that cite it, what it stands on."""

    row: str
    quantity: str
    usual: str
    basis: str
    source: str


def usual_values(contents: Contents) -> list[UsualValue]:
    """Every cited row that is known, by id."""
    cited: dict[str, dict[str, str]] = {}
    for row, name, usual in _cited(contents):
        cited.setdefault(row, {})[name] = usual
    found = []
    for row, ranges in sorted(cited.items()):
        founded = founded_on(row)
        if founded is not None:
            given = {name: usual for name, usual in ranges.items() if usual}
            told = [f"{name} {usual}" if len(given) > 1 else usual for name, usual in given.items()]
            usual_text = "; ".join([*told, *([founded.usual] if founded.usual else [])])
            found.append(UsualValue(row, founded.quantity, usual_text, founded.basis, founded.source))
    return found


def _cited(contents: Contents) -> Iterator[tuple[str, str, str]]:
    """Row, name of the value that cites it, and what is usual for that."""
    for one in inputs_of(contents.shop.scenario):
        if one.cites:
            yield one.cites, one.kind.partition(": ")[2], one.usual
    for each in craft_values(contents.shop.scenario):
        yield each.row, "", ""
    for finding in contents.review:
        yield from ((row, "", "") for row in _ROW.findall(finding.basis))


def usual_table(contents: Contents) -> Table:
    """The rows as a table."""
    return table(
        "Rows of the trade handbook behind these values", ("row", "about", "usual", "stands on", "source"),
        usual_values(contents),
        f"The trade handbook is {HANDBOOK}; it is not published. Rows are cited also where the file has a value of its "
        "own, as what to compare it with.", left=(0, 1, 2, 3, 4),
    )  # fmt: skip
