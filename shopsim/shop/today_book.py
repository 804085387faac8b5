"""A morning from the order book's own status column, as our columns or through the mapping of another software's list.

`status` is a word of the shop's route, for each order line: `sew` has all its pieces waiting for sewing, `print` in the
print queue, `approval` with the customer, `complete` and `shipped` are done. `pieces_done` of them are through that
step and wait for the next. Cancelled lines are left out; an order has left when all its other lines have. Orders
received after now are no open orders: what is still to come is the scenario's to say. A row that cannot be simulated is
left out and told with its reason, whatever list it comes from.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from shopsim.errors import Problem, TodayError
from shopsim.shop.exports.reading import Reading
from shopsim.shop.order_book import read_rows
from shopsim.shop.order_rows import READERS, read_time
from shopsim.shop.order_tables import open_table
from shopsim.shop.scenario import Scenario
from shopsim.shop.today_book_orders import CANCELLED, LATER, SHIPPED, WITHOUT_STATUS, BookLine, BookOrders
from shopsim.shop.today_file import require_fits
from shopsim.shop.today_model import MOST_ORDERS, MOST_REASONS, LeftOut, Today

_MOST_PROBLEMS, _NAMED = 50, 3


@dataclass(frozen=True, slots=True)
class TodayBook:
    """The morning, and what of the book is no open order: counts of orders. `mixed` are held back as a whole."""

    today: Today
    shipped: int
    cancelled: int
    later: int
    without_status: int
    mixed: tuple[str, ...]


def today_from_book(path: str | Path, scenario: Scenario, told: Today) -> TodayBook:
    """`told`, a morning without orders, with those of a book in our own columns.

    Raises TodayError for a book without `status`, of which no row can be used, or that does not fit what is told.
    """
    path = Path(path)
    rows: list[BookLine] = []
    for row in read_rows(open_table(path), scenario):
        if "status" not in row.cells and not rows:
            raise _no_status(str(path))
        extra, faults = _extra(row.cells)
        reasons = tuple(f"{column}: {text}" for column, text in [*row.faults, *faults])
        rows.append(BookLine(f"line {row.line}", {**row.values, **extra}, reasons))
    return _made(rows, scenario, told, str(path))


def today_from_reading(reading: Reading, scenario: Scenario, told: Today) -> TodayBook:
    """As `today_from_book`, from another software's list as its mapping reads it."""
    if "status" not in reading.mapping.columns:
        raise _no_status(reading.file)
    rows = [BookLine(row.place, row.values, tuple(row.reasons)) for row in reading.rows]
    return _made(rows, scenario, told, reading.file)


def _no_status(name: str) -> TodayError:
    return TodayError([Problem(name, 1, None, "", "has no column `status`, which a morning needs")])


def _made(rows: Iterable[BookLine], scenario: Scenario, told: Today, name: str) -> TodayBook:
    maker = BookOrders(scenario, told)
    by_order: dict[str, list[BookLine]] = {}
    for row in rows:
        if row.reasons:
            maker.leave_out(row, "; ".join(row.reasons))
        else:
            by_order.setdefault(row.values["order_id"], []).append(row)
    orders = tuple(order for lines in by_order.values() if (order := maker.order(lines)) is not None)
    counts = maker.counts
    if maker.left_out and not orders and not any(counts.values()):
        problems = [Problem(name, None, None, places[0], why) for why, places in maker.left_out.items()]
        raise TodayError(problems[:_MOST_PROBLEMS])
    if len(orders) > MOST_ORDERS:
        raise TodayError([Problem(name, None, None, "", f"must have at most {MOST_ORDERS} open orders")])
    note = " ".join(filter(None, (told.note, *_notes(maker))))
    today = told.model_copy(update={"orders": orders, "note": note, "left_out": _reasons(maker.left_out)})
    require_fits(today, scenario, name)
    return TodayBook(
        today, counts[SHIPPED], counts[CANCELLED], counts[LATER], counts[WITHOUT_STATUS], tuple(maker.mixed)
    )


def _reasons(left_out: Mapping[str, list[str]]) -> tuple[LeftOut, ...]:
    """The most frequent reasons first; where there are very many the rest as one."""
    listed = sorted(left_out.items(), key=lambda each: -len(each[1]))
    if len(listed) > MOST_REASONS:
        rest = [place for _, places in listed[MOST_REASONS - 1 :] for place in places]
        listed = [*listed[: MOST_REASONS - 1], ("other reasons", rest)]
    return tuple(LeftOut(reason=why[:500], rows=len(places), first=places[0]) for why, places in listed)


def _notes(maker: BookOrders) -> list[str]:
    """What of the book is no open order, and what was taken for granted."""
    counted = (
        (SHIPPED, "shipped and left out"),
        (CANCELLED, "cancelled and left out"),
        (LATER, "received later and no open orders yet"),
        (WITHOUT_STATUS, "without a status, taken as not started"),
    )
    told = [f"{maker.counts[name]} {words}" for name, words in counted if maker.counts[name]]
    notes = [f"Of the book's orders {', '.join(told)}."] if told else []
    if maker.mixed:
        named = ", ".join(maker.mixed[:_NAMED]) + (" …" if len(maker.mixed) > _NAMED else "")
        notes.append(
            f"An order is held as one: {len(maker.mixed)} with lines further on than those that wait for the customer "
            f"({named}) wait as a whole, and what has been done on these lines counts as not done."
        )
    return notes


def _extra(cells: Mapping[str, Any]) -> tuple[dict[str, Any], list[tuple[str, str]]]:
    """Status, pieces done and day of shipping of a row of our own columns, and their faults."""
    values: dict[str, Any] = {"status": str(cells.get("status") or "").strip().lower() or None}
    faults = []
    for column, read in (("pieces_done", _count), ("shipped", _moment)):
        if cells.get(column) not in (None, ""):
            try:
                values[column] = read(cells[column])
            except ValueError as fault:
                faults.append((column, str(fault)))
    return values, faults


def _count(cell: Any) -> int:
    text = str(cell).strip().removesuffix(".0")
    if not (text.isascii() and text.isdigit() and len(text) < 9):
        raise ValueError(f"must be a whole number from 0, found {text!r}")
    return int(text)


def _moment(cell: Any) -> datetime.datetime:
    try:
        return read_time(cell)
    except ValueError:
        return datetime.datetime.combine(READERS["due"](cell), datetime.time())
