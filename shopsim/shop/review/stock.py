"""Whether cloth is there in time: metres used while a delivery is on its way, and what is left when it is ordered."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from shopsim.distributions import Distribution
from shopsim.shop.base import highest
from shopsim.shop.materials import Fabric
from shopsim.shop.products import Product
from shopsim.shop.review.finding import Finding, counted
from shopsim.shop.review.paper import Paper, drawn
from shopsim.shop.rough_demand import Floats
from shopsim.shop.rough_work import printed_piece, remakes
from shopsim.shop.route_times import printers_for

USUAL_LOSS = 0.20
USUAL_LOSSES = (0.12, 0.32)
"""MAT-37: of the area bought, all causes together."""


class Use(NamedTuple):
    """Metres of one fabric a week studied; the mean and the longest supply in working days."""

    fabric: Fabric
    by_week_m: Floats
    usual_days: float
    longest_days: float
    days_a_week: int

    def during_supply_m(self, worst: bool) -> float:
        """Metres used while a delivery is on its way: as usual, or in the worst week at the longest supply."""
        week_m, days = (self.by_week_m.max(), self.longest_days) if worst else (self.by_week_m.mean(), self.usual_days)
        return float(week_m) / self.days_a_week * days

    def rolls(self, metres: float) -> int:
        """Whole rolls that hold so many metres."""
        return math.ceil(metres / self.fabric.roll_length_m - 1e-9)


def look(paper: Paper) -> Iterator[Finding]:
    """Every fabric that is stocked to a reorder level; others are always there."""
    for use in uses(paper) if paper.prints else ():
        if use.fabric.stock.reorder_at_rolls is not None and use.by_week_m.max() > 0:
            yield from _in_time(use)
            if paper.scenario.warm_up_min == 0:
                yield from _at_first(use)


def uses(paper: Paper) -> list[Use]:
    """Metres of each fabric a week: as the pieces lie on the web, remakes in, at least what MAT-37's loss leaves."""
    scenario = paper.scenario
    total = {fabric.id: np.zeros(len(paper.asked.orders)) for fabric in scenario.fabrics}
    fabrics: dict[str, Fabric] = scenario.by_id("fabrics")
    again = remakes(scenario)
    for flow in paper.asked.flows:
        if flow.product.print_step is None or flow.product.fabric is None:
            continue
        fabric = fabrics[flow.product.fabric]
        area_m2 = sum(width_m * height_m * part for width_m, height_m, part in flow.sizes)
        laid_m = metres_a_piece(paper, flow.product, flow.sizes) * again
        total[fabric.id] += flow.pieces * max(laid_m, area_m2 / (1 - USUAL_LOSS) / fabric.roll_width_m)
    days = len(scenario.policies.dispatch.days)
    return [
        Use(each, total[each.id], each.stock.supply_days.mean, _longest(each.stock.supply_days), days)
        for each in scenario.fabrics
    ]


def metres_a_piece(paper: Paper, product: Product, sizes: tuple[tuple[float, float, float], ...]) -> float:
    """Metres of web a piece takes with its like beside it, the mean of the printers that may print it."""
    able = printers_for(paper.scenario, product)
    return float(np.mean([printed_piece(paper.scenario, product, sizes, each)[0] for each in able]))


def _longest(days: Distribution) -> float:
    """The longest supply; of a distribution without end what only one delivery in twenty exceeds."""
    longest = highest(days)
    return longest if math.isfinite(longest) else float(np.quantile(drawn(days), 0.95))


def _in_time(use: Use) -> Iterator[Finding]:
    level = use.fabric.stock.reorder_at_rolls or 0
    level_m = level * use.fabric.roll_length_m
    usual_m, worst_m = use.during_supply_m(worst=False), use.during_supply_m(worst=True)
    safe = use.rolls(worst_m)
    do = f"reorder at {counted(safe, 'roll')} instead of {level}, or agree a shorter supply"
    if usual_m > level_m:
        found = (
            f"{use.by_week_m.mean():.0f} m a week; {usual_m:.0f} m in the {use.usual_days:.3g} working days of a usual "
            f"supply, but reordered when {level_m:.0f} m are left ({counted(level, 'roll')})"
        )
        yield Finding("runs_out_of_cloth", use.fabric.id, found, do, "MAT-36, MAT-37", usual_m / max(level_m, 1.0))
    elif worst_m > level_m:
        found = (
            f"{use.by_week_m.max():.0f} m in the worst week; {worst_m:.0f} m in {use.longest_days:.3g} working days of "
            f"supply, but reordered when {level_m:.0f} m are left ({counted(level, 'roll')})"
        )
        yield Finding(
            "runs_short_in_worst_week", use.fabric.id, found, do, "MAT-36, MAT-37", worst_m / max(level_m, 1.0)
        )


def _at_first(use: Use) -> Iterator[Finding]:
    """A shop that opens with too little waits for the first delivery."""
    rolls = use.fabric.stock.rolls
    first_m = float(use.by_week_m[0]) / use.days_a_week * use.usual_days
    opening_m = rolls * use.fabric.roll_length_m
    if first_m > opening_m:
        yield Finding(
            "opening_stock_short", use.fabric.id,
            f"{opening_m:.0f} m at the start ({counted(rolls, 'roll')}); the first week's orders take {first_m:.0f} m "
            f"in the {use.usual_days:.3g} working days of a usual supply",
            f"{counted(use.rolls(first_m), 'roll')} in stock on the first day (stock.rolls)",
            "MAT-36, MAT-37", first_m / max(opening_m, 1.0),
        )  # fmt: skip
