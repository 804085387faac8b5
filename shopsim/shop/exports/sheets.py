"""An export as rows of cells, nothing interpreted yet: CSV in any usual encoding and separator, or XLSX sheets."""

from __future__ import annotations

import codecs
import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Any, NoReturn

from shopsim.errors import ExportError, Problem
from shopsim.shop.file_text import read_bytes
from shopsim.shop.workbooks import MAX_BYTES, MAX_CELLS, MAX_ROWS, read_workbook

_SEPARATORS = (";", "\t", ",", "|")
_TEXT_KINDS = (".csv", ".txt", ".tsv")
_BOMS = (
    (codecs.BOM_UTF8, "utf-8"), (codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be"),
)  # fmt: skip
# A cell may hold an address or a note, not half the file.
_MOST_LINES = 30
# Rows looked at to tell the separator.
_SAMPLE = 60


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its line in the file (of a worksheet: its row) and its cells, text stripped, empty ones None."""

    line: int
    cells: tuple[Any, ...]

    @property
    def filled(self) -> list[Any]:
        """The cells that are not empty."""
        return [cell for cell in self.cells if cell is not None]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet by its name (empty for a text file); `serials_from` is the year its date numbers count from."""

    name: str
    rows: tuple[Row, ...]
    serials_from: int | None = None


def read_sheets(path: str | Path, names: Sequence[str] = ()) -> tuple[Sheet, ...]:
    """The sheets of an export, or only those named.

    Raises ExportError for a file that is missing, too large, of another kind, broken, or without a named sheet.
    """
    path = Path(path)
    kind = path.suffix.lower()
    if kind != ".xlsx" and kind not in _TEXT_KINDS:
        _refuse(path, None, f"must be a {', '.join(_TEXT_KINDS)} or .xlsx file; save other workbooks as .xlsx")
    content = read_bytes(path, MAX_BYTES, ExportError)
    if kind in _TEXT_KINDS:
        if names:
            _refuse(path, None, f"is a text file and has no sheet {names[0]!r}")
        return (Sheet("", _text_rows(path, _decoded(path, content))),)
    return _workbook(path, content, names)


def _refuse(path: Path, line: int | None, message: str) -> NoReturn:
    raise ExportError([Problem(str(path), line, None, "", message)])


def _decoded(path: Path, content: bytes) -> str:
    for bom, encoding in _BOMS:
        if content.startswith(bom):
            try:
                return content[len(bom) :].decode(encoding)
            except UnicodeDecodeError:
                _refuse(path, None, f"begins as {encoding.upper()} text but is not")
    for encoding, at in (("utf-16-le", 1), ("utf-16-be", 0)):
        # Text of the west in UTF-16: every second byte is 0.
        if len(content) % 2 == 0 and content[at:200:2].count(0) > len(content[at:200:2]) * 0.8:
            return content.decode(encoding, errors="replace")
    if b"\0" in content:
        _refuse(path, None, "is a binary file, not text")
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError:
        # All bytes but five mean something there; those five stay visible.
        return content.decode("cp1252", errors="replace")


def _text_rows(path: Path, text: str) -> tuple[Row, ...]:
    if text.startswith("sep=") and "\n" in text[:10]:
        # A spreadsheet's own hint in the first line.
        first, text = text.split("\n", 1)
        separator, before = first[4:5], 1
        hint = [Row(1, (first.strip(),))]
    else:
        separator, before = _separator(text), 0
        hint = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=False)
    rows: list[Row] = hint
    line = 1
    try:
        for cells in reader:
            if len(rows) > MAX_ROWS:
                _refuse(path, line, f"an export holds at most {MAX_ROWS} rows")
            if any(cell.count("\n") > _MOST_LINES for cell in cells):
                _refuse(path, line + before, "a quote that begins in this row is not closed")
            rows.append(Row(line + before, _tidy(cells[:MAX_CELLS])))
            line = reader.line_num + 1
    except csv.Error as fault:
        _refuse(path, line + before, f"is not sound CSV: {fault}")
    return tuple(rows)


def _separator(text: str) -> str:
    """The sign that cuts the first rows into most cells: rows of the usual number, and the widest, often headings."""
    best = 0
    chosen = ","
    for separator in _SEPARATORS:
        sample = islice(csv.reader(io.StringIO(text, newline=""), delimiter=separator), _SAMPLE)
        try:
            counts = [len(cells) for cells in sample if len(cells) > 1]
        except csv.Error:
            continue
        if not counts:
            continue
        usual = max(set(counts), key=lambda count: (counts.count(count), count))
        score = counts.count(usual) * (usual - 1) + max(counts) - 1
        if score > best:
            best, chosen = score, separator
    return chosen


def _workbook(path: Path, content: bytes, names: Sequence[str]) -> tuple[Sheet, ...]:
    try:
        book = read_workbook(content)
    except ValueError as fault:
        _refuse(path, None, str(fault))
    made = {
        name: tuple(Row(line, _tidy(cells)) for line, cells in enumerate(rows, start=1))
        for name, rows in book.sheets.items()
    }
    for name, rows in made.items():
        if len(rows) > MAX_ROWS:
            _refuse(path, None, f"an export holds at most {MAX_ROWS} rows, sheet {name!r} has more")
    for name in names:
        if name not in made:
            _refuse(path, None, f"has no sheet {name!r}; there are: {', '.join(made)}")
    return tuple(Sheet(name, rows, book.serials_from) for name, rows in made.items() if not names or name in names)


def _tidy(cells: Sequence[Any]) -> tuple[Any, ...]:
    tidy = [(cell.strip() or None) if isinstance(cell, str) else cell for cell in cells]
    while tidy and tidy[-1] is None:
        tidy.pop()
    return tuple(tidy)
