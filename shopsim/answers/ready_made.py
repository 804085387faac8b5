"""What-ifs made from a few numbers: a second printer like one that is there, another crew size."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shopsim.shop.changes import Change
from shopsim.shop.id_checks import KINDS, first_free
from shopsim.shop.names import name_of
from shopsim.shop.printers import InlineFixation, Printer
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_dump import plain
from shopsim.shop.what_if import Spends, WhatIf


@dataclass(frozen=True, slots=True)
class AnotherPrinter:
    """A printer like `like`: `speed_pct` of its speed, plate and tail in metres (None where it has no plate).

    `attention_pct` is how much of an operator it takes while printing; price in the scenario's currency, floor in m².
    """

    like: str
    name: str
    speed_pct: float
    attention_pct: float
    price: float
    floor_m2: float
    plate_m: float | None = None
    tail_m: float | None = None


def like(printer: Printer) -> AnotherPrinter:
    """The same machine once more."""
    plate = printer.fixation if isinstance(printer.fixation, InlineFixation) else None
    return AnotherPrinter(
        printer.id, "Another printer", 100.0, printer.attention_pct, printer.money.price, printer.money.floor_m2,
        plate.plate_m if plate else None, plate.tail_m if plate else None,
    )  # fmt: skip


def another_printer(scenario: Scenario, wanted: AnotherPrinter, spends: Spends, base: str) -> WhatIf:
    """The what-if that adds the printer, to every product that may be printed on its like.

    Speed is set where the like has it: at the width of the head, or at the area rates of its modes. Raises WhatIfError
    for numbers no scenario can hold, ValueError for a printer that is not there.
    """
    printers = scenario.by_id("printers")
    if wanted.like not in printers:
        raise ValueError(f"there is no printer {wanted.like!r}")
    there: Printer = printers[wanted.like]
    own_id = free_id(f"{wanted.like.rstrip('0123456789_')}_{len(printers) + 1}", scenario)
    money = {**plain(there.money), "price": wanted.price, "floor_m2": wanted.floor_m2}
    inside = {"name": wanted.name, "attention_pct": wanted.attention_pct, "money": money, **_speed(there, wanted)}
    if isinstance(there.fixation, InlineFixation):
        inside |= {"fixation.plate_m": wanted.plate_m, "fixation.tail_m": wanted.tail_m}
    changes = [Change("copy", f"printers.{wanted.like}", {"id": own_id, **inside})]
    for product in scenario.products:
        for number, step in enumerate(product.route):
            allowed = getattr(step, "printers", None)
            if allowed and wanted.like in allowed:
                path = f"products.{product.id}.route[{number}].printers"
                changes.append(Change("set", path, [*allowed, own_id]))
    return WhatIf(wanted.name, tuple(changes), base, spends=spends)


def adds_printer(what_if: WhatIf) -> bool:
    """Whether a what-if brings a printer."""
    return any(
        change.path.split(".")[0] == "printers" and change.action in ("add", "copy") for change in what_if.changes
    )


def _speed(there: Printer, wanted: AnotherPrinter) -> dict[str, object]:
    factor = wanted.speed_pct / 100
    if factor == 1:
        return {}
    rates = {
        f"modes.{mode.id}.area_rate_m2_per_h": mode.area_rate_m2_per_h * factor
        for mode in there.modes
        if mode.area_rate_m2_per_h is not None
    }
    by_head = any(mode.area_rate_m2_per_h is None for mode in there.modes)
    return {**rates, **({"head.swath_m": there.head.swath_m * factor} if by_head else {})}


def crew_of(scenario: Scenario, heads: Mapping[str, int], base: str) -> WhatIf:
    """The what-if that sets head counts, by crew; it is called as pictures of crews call them."""
    said = ", ".join(f"{name_of(scenario, crew)}: {count}" for crew, count in heads.items())
    return WhatIf(said, tuple(Change("set", f"crews.{crew}.count", count) for crew, count in heads.items()), base)


def free_id(wanted: str, scenario: Scenario) -> str:
    """An id that no part of the scenario has, the wanted one if it is free."""
    return first_free(wanted, {one.id for kind in KINDS for one in getattr(scenario, kind)})
