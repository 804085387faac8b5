"""Order books: read strictly against a scenario, every fault with its line and column; written for spreadsheets."""

from __future__ import annotations

import csv
import datetime
import io
from collections.abc import Iterable, Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

from shopsim.errors import OrderBookError, Problem
from shopsim.shop.file_text import write_text
from shopsim.shop.order_rows import COLUMNS, OrderLine, read_row
from shopsim.shop.order_tables import open_table
from shopsim.shop.plain_messages import choices, found
from shopsim.shop.printing_checks import largest, why_unprintable
from shopsim.shop.products import Product
from shopsim.shop.route_checks import first_step_by_size
from shopsim.shop.scenario import Scenario

__all__ = ["OrderLine", "load_order_book", "write_order_book"]

MOST_PROBLEMS = 50
# What holds for an order as a whole and so must be the same in each of its lines.
SAME_IN_ORDER = ("received", "due", "rush", "approved", "cancelled")
# A spreadsheet takes text that begins so for a formula.
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "'")

Faults = Iterator[tuple[str, str]]


def load_order_book(path: str | Path, scenario: Scenario) -> tuple[OrderLine, ...]:
    """The lines of an order book, in the order of the file.

    Raises OrderBookError with up to 50 faults and the number of further ones: cells that cannot be read, products the
    scenario does not make, pieces no web takes, orders before its start, lines of one order that disagree.
    """
    path = Path(path)
    table = open_table(path)
    checker = _Checker(scenario)
    lines: list[OrderLine] = []
    problems: list[Problem] = []
    count = 0
    for line, cells in table.rows:
        values, faults = read_row(cells, table.decimal_comma)
        faults += checker.faults(line, values)
        if not faults and not count:
            lines.append(OrderLine(**values))
        count += len(faults)
        if len(problems) < MOST_PROBLEMS:
            problems += [Problem(str(path), line, None, f"column {column}", text) for column, text in faults]
    if count:
        more = count - MOST_PROBLEMS
        problems = problems[:MOST_PROBLEMS]
        if more > 0:
            problems.append(Problem(str(path), None, None, "", f"and {more} more faults"))
        raise OrderBookError(problems)
    return tuple(lines)


def write_order_book(path: str | Path, lines: Iterable[OrderLine]) -> None:
    """Write lines as CSV; text a spreadsheet would take for a formula gets an apostrophe, which reading takes off."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS)
    for line in lines:
        writer.writerow(_cell(getattr(line, column)) for column in COLUMNS)
    write_text(Path(path), text.getvalue())


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime.datetime):
        return value.isoformat(" ", "seconds" if value.second else "minutes")
    if isinstance(value, float):
        return format(Decimal(repr(value)), "f").removesuffix(".0")
    text = str(value)
    return "'" + text if text.startswith(_FORMULA_STARTS) else text


class _Checker:
    """What a row must fit beyond its own cells: the scenario, and the earlier rows of its order."""

    def __init__(self, scenario: Scenario) -> None:
        self.scenario = scenario
        self.products: dict[str, Product] = scenario.by_id("products")
        self.first: dict[str, tuple[int, dict[str, Any]]] = {}
        self.printable: dict[tuple[str, float, float], str | None] = {}

    def faults(self, line: int, values: dict[str, Any]) -> list[tuple[str, str]]:
        """Faults as (column, message) of the values of one row."""
        return [*self._dates(values), *self._product(values), *self._same_in_order(line, values)]

    def _dates(self, values: dict[str, Any]) -> Faults:
        received = values.get("received")
        if received is None:
            return
        starts = self.scenario.shop.starts
        if received.date() < starts:
            yield "received", f"must not be before the scenario starts, {starts.isoformat()}, found {_cell(received)}"
        if "due" in values and values["due"] < received.date():
            yield "due", f"must not be before the order is received, {_cell(received)}, found {values['due']}"
        for column in ("approved", "cancelled"):
            if column in values and values[column] < received:
                yield column, f"must not be before the order is received, {_cell(received)}"

    def _product(self, values: dict[str, Any]) -> Faults:
        name = values.get("product")
        if name is None:
            return
        product = self.products.get(name)
        if product is None:
            yield "product", f"the scenario has no product {found(name)}{choices(name, self.products)}"
            return
        width_m, height_m = values.get("width_m"), values.get("height_m")
        if width_m is None and height_m is None:
            if len(product.sizes) != 1 and first_step_by_size(product):
                yield "width_m", f"is empty, but {name!r} has no single size; give width_m and height_m"
        elif width_m is None or height_m is None:
            yield "height_m" if width_m else "width_m", "is empty; give both width_m and height_m, or neither"
        else:
            message = self._unprintable(product, width_m, height_m)
            if message:
                yield "width_m", message

    def _unprintable(self, product: Product, width_m: float, height_m: float) -> str | None:
        key = (product.id, width_m, height_m)
        if key not in self.printable:
            self.printable[key] = why_unprintable(self.scenario, product, largest(width_m, height_m))
        return self.printable[key]

    def _same_in_order(self, line: int, values: dict[str, Any]) -> Faults:
        order = values.get("order_id")
        if order is None:
            return
        first_line, first = self.first.setdefault(order, (line, values))
        for column in SAME_IN_ORDER:
            one, other = values.get(column), first.get(column)
            if (one or None) != (other or None):
                shown = _cell(other) or "empty"
                yield column, f"differs from line {first_line} of the same order {order!r}, which has {shown}"
