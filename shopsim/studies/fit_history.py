"""An order history for fitting: orders out of their lines, and the whole weeks they cover."""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from shopsim.shop.printing_checks import largest, why_unprintable
from shopsim.shop.products import Product
from shopsim.shop.route_checks import first_step_by_size
from shopsim.shop.scenario import Scenario

_WEEK = datetime.timedelta(days=7)
_FRIDAY = 4
_MOST_TOLD = 10


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


def known_history(history: History, scenario: Scenario, left: list[str]) -> History:
    """The lines a forecast of the scenario can have, and the orders that have any; what share is left out is told.

    Raises ValueError where nothing is left.
    """
    lines = [line for order in history.orders for line in order.lines]
    sized = {line.product for line in lines if line.width_m and line.height_m}
    reason = {line: why for line in set(lines) if (why := _why_not(line, scenario, sized))}
    kept = tuple(
        replace(order, lines=known)
        for order in history.orders
        if (known := tuple(line for line in order.lines if line not in reason))
    )
    counted = Counter((line.product, reason[line]) for line in lines if line in reason)
    told = [f"product {name!r}: {count} lines, {why}" for (name, why), count in counted.most_common()]
    if not kept:
        raise ValueError(f"no order line can be used; {'; '.join(told[:_MOST_TOLD])}")
    left += told[:_MOST_TOLD] + ([f"{len(told) - _MOST_TOLD} other reasons likewise"] if told[_MOST_TOLD:] else [])
    if told:
        left.append(f"demand counts what the scenario has only: {counted.total()} of {len(lines)} lines and "
                    f"{len(history.orders) - len(kept)} of {len(history.orders)} orders are left out")  # fmt: skip
    return replace(history, orders=kept)


def _why_not(line: Line, scenario: Scenario, sized: set[str]) -> str:
    """Why no forecast of the scenario can have a line; empty where it can."""
    product: Product | None = scenario.by_id("products").get(line.product)
    if product is None:
        return "not in the scenario"
    if line.width_m and line.height_m:
        return why_unprintable(scenario, product, largest(line.width_m, line.height_m)) or ""
    if not (product.sizes or product.size_range or line.product in sized) and first_step_by_size(product):
        return "neither they nor the scenario have a size"
    return ""


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
