"""Headings of an export: which row they stand in, and which column each of them names."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from shopsim.errors import ExportError, Problem
from shopsim.shop.exports.mapping import Header
from shopsim.shop.exports.sheets import Row, Sheet
from shopsim.shop.plain_messages import MOST_NAMED, did_you_mean

# Titles, addresses and filters stand above a table, hardly more than this.
SEARCHED_ROWS = 40


@dataclass(frozen=True, slots=True)
class Head:
    """The headings by column; the table's rows begin at `first` (a position in the sheet's rows)."""

    names: tuple[str, ...]
    first: int

    def column(self, heading: str) -> int | None:
        """The column of a heading, None where there is none; case and spaces do not count."""
        wanted = folded(heading)
        return next((i for i, name in enumerate(self.names) if folded(name) == wanted), None)


def folded(text: str) -> str:
    """A heading for comparison: one line, single spaces, small letters."""
    return " ".join(str(text).split()).casefold()


def find_head(sheet: Sheet, header: Header, wanted: Iterable[str], file: str) -> Head:
    """The headings of a sheet. Raises ExportError where no row holds all those wanted."""
    wanted = list(wanted)
    if header.rows == 0:
        return _lettered(sheet)
    if header.line is not None:
        spots = [i for i, row in enumerate(sheet.rows) if row.line == header.line]
    else:
        spots = list(range(header.rows - 1, min(len(sheet.rows), SEARCHED_ROWS)))
    best: Head | None = None
    fewest = len(wanted) + 1
    for spot in spots:
        head = Head(joined_headings(sheet.rows[max(0, spot - header.rows + 1) : spot + 1]), spot + 1)
        missing = [name for name in wanted if head.column(name) is None]
        if not missing:
            return head
        if len(missing) < fewest:
            best, fewest = head, len(missing)
    raise ExportError([Problem(file, _line(sheet, best), None, "", _why_not(sheet, best, wanted))])


def joined_headings(rows: Sequence[Row]) -> tuple[str, ...]:
    """One heading a column from one to three heading rows.

    A heading over several columns fills those to its right, as long as something stands below them.
    """
    width = max((len(row.cells) for row in rows), default=0)
    texts = [[_text(row, i) for i in range(width)] for row in rows]
    for upper, lower in pairwise(texts):
        over = ""
        for i in range(width):
            if upper[i] or not lower[i]:
                over = upper[i] if lower[i] else ""
            else:
                upper[i] = over
    names: list[str] = []
    for i in range(width):
        name = " ".join(text[i] for text in texts if text[i])
        times = sum(re.sub(r" \(\d+\)$", "", earlier) == name for earlier in names)
        names.append(f"{name} ({times + 1})" if name and times else name)
    return tuple(names)


def _text(row: Row, column: int) -> str:
    cell = row.cells[column] if column < len(row.cells) else None
    return " ".join(str(cell).split()) if cell is not None else ""


def _lettered(sheet: Sheet) -> Head:
    width = max((len(row.cells) for row in sheet.rows), default=0)
    return Head(tuple(letters(i) for i in range(width)), 0)


def letters(column: int) -> str:
    """The name of a column without a heading, as in a spreadsheet: A, B, … Z, AA."""
    name = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        name = chr(ord("A") + rest) + name
    return name


def _line(sheet: Sheet, best: Head | None) -> int | None:
    return sheet.rows[best.first - 1].line if best is not None else None


def _why_not(sheet: Sheet, best: Head | None, wanted: Sequence[str]) -> str:
    where = f"sheet {sheet.name!r}: " if sheet.name else ""
    if best is None:
        return f"{where}has no row of headings"
    missing = [name for name in wanted if best.column(name) is None]
    known = [name for name in best.names if name]
    told = " ".join(f"no column {name!r}{did_you_mean(name, known) or ';'}" for name in missing[:3])
    there = ", ".join(known[:MOST_NAMED]) or "none"
    return f"{where}no row holds all headings of the mapping; nearest is this one: {told} there are: {there}"
