"""Planners' lists: whether their places and orders exist, and whether the lists of all places can be kept together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from graphlib import CycleError, TopologicalSorter

from shopsim.craft.layout import usable_width_m
from shopsim.craft.layout_pieces import SLACK_M
from shopsim.shop.materials import Fabric
from shopsim.shop.model_paths import Path
from shopsim.shop.order_rows import OrderLine
from shopsim.shop.plain_messages import choices
from shopsim.shop.printers import Printer
from shopsim.shop.products import At, Product
from shopsim.shop.route_times import printers_for, web_pieces, web_width_m
from shopsim.shop.scenario import Scenario

Fault = tuple[Path, str]
_SHOWN = 6


def check_sequences(scenario: Scenario) -> Iterator[Fault]:
    """What the scenario alone shows: unknown places, places with two lists, orders listed twice."""
    sequences = scenario.policies.sequences
    if sequences and scenario.demand.order_book is None:
        yield ("policies", "sequences"), "needs a `demand.order_book`: lists name its orders"
    places: set[str] = set()
    printers = {printer.id for printer in scenario.printers}
    interrupted = {centre.id for centre in scenario.work_centres if centre.interrupted_by != "nothing"}
    known = [centre.id for centre in scenario.work_centres] + [printer.id for printer in scenario.printers]
    printed_at: dict[str, str] = {}
    for i, sequence in enumerate(sequences):
        if sequence.at not in known:
            message = f"there is no work centre or printer {sequence.at!r}{choices(sequence.at, known)}"
            yield ("policies", "sequences", i, "at"), message
        elif sequence.at in places:
            yield ("policies", "sequences", i, "at"), f"{sequence.at!r} already has a list"
        elif sequence.at in interrupted:
            message = f"{sequence.at!r} works strictly by this list and cannot have `interrupted_by` too"
            yield ("policies", "sequences", i, "at"), message
        places.add(sequence.at)
        seen: set[str] = set()
        for j, order in enumerate(sequence.orders):
            path: Path = ("policies", "sequences", i, "orders", j)
            if order in seen:
                yield path, f"{order!r} is already on this list"
            elif sequence.at in printers:
                other = printed_at.setdefault(order, sequence.at)
                if other != sequence.at:
                    yield path, f"{order!r} is already on the list of {other!r}; one printer prints a listed order"
            seen.add(order)


def check_listed_orders(scenario: Scenario, lines: Sequence[OrderLine]) -> list[Fault]:
    """What the order book shows: unknown orders, orders that never come to the place, lists that block each other."""
    sequences = scenario.policies.sequences
    if not sequences:
        return []
    orders: dict[str, list[OrderLine]] = {}
    for line in lines:
        orders.setdefault(line.order_id, []).append(line)
    faults: list[Fault] = []
    for i, sequence in enumerate(sequences):
        for j, order in enumerate(sequence.orders):
            message = _why_not(scenario, sequence.at, order, orders)
            if message:
                faults.append((("policies", "sequences", i, "orders", j), message))
    if faults:
        return faults
    listed = {order for sequence in sequences for order in sequence.orders}
    return _circles(scenario, {order: [_places(scenario, line) for line in orders[order]] for order in sorted(listed)})


def _why_not(scenario: Scenario, at: str, order: str, orders: Mapping[str, list[OrderLine]]) -> str | None:
    """Why an order cannot stand on the list of a place."""
    if order not in orders:
        return f"the order book has no order {order!r}{choices(order, orders, 'it has')}"
    products: dict[str, Product] = scenario.by_id("products")
    printer: Printer | None = scenario.by_id("printers").get(at)
    if printer is None:
        comes = any(isinstance(s, At) and s.at == at for line in orders[order] for s in products[line.product].route)
        return None if comes else f"no product of order {order!r} comes to {at!r}"
    printed = [line for line in orders[order] if products[line.product].print_step is not None]
    if not printed:
        return f"nothing of order {order!r} is printed"
    for line in printed:
        if printer not in printers_for(scenario, products[line.product]):
            return f"{at!r} cannot print {line.product!r} of order {order!r}: another mode, fabric or route"
        across_m, web_m = _widths_m(scenario, printer, line)
        if across_m > web_m + SLACK_M:
            return f"{at!r} takes {web_m:.3f} m, but {line.product!r} of order {order!r} prints {across_m:.3f} m wide"
    return None


def _widths_m(scenario: Scenario, printer: Printer, line: OrderLine) -> tuple[float, float]:
    """How wide the widest print of an order line is at least, and how wide the printer's web."""
    product: Product = scenario.by_id("products")[line.product]
    assert product.fabric is not None  # a printed product has one
    fabric: Fabric = scenario.by_id("fabrics")[product.fabric]
    size = product.sizes[0] if product.sizes else None
    width_m, height_m = (
        line.width_m or (size.width_m if size else 0.0),
        line.height_m or (size.height_m if size else 0.0),
    )
    overlap_m = scenario.supplies.panel_overlap_m
    web = web_pieces(product, fabric, web_width_m(scenario, product), overlap_m, width_m, height_m)
    across_m = max(min(each) if fabric.may_turn else each.across_m for each in web.sizes)
    return across_m, usable_width_m(printer.print_width_m, fabric.roll_width_m, scenario.supplies.edge_margin_m)


