"""Reading an export with its mapping: every row is accepted, repaired with notes, or rejected with reasons.

Start reading at `read_export`. Nothing is dropped in silence: lines above the headings, empty rows and rows of each
outcome add up to the rows of the file (`Reading.counts`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal, NamedTuple

from shopsim.errors import ExportError, MappingError, Problem
from shopsim.shop.exports.cells import Cells, RowReader
from shopsim.shop.exports.dates import DateRules
from shopsim.shop.exports.doubles import reject_doubles
from shopsim.shop.exports.headings import Head, find_head, folded
from shopsim.shop.exports.mapping import Mapping, mapping_faults
from shopsim.shop.exports.row_checks import check_row
from shopsim.shop.exports.sheets import Row, Sheet, read_sheets
from shopsim.shop.plain_messages import found

Outcome = Literal["accepted", "repaired", "rejected"]
# Whatever else a row says: a sum is no order.
_TOTALS = frozenset((
    "total", "totals", "sum", "subtotal", "sub-total", "sub total", "grand total", "carried forward", "summe", "gesamt",
    "gesamtsumme", "zwischensumme", "endsumme", "übertrag", "saldo",
))  # fmt: skip


@dataclass(slots=True)
class ReadRow:
    """One row of the table: its sheet and line, its values, what was repaired and why it was rejected."""

    sheet: str
    line: int
    values: dict[str, Any]
    notes: list[str] = field(default_factory=list)
    reasons: list[str] = field(default_factory=list)

    @property
    def outcome(self) -> Outcome:
        """Rejected with any reason, repaired with any note."""
        return "rejected" if self.reasons else "repaired" if self.notes else "accepted"

    @property
    def place(self) -> str:
        """Where it stands, e.g. `line 12` or `May, line 12`."""
        return f"{self.sheet}, line {self.line}" if self.sheet else f"line {self.line}"


class Counts(NamedTuple):
    """Rows of a file by what became of them; `total` is their sum."""

    above: int
    headings: int
    empty: int
    accepted: int
    repaired: int
    rejected: int

    @property
    def total(self) -> int:
        """All rows of the sheets that were read."""
        return sum(self)

    @property
    def usable(self) -> int:
        """Rows that go on."""
        return self.accepted + self.repaired


@dataclass(frozen=True, slots=True)
class Reading:
    """An export as read: its rows in the order of the file, and what was not read.

    `unread` are headings the mapping does not use; `other_sheets` those with a name that were not asked for.
    """

    file: str
    mapping: Mapping
    rows: tuple[ReadRow, ...]
    above: int
    headings: int
    empty: int
    unread: tuple[str, ...]
    other_sheets: tuple[str, ...]

    @property
    def counts(self) -> Counts:
        """Rows by outcome."""
        of = [row.outcome for row in self.rows]
        return Counts(self.above, self.headings, self.empty, of.count("accepted"), of.count("repaired"),
                      of.count("rejected"))  # fmt: skip

    @property
    def usable(self) -> list[ReadRow]:
        """The rows that were accepted or repaired."""
        return [row for row in self.rows if not row.reasons]


def read_export(path: str | Path, mapping: Mapping) -> Reading:
    """All rows of an export.

    Raises ExportError if it cannot be read as a table with the mapping's headings, MappingError for an unsound mapping.
    """
    faults = mapping_faults(mapping)
    if faults:
        raise MappingError(Problem("mapping", None, None, ".".join(map(str, place)), text) for place, text in faults)
    wanted = [heading for column in mapping.columns.values() for heading in column.headings]
    wanted += [rule.heading for rule in mapping.leave_out]
    sheets = read_sheets(path, mapping.sheets)
    chosen = _with_heads(sheets, mapping, wanted, str(path))
    rows: list[ReadRow] = []
    above = headings = empty = 0
    for sheet, head in chosen:
        above += max(0, head.first - mapping.header.rows)
        headings += min(head.first, mapping.header.rows)
        made, blank = _sheet_rows(sheet, head, mapping, len(chosen) > 1)
        rows += made
        empty += blank
    reject_doubles(rows, mapping)
    used = {folded(heading) for heading in wanted}
    unread = dict.fromkeys(name for _, head in chosen for name in head.names if name and folded(name) not in used)
    read = {sheet.name for sheet, _ in chosen}
    others = tuple(sheet.name for sheet in sheets if sheet.name not in read)
    return Reading(str(path), mapping, tuple(rows), above, headings, empty, tuple(unread), others)


def _with_heads(
    sheets: Sequence[Sheet], mapping: Mapping, wanted: Sequence[str], file: str
) -> list[tuple[Sheet, Head]]:
    """The sheets named by the mapping, all of which must have its headings; else the first that has them."""
    if mapping.sheets or len(sheets) == 1:
        return [(sheet, find_head(sheet, mapping.header, wanted, file)) for sheet in sheets]
    problems: list[Problem] = []
    for sheet in sheets:
        try:
            return [(sheet, find_head(sheet, mapping.header, wanted, file))]
        except ExportError as fault:
            problems += fault.problems
    raise ExportError(problems or [Problem(file, None, None, "", "has no sheets")])


def _sheet_rows(sheet: Sheet, head: Head, mapping: Mapping, several: bool) -> tuple[list[ReadRow], int]:
    rules = mapping.dates
    if sheet.serials_from is not None:
        rules = DateRules(rules.order, sheet.serials_from)
    reader = RowReader(mapping, head, rules)
    refuse = _refuser(head, mapping)
    made, empty = [], 0
    for row in sheet.rows[head.first :]:
        if not row.filled:
            empty += 1
            continue
        name = sheet.name if several else ""
        reason = refuse(row)
        if reason:
            made.append(ReadRow(name, row.line, {}, [], [reason]))
            continue
        cells = reader.read(row.cells)
        reasons = list(_reasons(row, cells, mapping))
        made.append(ReadRow(name, row.line, cells.values, cells.notes, reasons))
    return made, empty


def _refuser(head: Head, mapping: Mapping) -> Callable[[Row], str | None]:
    """Tells rows that are none of the table's: sums, headings again, what the mapping leaves out."""
    names = [folded(name) for name in head.names]
    leave_out = [
        (rule.heading, head.column(rule.heading), {folded(v) for v in rule.values}) for rule in mapping.leave_out
    ]

    def why(row: Row) -> str | None:
        first = folded(row.filled[0]).rstrip(": ")
        if first in _TOTALS:
            return f"a row of totals: {found(str(row.filled[0]))}"
        texts = [folded(cell) if cell is not None else "" for cell in row.cells]
        if mapping.header.rows and texts == names[: len(texts)] and len(row.filled) > 1:
            return "the headings again"
        for heading, column, values in leave_out:
            if column is not None and column < len(texts) and texts[column] in values:
                return f"left out by the mapping: {heading} is {found(str(row.cells[column]))}"
        return None

    return why


def _reasons(row: Row, cells: Cells, mapping: Mapping) -> Iterator[str]:
    """Why a row cannot be used. One with hardly anything in it is no row of the table, whatever is missing."""
    needed = (column.name for column in mapping.kind.columns if column.required)
    required = [name for name in needed if mapping.columns[name].headings]
    missing = [name for name in required if f"{name} is empty" in cells.faults]
    if missing and folded(row.filled[0]).split(" ", 1)[0].rstrip(":") in _TOTALS:
        yield f"a row of totals: {found(str(row.filled[0]))}"
    elif len(row.filled) <= 2 and len(required) > 2 and len(missing) + 1 >= len(required):
        yield f"not a row of the table: {found(' '.join(str(cell) for cell in row.filled))}"
    elif cells.faults:
        yield from cells.faults
    else:
        yield from check_row(cells, mapping)
