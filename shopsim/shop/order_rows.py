"""One line of an order book: its columns, and how a cell of each is read."""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Callable
from decimal import Decimal
from typing import Annotated, Any

from pydantic import Field

from shopsim.shop.base import STEERING, Base, Id
from shopsim.shop.plain_messages import found
from shopsim.shop.products import LAST_PRIORITY, Priority

_TIME = re.compile(r"\d{4}-\d{2}-\d{2}[ T]\d{2}:\d{2}(:\d{2})?")
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")
_WHOLE = re.compile(r"[+-]?\d{1,15}")
_DECIMAL = re.compile(r"[+-]?\d{1,15}(\.\d{1,330})?")
_COMMA = re.compile(r"[+-]?\d{1,15},\d{1,15}")
_CONTROL = re.compile(f"[{STEERING}]")
_YES_NO = {"yes": True, "no": False}
MOST_PIECES = 100_000
_MOST_M = 1000.0
_LONGEST_ID = 60
# A spreadsheet takes text that begins so for a formula.
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "'")


OrderId = Annotated[str, Field(max_length=_LONGEST_ID, pattern=rf"^[^\s{STEERING}]([^{STEERING}]*\S)?$")]
Side = Annotated[float, Field(gt=0, le=_MOST_M)]


class OrderLine(Base):
    """Pieces of one product in one order; lines with the same ``order_id`` are one order.

    ``width_m`` and ``height_m`` are the finished size, None where the product has a single one. ``approved`` is when
    the artwork was approved, ``cancelled`` when the customer withdrew; None where that is not known or did not happen.
    ``priority`` is the order's class of urgency, 1 to 9; None for that of its products.
    Times are local, in whole seconds, without a zone.
    """

    order_id: OrderId
    received: datetime.datetime
    due: datetime.date
    product: Id
    pieces: int = Field(ge=1, le=MOST_PIECES)
    width_m: Side | None = None
    height_m: Side | None = None
    rush: bool = False
    repeat: bool = False
    approved: datetime.datetime | None = None
    cancelled: datetime.datetime | None = None
    priority: Priority | None = None


def _text(cell: Any) -> str:
    if isinstance(cell, float) and cell.is_integer():
        cell = int(cell)
    if isinstance(cell, bool | datetime.date | datetime.time):
        raise ValueError(f"must be text, found {found(cell)}")
    # A leading apostrophe is a spreadsheet's mark for "text, not a formula"; `write_order_book` sets it too.
    text = str(cell).removeprefix("'").strip()
    if len(text) > _LONGEST_ID or _CONTROL.search(text) or not text:
        raise ValueError(f"must be one line of 1 to {_LONGEST_ID} characters, found {found(text)}")
    return text


def read_time(cell: Any) -> datetime.datetime:
    """A local time in whole seconds from a cell or a text. Raises ValueError with what is allowed."""
    if isinstance(cell, datetime.datetime):
        return cell.replace(microsecond=0, tzinfo=None)
    try:
        if isinstance(cell, str) and _TIME.fullmatch(cell):
            return datetime.datetime.fromisoformat(cell)
    except ValueError:
        pass
    raise ValueError(f"must be a time like 2026-01-05 09:30, found {found(cell)}")


def _date(cell: Any) -> datetime.date:
    if isinstance(cell, datetime.datetime) and cell.time() == datetime.time():
        return cell.date()
    try:
        if isinstance(cell, str) and _DATE.fullmatch(cell):
            return datetime.date.fromisoformat(cell)
    except ValueError:
        pass
    raise ValueError(f"must be a date like 2026-01-05, found {found(cell)}")


def _pieces(cell: Any) -> int:
    return _whole(cell, MOST_PIECES)


def _priority(cell: Any) -> int:
    return _whole(cell, LAST_PRIORITY)


def _whole(cell: Any, most: int) -> int:
    number = int(cell) if isinstance(cell, str) and _WHOLE.fullmatch(cell) else cell
    whole = not isinstance(number, bool) and isinstance(number, int | float) and number == number // 1
    if not whole or not number >= 1:
        raise ValueError(f"must be a whole number of at least 1, found {found(cell)}")
    if number > most:
        raise ValueError(f"must be at most {most}, found {found(cell)}")
    return int(number)


def _size(cell: Any) -> float:
    number = float(cell) if isinstance(cell, str) and _DECIMAL.fullmatch(cell) else cell
    if isinstance(number, bool) or not isinstance(number, int | float):
        raise ValueError(f"must be a number with a decimal point, found {found(cell)}")
    if not 0 < number < math.inf:
        raise ValueError(f"must be greater than 0, found {found(cell)}")
    if number > _MOST_M:
        raise ValueError(f"must be at most {_MOST_M:g} m, found {found(cell)}; sizes are in metres")
    return float(number)


def _yes_no(cell: Any) -> bool:
    if isinstance(cell, bool):
        return cell
    if isinstance(cell, str) and cell.lower() in _YES_NO:
        return _YES_NO[cell.lower()]
    raise ValueError(f"must be yes or no, found {found(cell)}")


READERS: dict[str, Callable[[Any], Any]] = {
    "order_id": _text,
    "received": read_time,
    "due": _date,
    "product": _text,
    "pieces": _pieces,
    "width_m": _size,
    "height_m": _size,
    "rush": _yes_no,
    "repeat": _yes_no,
    "approved": read_time,
    "cancelled": read_time,
    "priority": _priority,
}
COLUMNS = tuple(READERS)
REQUIRED = ("order_id", "received", "due", "product", "pieces")


def read_row(cells: dict[str, Any], decimal_comma: bool) -> tuple[dict[str, Any], list[tuple[str, str]]]:
    """The values of one row by column, and its faults as (column, message). Empty cells are left out.

    ``decimal_comma`` allows sizes like ``2,5``, as spreadsheets write them where the comma separates no columns.
    """
    values: dict[str, Any] = {}
    faults: list[tuple[str, str]] = []
    for column, read in READERS.items():
        cell = cells.get(column)
        if isinstance(cell, str):
            cell = cell.strip()
            if decimal_comma and read is _size and _COMMA.fullmatch(cell):
                cell = cell.replace(",", ".")
        if cell is None or cell == "":
            if column in REQUIRED:
                faults.append((column, "is empty"))
            continue
        try:
            values[column] = read(cell)
        except ValueError as fault:
            faults.append((column, str(fault)))
    return values, faults


def cell_text(value: Any) -> str:
    """A value as a cell of a CSV file; `read_row` gives it back."""
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
