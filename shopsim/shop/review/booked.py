"""Dates of an order book that had passed before the orders could leave an empty shop (`empty_shop`)."""

from __future__ import annotations

import datetime
import math
from bisect import bisect_left
from collections.abc import Iterator

from shopsim.clock import MINUTES_PER_DAY, minute_of, parse_clock
from shopsim.shop.collections import collection_times
from shopsim.shop.order_book import OrderLine
from shopsim.shop.products import Product
from shopsim.shop.review.empty_shop import Clock, Routes, Sizes, Stage, made_at, steps_of
from shopsim.shop.review.finding import Finding, counted, named
from shopsim.shop.review.paper import Paper
from shopsim.shop.rough_demand import sizes_of


def look(paper: Paper) -> Iterator[Finding]:
    """Orders of the book whose date has passed before they could leave an empty shop."""
    if not paper.shop.order_lines:
        return
    book = Book(paper)
    orders: dict[str, list[OrderLine]] = {}
    for line in paper.shop.order_lines:
        if line.cancelled is None:
            orders.setdefault(line.order_id, []).append(line)
    late = {name: days for name, lines in orders.items() if (days := book.days_late(lines)) > 0}
    if late:
        worst = max(late, key=lambda name: late[name])
        yield Finding(
            "dates_impossible", f"dates of {counted(len(late), 'order')} of the book",
            f"of {len(orders):,} orders these are due before they could leave an empty shop: "
            f"{named(list(late))}; the worst, {worst}, by {_days(late[worst])}",
            "ask whether the dates in the book are those promised; else other dates, approval or receipt earlier, "
            "or these orders bought in",
            "DEM-13, FIN-11", len(late) / len(orders),
        )  # fmt: skip


def _days(days: float) -> str:
    return f"{days:.2g} working day{'' if days == 1 else 's'}"


class Book:
    """When the orders of a book could leave an empty shop, closures included."""

    def __init__(self, paper: Paper) -> None:
        self.paper = paper
        self.routes = Routes(paper)
        self._clock = Clock(paper, paper.hours.calendars)
        self._collections = collection_times(paper.scenario)
        self._products: dict[str, Product] = paper.scenario.by_id("products")

    def days_late(self, lines: list[OrderLine]) -> float:
        """Working days between the day an order is due and the first collection it could leave with; 0 if on time.

        An order that would be made after the weeks laid out is not judged: 0.
        """
        scenario, one = self.paper.scenario, lines[0]
        start = _minute(self.paper, one.received)
        art, dispatch = scenario.demand.artwork, scenario.policies.dispatch
        if art is not None and art.check_at is not None:
            check_min = (art.check_repeat_min if one.repeat else art.check_new_min).mean + art.set_up_min.mean
            start = made_at(steps_of([self.routes.desk(art.check_at, check_min)]), start, self._clock)
        if one.approved is not None:
            start = max(start, _minute(self.paper, one.approved))
        made = max(made_at(steps_of(self._stages(line)), start, self._clock) for line in lines)
        if dispatch.order_check_at is not None:
            check = self.routes.desk(dispatch.order_check_at, dispatch.order_check_min.mean)
            made = made_at(steps_of([check]), made, self._clock)
        due = minute_of(one.due, scenario.shop.starts, parse_clock(dispatch.cut_off))
        if math.isinf(made) or made <= due:
            return 0.0
        if dispatch.at_once:
            return (made - due) / MINUTES_PER_DAY
        return float(bisect_left(self._collections, made) - bisect_left(self._collections, due))

    def _stages(self, line: OrderLine) -> list[Stage]:
        product = self._products[line.product]
        sizes: Sizes = ((line.width_m or 0.0, line.height_m or 0.0, 1.0),)
        if not line.width_m:
            sizes = sizes_of(product)
        return self.routes.stages(product, line.pieces, sizes)


def _minute(paper: Paper, moment: datetime.datetime) -> float:
    return minute_of(moment.date(), paper.scenario.shop.starts, moment.hour * 60 + moment.minute)
