"""An order history for fitting: orders out of their lines, and the whole weeks they cover."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

_WEEK = datetime.timedelta(days=7)
_FRIDAY = 4


@dataclass(frozen=True, slots=True)
class Line:
    """One line of an order."""

    product: str
    pieces: int
    width_m: float | None
    height_m: float | None


@dataclass(frozen=True, slots=True)
class PastOrder:
    """One order as it came; `cancelled` None if it was not, or when is not known (`withdrawn` says whether).

    `shipped` is None where it was not, or where no time of it is known (`is_shipped` says whether).
    """

    order_id: str
    received: datetime.datetime
    due: datetime.date
    rush: bool | None
    repeat: bool | None
    approved: datetime.datetime | None
    cancelled: datetime.datetime | None
    withdrawn: bool
    lines: tuple[Line, ...]
    shipped: datetime.datetime | None = None
    is_shipped: bool = False
    priority: int | None = None


@dataclass(frozen=True, slots=True)
class History:
    """Orders received in whole weeks, from a Monday to a Sunday (both included)."""

    orders: tuple[PastOrder, ...]
    first: datetime.date
    last: datetime.date
    outside: int

    @property
    def days(self) -> list[datetime.date]:
        """Every day of the weeks."""
        return [self.first + datetime.timedelta(days=i) for i in range((self.last - self.first).days + 1)]

    @property
    def weeks(self) -> int:
        """How many weeks there are."""
        return len(self.days) // 7


def order_history(rows: Iterable[Mapping[str, Any]]) -> History:
    """The history in rows of the table `orders`. Raises ValueError if they cover less than two whole weeks.

    A first or last week only part of which is on record (not from Monday, not until Friday) is left out.
    """
    grouped: dict[str, list[Mapping[str, Any]]] = {}
    for row in rows:
        grouped.setdefault(row["order_id"], []).append(row)
    orders = sorted((_order(name, lines) for name, lines in grouped.items()), key=lambda order: order.received)
    if not orders:
        raise ValueError("the order history has no orders")
    begin, end = orders[0].received.date(), orders[-1].received.date()
    first, last = whole_weeks(begin, end)
    if (last - first).days < 13:
        raise ValueError(f"the order history must cover at least two whole weeks, found {begin} to {end}")
    inside = tuple(order for order in orders if first <= order.received.date() <= last)
    return History(inside, first, last, len(orders) - len(inside))


def whole_weeks(begin: datetime.date, end: datetime.date) -> tuple[datetime.date, datetime.date]:
    """The Monday and the Sunday of the weeks wholly on record between two days with rows; a week ends on Friday too.

    The Sunday lies before the Monday where there is none.
    """
    first = begin if begin.weekday() == 0 else begin + datetime.timedelta(days=7 - begin.weekday())
    last = end - datetime.timedelta(days=end.weekday() + 1)
    return first, last + _WEEK if end.weekday() >= _FRIDAY else last


def _order(name: str, rows: list[Mapping[str, Any]]) -> PastOrder:
    first = rows[0]
    # An order is out when its last part is.
    shipped = [row.get("shipped") for row in rows]
    times = [at for at in shipped if at is not None]
    lines = tuple(Line(row["product"], row["pieces"], row.get("width_m"), row.get("height_m")) for row in rows)
    cancelled = first.get("cancelled")
    return PastOrder(
        name, first["received"], first["due"], first.get("rush"), first.get("repeat"), first.get("approved"), cancelled,
        cancelled is not None or first.get("status") == "cancelled", lines,
        max(times) if len(times) == len(rows) else None,
        len(times) == len(rows) or all(row.get("status") == "shipped" for row in rows),
        min((row["priority"] for row in rows if row.get("priority")), default=None),
    )  # fmt: skip
