"""The usable rows of an export as a CSV file in our own columns and units.

Orders become an order book; of other tables, and of what only the past knows (`shipped`, `status`), the columns that
hold anything are written.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from shopsim.shop.exports.reading import ReadRow
from shopsim.shop.exports.table_kinds import TableKind
from shopsim.shop.file_text import write_text
from shopsim.shop.order_rows import COLUMNS, cell_text


def write_clean(path: str | Path, kind: TableKind, rows: Sequence[ReadRow]) -> None:
    """Write the rows to a file."""
    write_text(Path(path), clean_text(kind, [row.values for row in rows]))


def clean_text(kind: TableKind, rows: Sequence[Mapping[str, Any]]) -> str:
    """The rows as CSV; text a spreadsheet would take for a formula gets an apostrophe, which reading takes off."""
    columns = clean_columns(kind, rows)
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    for row in rows:
        writer.writerow(cell_text(row.get(name)) for name in columns)
    return text.getvalue()


def clean_columns(kind: TableKind, rows: Sequence[Mapping[str, Any]]) -> list[str]:
    """The columns of the clean table, in our order."""
    held = {name for row in rows for name in row}
    always = set(COLUMNS) if kind.name == "orders" else {column.name for column in kind.columns if column.required}
    return [name for name in kind.names if name != "size" and name in held | always]
