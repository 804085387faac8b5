"""Whether rolls fit: orders that want one lot, pieces that leave much of the width or of the roll over."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from shopsim.shop.materials import Fabric
from shopsim.shop.order_book import OrderLine
from shopsim.shop.products import Product
from shopsim.shop.review.finding import COMMON_PRACTICE, Finding, counted, ways
from shopsim.shop.review.paper import Paper, drawn
from shopsim.shop.review.stock import metres_a_piece
from shopsim.shop.rough_work import laid_on
from shopsim.shop.route_times import printers_for

LEAST_WIDTH_USED = 0.55
"""PRE-15: of a web with one piece across, the low end."""
LEAST_ROLL_USED = 0.80
"""Common practice, no source."""


class LargeLine(NamedTuple):
    """A large order line of a product: what it is, its pieces, and metres of web a piece."""

    what: str
    pieces: float
    each_m: float

    @property
    def metres(self) -> float:
        """All of it."""
        return self.pieces * self.each_m


def look(paper: Paper) -> Iterator[Finding]:
    """Every product that is printed here."""
    fabrics: dict[str, Fabric] = paper.scenario.by_id("fabrics")
    for product in paper.scenario.products if paper.prints else ():
        if product.print_step is not None and product.fabric is not None:
            fabric = fabrics[product.fabric]
            if product.one_lot and fabric.stock.reorder_at_rolls is not None:
                yield from _lots(paper, product, fabric)
            yield from _fit(paper, product, fabric)


def _lots(paper: Paper, product: Product, fabric: Fabric) -> Iterator[Finding]:
    """An order that asks for one lot surely gets it only where one delivery holds enough."""
    line = max(_large_lines(paper, product), key=lambda each: each.metres, default=None)
    leader_m = min(each.roll_change.leader_m for each in printers_for(paper.scenario, product))
    roll_m = fabric.roll_length_m - leader_m
    lot_m = fabric.stock.order_rolls * roll_m
    if line is not None and line.metres > lot_m:
        rolls = math.ceil(line.metres / roll_m - 1e-9)
        yield Finding(
            "lot_too_small", product.id,
            f"{line.what} of {line.pieces:.0f} pieces takes {line.metres:.0f} m of {fabric.id}; a delivery of "
            f"{counted(fabric.stock.order_rolls, 'roll')} has {lot_m:.0f} m of one lot",
            f"order {counted(rolls, 'roll')} at a time (stock.order_rolls) or in one delivery for such an order, or "
            "agree with the customer that lots may differ",
            "QUA-06", line.metres / lot_m,
        )  # fmt: skip


def _large_lines(paper: Paper, product: Product) -> Iterator[LargeLine]:
    booked = [line for line in paper.shop.order_lines if line.product == product.id]
    if booked:
        largest = max(booked, key=lambda line: line.pieces * math.prod(_size(product, line)))
        sizes = ((*_size(product, largest), 1.0),)
        yield LargeLine(f"order {largest.order_id}", largest.pieces, metres_a_piece(paper, product, sizes))
    forecast = paper.scenario.demand.forecast
    flows = [flow for flow in paper.asked.flows if flow.product.id == product.id]
    if forecast is None or not flows:
        return
    each_m = metres_a_piece(paper, product, flows[-1].sizes)
    for mix in forecast.mix:
        if mix.product == product.id:
            pieces = float(np.quantile(np.maximum(1.0, np.ceil(drawn(mix.pieces))), 0.9))
            yield LargeLine("one order line in ten, one", pieces, each_m)
    for campaign in forecast.campaigns:
        if campaign.product == product.id and campaign.per_month > 0:
            yield LargeLine("a usual roll-out", campaign.pieces.mean, each_m)


def _size(product: Product, line: OrderLine) -> tuple[float, float]:
    if line.width_m and line.height_m:
        return line.width_m, line.height_m
    return product.sizes[0].width_m, product.sizes[0].height_m


def _fit(paper: Paper, product: Product, fabric: Fabric) -> Iterator[Finding]:
    printer = max(printers_for(paper.scenario, product), key=lambda each: each.print_width_m)
    length_m = used_m = longest_m = 0.0
    for flow in paper.asked.flows:
        if flow.product.id != product.id:
            continue
        for width_m, height_m, part in flow.sizes:
            laid = laid_on(paper.scenario, product, printer, width_m, height_m)
            metres = float(flow.pieces.sum()) * part * laid.length_m
            length_m += metres
            used_m += metres * laid.image_m / fabric.roll_width_m
            if metres:
                longest_m = max(longest_m, laid.along_m)
    if length_m and used_m / length_m < LEAST_WIDTH_USED:
        share = used_m / length_m
        yield Finding(
            "narrow_on_the_web", product.id,
            f"its pieces, as many of a size as fit side by side, take {share * 100:.0f} % of the "
            f"{fabric.roll_width_m:g} m of {fabric.id}; one across usually takes 55 to 98 %",
            ways("" if fabric.may_turn else "let pieces turn if the cloth allows it (may_turn)",
                 "a narrower roll, or gang them with pieces that fit beside them"),
            "PRE-15", 1 - share,
        )  # fmt: skip
    room_m = fabric.roll_length_m - printer.roll_change.leader_m
    whole = math.floor(room_m / longest_m + 1e-9) if longest_m else 0
    if whole and whole * longest_m < LEAST_ROLL_USED * room_m:
        left_m = room_m - whole * longest_m
        yield Finding(
            "roll_ends_left", product.id,
            f"its longest piece takes {longest_m:.1f} m: {counted(whole, 'piece')} on a roll of "
            f"{fabric.roll_length_m:g} m, {left_m:.1f} m stay over",
            "longer rolls, or short pieces planned for the ends", COMMON_PRACTICE, left_m / room_m,
        )  # fmt: skip
