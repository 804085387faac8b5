"""What the printers really give: m² an hour by printer, fabric and mode, and what limits them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from shopsim.craft.layout import usable_width_m
from shopsim.shop.materials import Fabric
from shopsim.shop.printers import Mode, Printer
from shopsim.shop.route_times import feed_m_per_min, printers_for, speed_cap_m_per_min, speed_m_per_min
from shopsim.shop.scenario import Scenario

NARROW_M = 1.5


@dataclass(frozen=True, slots=True)
class PrintSpeed:
    """One mode on one fabric; rates in m² an hour.

    `rated` is the brochure's or the formula's rate at `width_m`, the widest image; `real` what is kept up while
    printing, heat plate included; `real_narrow` the same for an image 1.5 m wide, None where the web is narrower.
    `plate` and `plate_m_per_h` are what fixing allows, None without a plate inside the printer.
    """

    printer: str
    fabric: str
    mode: str
    width_m: float
    rated: float
    real: float
    real_narrow: float | None
    plate: float | None
    plate_m_per_h: float | None
    limit: Literal["head", "plate"]


def print_speeds(scenario: Scenario) -> list[PrintSpeed]:
    """Every mode in which a product is printed, on each printer that may print it, in the order of the file."""
    fabrics: dict[str, Fabric] = scenario.by_id("fabrics")
    asked = {
        (printer.id, str(product.fabric), product.print_step.mode)
        for product in scenario.products
        if product.print_step is not None
        for printer in printers_for(scenario, product)
    }
    return [
        _speed(scenario, printer, fabric, mode)
        for printer in scenario.printers
        for fabric in fabrics.values()
        for mode in printer.modes
        if (printer.id, fabric.id, mode.id) in asked
    ]


def _speed(scenario: Scenario, printer: Printer, fabric: Fabric, mode: Mode) -> PrintSpeed:
    width_m = usable_width_m(printer.print_width_m, fabric.roll_width_m, scenario.supplies.edge_margin_m)
    feed = feed_m_per_min(printer, mode, width_m)
    cap = speed_cap_m_per_min(printer, fabric)
    return PrintSpeed(
        printer=printer.id,
        fabric=fabric.id,
        mode=mode.id,
        width_m=width_m,
        rated=feed / mode.achieved_share * 60 * width_m,
        real=min(feed, cap) * 60 * width_m,
        real_narrow=speed_m_per_min(printer, mode, fabric, NARROW_M) * 60 * NARROW_M if width_m >= NARROW_M else None,
        plate_m_per_h=None if math.isinf(cap) else cap * 60,
        plate=None if math.isinf(cap) else cap * 60 * width_m,
        limit="plate" if cap < feed else "head",
    )
