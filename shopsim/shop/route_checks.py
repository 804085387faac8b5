"""Whether each step of a route stands at a place that can do it, and knows the sizes its minutes follow from."""

from __future__ import annotations

from collections.abc import Iterator

from shopsim.shop.model_paths import Path
from shopsim.shop.printing_checks import fabric_of
from shopsim.shop.products import At, Cut, Operation, Product
from shopsim.shop.scenario import Scenario
from shopsim.shop.work_centres import WorkCentre

Fault = tuple[Path, str]

_FINISHING = ("finishing", "sewing", "packing", "general")
_LOOKING = ("inspection", "packing", "finishing", "general")

# The kinds of work centre an operation may stand at; `work` may stand anywhere. A general place also cuts and sews if
# the minutes are given, since nothing about its tools is needed then.
SUITABLE: dict[str, tuple[str, ...]] = {
    "cut": ("cutting",),
    "sew": ("sewing",),
    "eyelets": _FINISHING,
    "iron": _FINISHING,
    "rods": _FINISHING,
    "frame_fit": _FINISHING,
    "inspect": _LOOKING,
    "pack": _LOOKING,
}


def check_places(scenario: Scenario) -> Iterator[Fault]:
    """Each step at a place of a suitable kind; each cut by a method its fabric allows."""
    centres = scenario.by_id("work_centres")
    for i, product in enumerate(scenario.products):
        for j, step in enumerate(product.route):
            centre = centres.get(step.at) if isinstance(step, At) else None
            if centre is None or not isinstance(step, At):
                continue
            path: Path = ("products", i, "route", j)
            allowed = SUITABLE.get(step.op, (centre.kind,))
            if step.minutes is not None:
                allowed = (*allowed, "general")
            if centre.kind not in allowed:
                wanted = " or ".join(dict.fromkeys(allowed))
                yield (*path, "at"), f"{step.op} needs a {wanted} place, but {centre.id!r} is for {centre.kind}"
            elif isinstance(step, Cut):
                yield from _check_cut(scenario, product, step, centre, path)


def _check_cut(scenario: Scenario, product: Product, step: Cut, centre: WorkCentre, path: Path) -> Iterator[Fault]:
    if centre.method is None:
        if step.minutes is None:
            yield (*path, "at"), f"{centre.id!r} needs a `method` of cutting, or this step its `minutes`"
        return
    fabric = fabric_of(scenario, product)
    if fabric is not None and centre.method not in fabric.cut_methods:
        allowed = ", ".join(fabric.cut_methods)
        yield (*path, "at"), f"{centre.id!r} cuts by {centre.method}, but {fabric.id!r} may be cut by: {allowed}"


def check_sizes(scenario: Scenario) -> Iterator[Fault]:
    """Products whose minutes or web follow from the piece need sizes, unless only orders of a book are of them."""
    for i, product in enumerate(scenario.products):
        if product.sizes or product.size_range is not None:
            continue
        if (step := first_step_by_size(product)) and _is_drawn(scenario, product.id):
            yield ("products", i), f"needs `sizes` or `size_range`: the {step.op} step follows from the size of a piece"


def first_step_by_size(product: Product) -> Operation | None:
    """The first step whose minutes or web follow from the size of the piece, if there is one."""
    for step in product.route:
        if step.op == "print" or (isinstance(step, At) and step.minutes is None):
            return step
    return None


def _is_drawn(scenario: Scenario, product: str) -> bool:
    """Whether anything but an order book, which gives sizes itself, brings pieces of a product."""
    demand = scenario.demand
    drawn = {fleet.product for fleet in demand.hire_fleets}
    if demand.forecast is not None:
        drawn |= {line.product for line in demand.forecast.mix} | {each.product for each in demand.forecast.campaigns}
    return product in drawn