def _places(scenario: Scenario, line: OrderLine) -> list[str]:
    """Where an order line goes, in turn; of printers only the one that lists its order."""
    product: Product = scenario.by_id("products")[line.product]
    places = [step.at for step in product.route if isinstance(step, At)]
    if product.print_step is None:
        return places
    printers = scenario.by_id("printers")
    listed = [each.at for each in scenario.policies.sequences if each.at in printers and line.order_id in each.orders]
    return [*listed, *places]


# Order, place, number of the order line, step of its route. One without an order stands for the moment at which so many
# orders of the place's list (the third number) have had their turn.
_Node = tuple[str, str, int, int]


def _circles(scenario: Scenario, routes: dict[str, list[list[str]]]) -> list[Fault]:
    """Orders that wait for each other for ever, told at the first list that takes part."""
    sequences = scenario.policies.sequences
    listed = list(routes)
    sorter: TopologicalSorter[_Node] = TopologicalSorter()
    for order in listed:
        for number, places in enumerate(routes[order]):
            for step in range(1, len(places)):
                sorter.add((order, places[step], number, step), (order, places[step - 1], number, step - 1))
    for sequence in sequences:
        rest = set(listed).difference(sequence.orders)
        for rank, order in enumerate([*sequence.orders, *sorted(rest)]):
            turn = min(rank, len(sequence.orders))
            _take_turn(
                sorter, sequence.at, turn, None if order in rest else turn + 1, _visits(order, sequence.at, routes)
            )
    try:
        sorter.prepare()
    except CycleError as error:
        waits = list(dict.fromkeys((order, place) for order, place, _, _ in error.args[1] if order))
        at = {place for _, place in waits}
        first = next(i for i, sequence in enumerate(sequences) if sequence.at in at)
        shown = ", ".join(f"{order} at {place}" for order, place in waits[:_SHOWN])
        message = f"cannot be kept: by the lists and the routes these wait for each other: {shown}"
        return [(("policies", "sequences", first, "orders"), message + (" …" if len(waits) > _SHOWN else ""))]
    return []


def _visits(order: str, at: str, routes: dict[str, list[list[str]]]) -> list[_Node]:
    return [
        (order, at, number, step)
        for number, places in enumerate(routes[order])
        for step, place in enumerate(places)
        if place == at
    ]


def _take_turn(
    sorter: TopologicalSorter[_Node], at: str, turn: int, next_turn: int | None, visits: list[_Node]
) -> None:
    """Visits come after the start of their turn, the next turn after them; unlisted orders have no next turn."""
    if next_turn is not None:
        sorter.add(("", at, next_turn, 0), ("", at, turn, 0))
    for visit in visits:
        sorter.add(visit, ("", at, turn, 0))
        if next_turn is not None:
            sorter.add(("", at, next_turn, 0), visit)
