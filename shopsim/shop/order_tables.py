"""Order books as tables of cells: CSV and XLSX, limited in size, nothing interpreted yet."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any, NamedTuple, NoReturn

from shopsim.errors import OrderBookError, Problem
from shopsim.shop.file_text import decode, read_bytes
from shopsim.shop.order_rows import COLUMNS, REQUIRED
from shopsim.shop.plain_messages import choices, found
from shopsim.shop.workbooks import MAX_BYTES, MAX_ROWS, read_workbook

# What became of an order: an order book may hold it, simulating does not look at it.
OF_THE_PAST = ("shipped", "status", "pieces_done")


class Table(NamedTuple):
    """Rows as (line in the file, cells by column); ``decimal_comma`` where a comma cannot separate columns."""

    rows: Iterator[tuple[int, dict[str, Any]]]
    decimal_comma: bool


def open_table(path: Path) -> Table:
    """The rows of a CSV file (comma or semicolon, told by its header) or of a workbook's first sheet.

    Raises OrderBookError for a file that is missing, too large, of another kind or broken, and for columns that are
    unknown, missing or there twice; broken rows raise it while the rows are read.
    """
    _require_known_kind(path)
    return table_in(read_bytes(path, MAX_BYTES, OrderBookError), path)


def table_in(content: bytes, path: Path) -> Table:
    """As `open_table`, from the content of a file; ``path`` tells its kind and stands for it in messages."""
    kind = path.suffix.lower()
    _require_known_kind(path)
    if len(content) > MAX_BYTES:
        _refuse(path, None, f"must be at most {MAX_BYTES / 1e6:g} MB, found {len(content) / 1e6:.1f} MB")
    if kind == ".xlsx":
        return Table(_rows(path, _sheet_rows(path, content)), decimal_comma=False)
    text = decode(content, str(path), OrderBookError)
    header = text.lstrip("\r\n").split("\n", 1)[0]
    separator = ";" if header.count(";") > header.count(",") else ","
    return Table(_rows(path, _csv_rows(path, text, separator)), decimal_comma=separator == ";")


def _require_known_kind(path: Path) -> None:
    if path.suffix.lower() not in (".csv", ".xlsx"):
        _refuse(path, None, "must be a .csv or .xlsx file")


def _refuse(path: Path, line: int | None, message: str) -> NoReturn:
    raise OrderBookError([Problem(str(path), line, None, "", message)])


def _rows(path: Path, rows: Iterable[tuple[int, Sequence[Any]]]) -> Iterator[tuple[int, dict[str, Any]]]:
    filled = ((line, cells) for line, cells in rows if any(_is_filled(cell) for cell in cells))
    line, head = next(filled, (1, ()))
    columns = _columns(path, line, head)
    for count, (line, cells) in enumerate(filled, start=1):
        if count > MAX_ROWS:
            _refuse(path, line, f"an order book holds at most {MAX_ROWS} rows")
        if any(_is_filled(cell) for cell in cells[len(columns) :]):
            _refuse(path, line, f"has more cells than the {len(columns)} columns of the header")
        yield line, dict(zip(columns, cells, strict=False))


def _is_filled(cell: Any) -> bool:
    return cell is not None and bool(str(cell).strip())


def _columns(path: Path, line: int, head: Sequence[Any]) -> list[str]:
    cells = [str(cell).strip() if cell is not None else "" for cell in head]
    while cells and not cells[-1]:
        cells.pop()
    problems = []
    for place, name in enumerate(cells):
        if name not in (*COLUMNS, *OF_THE_PAST):
            message = f"unknown column {found(name)}{choices(name.lower(), COLUMNS, 'allowed')}"
            problems.append(Problem(str(path), line, None, "", message))
        elif name in cells[:place]:
            problems.append(Problem(str(path), line, None, "", f"the column {name!r} stands there twice"))
    missing = [name for name in REQUIRED if name not in cells]
    if missing:
        message = f"missing columns: {', '.join(missing)}; allowed: {', '.join(COLUMNS)}"
        problems.append(Problem(str(path), line, None, "", message))
    if problems:
        raise OrderBookError(problems)
    return cells


def _csv_rows(path: Path, text: str, separator: str) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    line = 1
    try:
        for cells in reader:
            yield line, cells
            line = reader.line_num + 1
    except csv.Error as fault:
        message = "a quote is not closed" if "end of data" in str(fault) else f"is not sound CSV: {fault}"
        _refuse(path, line, message)


def _sheet_rows(path: Path, content: bytes) -> Iterator[tuple[int, Sequence[Any]]]:
    try:
        sheets = read_workbook(content, most_sheets=1).sheets
    except ValueError as fault:
        _refuse(path, None, str(fault))
    if not sheets:
        _refuse(path, None, "cannot be read as a workbook: it has no sheet")
    yield from enumerate(next(iter(sheets.values())), start=1)
