"""Whether printed products can be printed: modes, printers for a fabric, pieces for a web and a roll."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from shopsim.craft.layout import print_size, usable_width_m
from shopsim.craft.layout_pieces import SLACK_M
from shopsim.shop.base import highest, lowest
from shopsim.shop.materials import Fabric
from shopsim.shop.model_paths import Path
from shopsim.shop.plain_messages import choices
from shopsim.shop.printers import Printer
from shopsim.shop.products import Print, Product, SizeRange
from shopsim.shop.route_times import printers_for, takes_roll
from shopsim.shop.scenario import Scenario

Fault = tuple[Path, str]


class Largest(NamedTuple):
    """The largest piece a product can have, as bounds of its width, height, shorter side, m, and area, m2.

    ``up_to`` stands before sizes in messages: empty for a given size, ``up to`` where sizes are drawn.
    """

    width_m: float
    height_m: float
    short_m: float
    area_m2: float
    up_to: str = ""

    @property
    def long_m(self) -> float:
        return max(self.width_m, self.height_m)


def check_modes(scenario: Scenario) -> Iterator[Fault]:
    """Modes must state their speed in exactly one way."""
    for i, printer in enumerate(scenario.printers):
        for j, mode in enumerate(printer.modes):
            path: Path = ("printers", i, "modes", j)
            if (mode.passes is None) == (mode.area_rate_m2_per_h is None):
                both = "both are given" if mode.passes is not None else "neither is given"
                yield path, f"give either `passes` or `area_rate_m2_per_h`; {both}"
            elif mode.rated_width_m is not None and mode.area_rate_m2_per_h is None:
                yield (*path, "rated_width_m"), "belongs to `area_rate_m2_per_h`; a mode given by passes has none"


def check_print_steps(scenario: Scenario) -> Iterator[Fault]:
    """Each print step needs a printer with its mode that takes its fabric."""
    for i, product in enumerate(scenario.products):
        step = product.print_step
        if step is None:
            continue
        path: Path = ("products", i, "route", 0)
        allowed = _allowed(scenario, step)
        if not scenario.printers:
            yield path, "nothing can print this: the shop has no printers"
        elif step.printers == ():
            yield (*path, "printers"), "name at least one printer, or leave `printers` out to allow all"
        elif allowed and not any(mode.id == step.mode for printer in allowed for mode in printer.modes):
            yield (*path, "mode"), _no_mode(step.mode, allowed)
        elif allowed:
            yield from _too_wide_a_cloth(scenario, i, product, [p for p in allowed if _has_mode(p, step)])


def _no_mode(mode: str, allowed: list[Printer]) -> str:
    known = list(dict.fromkeys(each.id for printer in allowed for each in printer.modes))
    return f"no printer allowed here has the mode {mode!r}{choices(mode, known, 'they have')}"


def _too_wide_a_cloth(scenario: Scenario, i: int, product: Product, able: list[Printer]) -> Iterator[Fault]:
    fabric = fabric_of(scenario, product)
    if fabric is not None and not any(takes_roll(printer, fabric) for printer in able):
        widest = max(printer.print_width_m for printer in able)
        yield (
            ("products", i, "fabric"),
            f"{fabric.id!r} is {fabric.roll_width_m:g} m wide, but the widest printer allowed prints {widest:g} m",
        )


def check_pieces(scenario: Scenario) -> Iterator[Fault]:
    """Pieces must fit the web, unless they may be split, and a full roll."""
    for i, product in enumerate(scenario.products):
        for path, largest in largest_pieces(product):
            message = why_unprintable(scenario, product, largest)
            if message:
                yield ("products", i, *path), message


def why_unprintable(scenario: Scenario, product: Product, piece: Largest) -> str | None:
    """Why a piece cannot be printed on any web of its product's fabric, with both widths; None if it can."""
    step = product.print_step
    fabric = fabric_of(scenario, product)
    if step is None or fabric is None:
        return None
    able = printers_for(scenario, product)
    if not able:
        return None
    margin_m = scenario.supplies.edge_margin_m
    try:
        web_m = max(usable_width_m(printer.print_width_m, fabric.roll_width_m, margin_m) for printer in able)
    except ValueError:
        return f"margins of {margin_m:g} m leave nothing of the {fabric.roll_width_m:g} m wide fabric {fabric.id!r}"
    ways = [_printed(piece.width_m, piece.height_m, fabric, step)]
    if fabric.may_turn:
        ways.append(_printed(piece.short_m, piece.long_m, fabric, step, turned=True))
    if product.may_split:
        if web_m <= scenario.supplies.panel_overlap_m:
            return f"panels of a {web_m:g} m web are narrower than their seam, {scenario.supplies.panel_overlap_m:g} m"
        fitting = ways
    else:
        fitting = [way for way in ways if way[0] <= web_m + SLACK_M]
    size = f"a piece {piece.up_to}{piece.width_m:.4g} x {piece.height_m:.4g} m prints {piece.up_to}"
    if not fitting:
        across_m = min(across for across, _ in ways)
        return (
            f"{size}{across_m:.3f} m wide, but the widest web of {fabric.id!r} takes {web_m:.3f} m; "
            "make it smaller or say `may_split: true`"
        )
    along_m = min(along for _, along in fitting)
    lead_m = max(max(each.roll_change.leader_m, each.roll_change.join_waste_m) for each in able)
    if along_m + lead_m > fabric.roll_length_m:
        left_m = max(0.0, fabric.roll_length_m - lead_m)
        return f"{size}{along_m:.1f} m long, but a full roll of {fabric.id!r} has {left_m:g} m behind its leader"
    return None


