"""Faults of a scenario beside the cells they are about."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from shopsim.shop.forms.layout import PARTS, Layout
from shopsim.shop.forms.tables import Table
from shopsim.shop.located_faults import Fault
from shopsim.shop.model_paths import Path, path_text

_BARE = re.compile(r"\A(?:must be )?(.*?)(?:, found [^,;]*)?\Z", re.DOTALL)
_NEGATIVE = re.compile(r"(?<=found )-(?=\d)")


@dataclass(frozen=True, slots=True)
class CellFault:
    """A fault, or something unusual, where a person can mend it; `table` is None for what no table shows.

    `row` is None for what is about a table as a whole, `column` empty for what is about a row as a whole. `steps` lead
    there: the table, the row, the column's label (names may hold commas).
    """

    part: str
    table: Table | None
    row: int | None
    column: str
    steps: tuple[str, ...]
    message: str

    @property
    def in_row(self) -> str:
        """For a cell of the row itself, which shows what was found: ``Print width: greater than 0``."""
        told = _BARE.sub(r"\1", self.message, count=1)
        return f"{self.steps[-1]}: {told}" if self.column else told

    def __str__(self) -> str:
        return f"{', '.join(self.steps)}: {self.message}"


def place_faults(values: dict[str, Any], faults: Iterable[Fault]) -> list[CellFault]:
    """Each fault with its table, row and column, in the order given."""
    return [_placed(values, path, message) for path, message in faults]


def _placed(values: dict[str, Any], path: Path, message: str) -> CellFault:
    # A minus sign on a page; the command line keeps the hyphen that the file has.
    message = _NEGATIVE.sub("\u2212", message)
    best, found = 0, CellFault("", None, None, "", (path_text(values, path),), message)
    for part in PARTS:
        for layout in part.tables:
            table = _table_at(layout, path)
            if table is None:
                continue
            for fit, row, column in _cells(table, path):
                if fit > best:
                    steps = _steps(values, table, row, column)
                    best, found = fit, CellFault(part.key, table, row, column, steps, message)
    return found


def _table_at(layout: Layout, path: Path) -> Table | None:
    if not layout.owner:
        return Table(layout) if path[: len(Table(layout).place)] == Table(layout).place else None
    if len(path) < 2 or path[0] != layout.owner or not isinstance(path[1], int):
        return None
    table = Table(layout, path[1])
    return table if path[: len(table.place)] == table.place else None


def _cells(table: Table, path: Path) -> Iterator[tuple[int, int | None, str]]:
    """(how well it fits, row, column) of the cells of a table that a path may be about."""
    inside = path[len(table.place) :]
    fit = 10 * len(table.place)
    row: int | None = 0
    if not table.layout.single:
        if not inside or not isinstance(inside[0], int):
            yield fit + 1, None, ""
            return
        row, inside = inside[0], inside[1:]
        fit += 10
    yield fit + 1, row, ""
    for column in table.layout.columns:
        own = column.path[:-1] if column.kind == "group" else column.path
        if inside[: len(own)] == own:
            yield fit + 10 * len(own) + 2, row, column.key


def _steps(values: dict[str, Any], table: Table, row: int | None, column: str) -> tuple[str, ...]:
    parts = [table.layout.title]
    if table.owner is not None:
        owners = values.get(table.layout.owner)
        owner = owners[table.owner] if isinstance(owners, list) and table.owner < len(owners) else {}
        parts[0] += f" of {owner.get('id', table.owner + 1) if isinstance(owner, dict) else table.owner + 1}"
    if row is not None and not table.layout.single:
        parts.append(table.label(values, row) if row < table.count(values) else f"{row + 1}")
    titles = {each.key: each.label for each in table.layout.columns}
    return (*parts, *([titles[column]] if column else []))
