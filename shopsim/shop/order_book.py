"""Order books: read strictly against a scenario, every fault with its line and column; written for spreadsheets."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

from shopsim.errors import OrderBookError, Problem
from shopsim.shop.file_text import write_text
from shopsim.shop.order_checks import OrderChecker
from shopsim.shop.order_rows import COLUMNS, OrderLine, cell_text, read_row
from shopsim.shop.order_tables import Table, open_table
from shopsim.shop.scenario import Scenario

__all__ = ["OrderLine", "load_order_book", "order_book_text", "read_rows", "write_order_book"]

MOST_PROBLEMS = 50


def load_order_book(path: str | Path, scenario: Scenario) -> tuple[OrderLine, ...]:
    """The lines of an order book, in the order of the file.

    Raises OrderBookError with up to 50 faults and the number of further ones: cells that cannot be read, products the
    scenario does not make, pieces no web takes, orders before its start, lines of one order that disagree.
    """
    path = Path(path)
    lines: list[OrderLine] = []
    problems: list[Problem] = []
    try:
        for row in read_rows(open_table(path), scenario):
            problems += [Problem(str(path), row.line, None, f"column {column}", text) for column, text in row.faults]
            if not problems:
                lines.append(OrderLine(**row.values))
    except OrderBookError as broken:
        # The rows before the break have been read: what was found there is told too.
        problems += broken.problems
    if problems:
        more = len(problems) - MOST_PROBLEMS
        rest = [Problem(str(path), None, None, "", f"and {more} more faults")] if more > 0 else []
        raise OrderBookError([*problems[:MOST_PROBLEMS], *rest])
    return tuple(lines)


class BookRow(NamedTuple):
    """One row of an order book: its line in the file, its cells by column, what they say, and its faults."""

    line: int
    cells: dict[str, Any]
    values: dict[str, Any]
    faults: list[tuple[str, str]]


def read_rows(table: Table, scenario: Scenario) -> Iterator[BookRow]:
    """Every row of a table with what is wrong in it, as (column, message). Raises OrderBookError for broken rows."""
    checker = OrderChecker(scenario)
    for line, cells in table.rows:
        values, faults = read_row(cells, table.decimal_comma)
        faults += checker.faults(line, values, {column for column, _ in faults})
        yield BookRow(line, cells, values, faults)


def order_book_text(lines: Iterable[OrderLine]) -> str:
    """Lines as CSV; text a spreadsheet would take for a formula gets an apostrophe, which reading takes off."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS)
    for line in lines:
        writer.writerow(cell_text(getattr(line, column)) for column in COLUMNS)
    return text.getvalue()


def write_order_book(path: str | Path, lines: Iterable[OrderLine]) -> None:
    """Write lines as a CSV file, see `order_book_text`."""
    write_text(Path(path), order_book_text(lines))