def largest_pieces(product: Product) -> Iterator[tuple[Path, Largest]]:
    """The largest piece of each size or size range of a product, with its path inside the product."""
    for index, size in enumerate(product.sizes):
        yield ("sizes", index), largest(size.width_m, size.height_m)
    if product.size_range is not None:
        yield ("size_range",), _largest_of_range(product.size_range)


def largest(width_m: float, height_m: float) -> Largest:
    """A single given size."""
    return Largest(width_m, height_m, min(width_m, height_m), width_m * height_m)


def _largest_of_range(sizes: SizeRange) -> Largest:
    area_m2, flattest = highest(sizes.area_m2), lowest(sizes.width_over_height)
    width_m = min(sizes.longest_side_m, math.sqrt(area_m2 * highest(sizes.width_over_height)))
    height_m = min(sizes.longest_side_m, math.sqrt(area_m2 / flattest) if flattest > 0 else math.inf)
    return Largest(
        width_m, height_m, min(width_m, height_m, math.sqrt(area_m2)), min(area_m2, width_m * height_m), "up to "
    )


def fabric_of(scenario: Scenario, product: Product) -> Fabric | None:
    """The fabric of a product; None without one, or if its name leads nowhere."""
    return next((fabric for fabric in scenario.fabrics if fabric.id == product.fabric), None)


def _allowed(scenario: Scenario, step: Print) -> list[Printer]:
    return [each for each in scenario.printers if step.printers is None or each.id in step.printers]


def _has_mode(printer: Printer, step: Print) -> bool:
    return any(mode.id == step.mode for mode in printer.modes)


def _printed(across_m: float, along_m: float, fabric: Fabric, step: Print, turned: bool = False) -> tuple[float, float]:
    shrink_across, shrink_along = fabric.shrink_across_pct / 100, fabric.shrink_along_pct / 100
    if turned:
        # Which of the drawn sides is turned is not known here; the greater shrinkage is on the safe side.
        shrink_across = shrink_along = max(shrink_across, shrink_along)
    size = print_size(across_m, along_m, shrink_across, shrink_along, step.edge_extra_m)
    return size.across_m, size.along_m
