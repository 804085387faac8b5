"""Whether the rows of an order book fit their scenario and each other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from shopsim.shop.order_rows import OrderLine, cell_text
from shopsim.shop.plain_messages import choices, found
from shopsim.shop.printing_checks import largest, why_unprintable
from shopsim.shop.products import Product
from shopsim.shop.route_checks import first_step_by_size
from shopsim.shop.scenario import Scenario

# What holds for an order as a whole and so must be the same in each of its lines.
SAME_IN_ORDER = ("received", "due", "rush", "approved", "cancelled", "priority")

Faults = Iterator[tuple[str, str]]


def why_lines_do_not_fit(scenario: Scenario, lines: Iterable[OrderLine]) -> list[str]:
    """What keeps lines that were read for one scenario from fitting another: one message a product and column."""
    checker = OrderChecker(scenario)
    found_at: dict[tuple[str, str], list[str]] = {}
    for number, line in enumerate(lines):
        values = {name: value for name, value in line if value is not None}
        for column, message in checker.faults(number, values, set()):
            found_at.setdefault((line.product, column), []).append(f"order {line.order_id}: column {column}: {message}")
    return [
        f"{len(told):,} order line{'s do' if len(told) > 1 else ' does'} not fit; {told[0]}"
        for told in found_at.values()
    ]


class OrderChecker:
    """What a row must fit beyond its own cells: the scenario, and the earlier rows of its order."""

    def __init__(self, scenario: Scenario) -> None:
        self.scenario = scenario
        self.products: dict[str, Product] = scenario.by_id("products")
        self.first: dict[str, tuple[int, dict[str, Any]]] = {}
        self.printable: dict[tuple[str, float, float], str | None] = {}

    def faults(self, line: int, values: dict[str, Any], unread: set[str]) -> list[tuple[str, str]]:
        """Faults as (column, message) of the values of one row; ``unread`` are the columns already found faulty."""
        found_here = [*self._dates(values), *self._product(values, unread), *self._same_in_order(line, values, unread)]
        return [(column, message) for column, message in found_here if column not in unread]

    def _dates(self, values: dict[str, Any]) -> Faults:
        received = values.get("received")
        if received is None:
            return
        starts = self.scenario.shop.starts
        if received.date() < starts:
            yield (
                "received",
                f"must not be before the scenario starts, {starts.isoformat()}, found {cell_text(received)}",
            )
        if "due" in values and values["due"] < received.date():
            yield "due", f"must not be before the order is received, {cell_text(received)}, found {values['due']}"
        for column in ("approved", "cancelled"):
            if column in values and values[column] < received:
                yield column, f"must not be before the order is received, {cell_text(received)}"

    def _product(self, values: dict[str, Any], unread: set[str]) -> Faults:
        name = values.get("product")
        if name is None:
            return
        product = self.products.get(name)
        if product is None:
            yield "product", f"the scenario has no product {found(name)}{choices(name, self.products)}"
            return
        if unread & {"width_m", "height_m"}:
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

    def _same_in_order(self, line: int, values: dict[str, Any], unread: set[str]) -> Faults:
        order = values.get("order_id")
        if order is None or unread & set(SAME_IN_ORDER):
            return
        first_line, first = self.first.setdefault(order, (line, values))
        for column in SAME_IN_ORDER:
            one, other = values.get(column), first.get(column)
            if (one or None) != (other or None):
                shown = cell_text(other) or "empty"
                yield column, f"differs from line {first_line} of the same order {order!r}, which has {shown}"
