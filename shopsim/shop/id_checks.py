"""Names that stand for two things, and names that lead nowhere."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from itertools import count
from typing import Any

from shopsim.shop.model_paths import Path
from shopsim.shop.plain_messages import choices
from shopsim.shop.printers import Breakdowns, OfflineFixation
from shopsim.shop.products import At, Print
from shopsim.shop.scenario import Scenario

KINDS = {
    "fabrics": "fabric",
    "printers": "printer",
    "calenders": "calender",
    "work_centres": "work centre",
    "shifts": "shift",
    "crews": "crew",
    "products": "product",
}
Fault = tuple[Path, str]


def ids_written(values: Mapping[str, Any]) -> list[str]:
    """All ids that stand in the plain values of a file, sound or not."""
    return ids_in(values.get(kind) for kind in KINDS)


def ids_in(lists: Iterable[Any]) -> list[str]:
    """The ids of all items of some lists of plain values, sound or not; None stands for an empty list."""
    return [str(each.get("id")) for items in lists for each in items or [] if isinstance(each, dict)]


def first_free(wanted: str, taken: Collection[str]) -> str:
    """The wanted id if it is free, else the first free one with a number behind it, from 2 on."""
    made = (wanted if number == 1 else f"{wanted}_{number}" for number in count(1))
    return next(one for one in made if one not in taken)


def find_doubles(scenario: Scenario) -> Iterator[Fault]:
    """Ids used for two things of the file, and print modes twice on one printer."""
    first: dict[str, str] = {}
    for kind, noun in KINDS.items():
        for index, item in enumerate(getattr(scenario, kind)):
            if item.id in first:
                also = "another" if first[item.id] == noun else f"a {first[item.id]}"
                yield (kind, index, "id"), f"{item.id!r} is already the id of {also}; ids are unique in the whole file"
            first.setdefault(item.id, noun)
    for index, printer in enumerate(scenario.printers):
        modes: set[str] = set()
        for place, mode in enumerate(printer.modes):
            if mode.id in modes:
                yield ("printers", index, "modes", place, "id"), f"{mode.id!r} is already a mode of this printer"
            modes.add(mode.id)


def find_dangling(scenario: Scenario) -> Iterator[Fault]:
    """References to fabrics, printers, work centres, crews … that the file does not hold."""
    ids = {kind: [item.id for item in getattr(scenario, kind)] for kind in KINDS}
    nouns = {name: KINDS[kind] for kind in KINDS for name in ids[kind]}
    for path, name, kind in references(scenario):
        if name not in ids[kind]:
            yield path, _nowhere(name, KINDS[kind], ids[kind], nouns.get(name))


def _nowhere(name: str, noun: str, there_are: list[str], other: str | None) -> str:
    if other:
        return f"must be a {noun}, but {name!r} is a {other}"
    return f"there is no {noun} {name!r}{choices(name, there_are)}"


Reference = tuple[Path, str | None, str]


def references(scenario: Scenario) -> Iterator[tuple[Path, str, str]]:
    """Every place that names a part of the shop: its path, the id there, and the list the part must stand in."""
    for source in (_in_machines, _in_products, _in_demand, _in_house_rules):
        for path, name, kind in source(scenario):
            if name is not None:
                yield path, name, kind


def _in_machines(scenario: Scenario) -> Iterator[Reference]:
    for i, crew in enumerate(scenario.crews):
        yield ("crews", i, "shift"), crew.shift, "shifts"
    for i, printer in enumerate(scenario.printers):
        if isinstance(printer.fixation, OfflineFixation):
            yield ("printers", i, "fixation", "calender"), printer.fixation.calender, "calenders"
        yield from _repair_at(("printers", i, "breakdowns"), printer.breakdowns)
    for i, centre in enumerate(scenario.work_centres):
        yield from _repair_at(("work_centres", i, "stops"), centre.stops)


def _repair_at(path: Path, breakdowns: Breakdowns | None) -> Iterator[Reference]:
    if breakdowns is not None:
        yield (*path, "repair_at"), breakdowns.repair_at, "work_centres"


def _in_products(scenario: Scenario) -> Iterator[Reference]:
    for i, product in enumerate(scenario.products):
        yield ("products", i, "fabric"), product.fabric, "fabrics"
        for j, step in enumerate(product.route):
            path: Path = ("products", i, "route", j)
            if isinstance(step, At):
                yield (*path, "at"), step.at, "work_centres"
            elif isinstance(step, Print):
                for k, printer in enumerate(step.printers or ()):
                    yield (*path, "printers", k), printer, "printers"


def _in_demand(scenario: Scenario) -> Iterator[Reference]:
    demand = scenario.demand
    if demand.forecast is not None:
        for i, line in enumerate(demand.forecast.mix):
            yield ("demand", "forecast", "mix", i, "product"), line.product, "products"
        for i, campaign in enumerate(demand.forecast.campaigns):
            yield ("demand", "forecast", "campaigns", i, "product"), campaign.product, "products"
    for i, fleet in enumerate(demand.hire_fleets):
        yield ("demand", "hire_fleets", i, "product"), fleet.product, "products"
    if demand.artwork is not None:
        yield ("demand", "artwork", "check_at"), demand.artwork.check_at, "work_centres"


def _in_house_rules(scenario: Scenario) -> Iterator[Reference]:
    for i, overtime in enumerate(scenario.policies.overtime):
        for j, crew in enumerate(overtime.crews):
            yield ("policies", "overtime", i, "crews", j), crew, "crews"
    for i, bought_in in enumerate(scenario.policies.bought_in):
        yield ("policies", "bought_in", i, "at"), bought_in.at, "work_centres"
    yield ("policies", "dispatch", "order_check_at"), scenario.policies.dispatch.order_check_at, "work_centres"
