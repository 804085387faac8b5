"""All orders of a replication, drawn before the clock starts, in the order in which they are received.

Each attribute has its own stream by source and name, row by order (or order line), so a what-if that changes
machines, people or rules meets exactly the same orders.
"""

from __future__ import annotations

import datetime
import math
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from shopsim.clock import MINUTES_PER_DAY, date_of, minute_of, parse_clock
from shopsim.floor.draws import ReplicationDraws
from shopsim.shop.collections import collection_times, whole_days
from shopsim.shop.demand import Artwork, Campaign, Cancellations, Forecast
from shopsim.shop.order_book import OrderLine
from shopsim.shop.products import NORMAL_PRIORITY, Product
from shopsim.shop.scenario import Scenario

Floats = NDArray[np.float64]
NEVER = math.inf


class LineDraw(NamedTuple):
    """One order line: number of its plan (the product's in the scenario), pieces, size, first row in its tables."""

    product: int
    pieces: int
    width_m: float
    height_m: float
    first_row: int


@dataclass(slots=True)
class OrderDraw:
    """One order as the customer brings it.

    A forecast order waits `artwork_min` for files and approval after its artwork check; a booked one until the minute
    `approved`, and has its id in the book as `name`. `priority` is 1 (first) to 9 (last). `outside` names a place whose
    work on it is bought in whatever the queue, where the shop buys in at all.
    """

    received: float
    due: float
    rush: bool
    repeat: bool
    artwork_min: float
    cancel_at: float
    check_min: float
    courier_days: float
    check_order_min: float
    lines: list[LineDraw] = field(default_factory=list)
    approved: float = 0.0
    name: str = ""
    priority: int = NORMAL_PRIORITY
    outside: str = ""


class OrderMaker:
    """Draws the order table of one scenario and replication."""

    def __init__(self, scenario: Scenario, order_lines: Sequence[OrderLine], draws: ReplicationDraws) -> None:
        self.scenario = scenario
        self.draws = draws
        self.order_lines = order_lines
        self.collections = collection_times(scenario)
        self.products = list(scenario.products)
        self.number = {product.id: i for i, product in enumerate(self.products)}
        self.rows = [0] * len(self.products)

    def make(self) -> list[OrderDraw]:
        """All orders received before the horizon, sorted by time of receipt (book, then forecast, then campaigns)."""
        return self.numbered(sorted(self.drawn(), key=lambda order: order.received))

    def drawn(self) -> list[OrderDraw]:
        """All orders received before the horizon, source by source, without what goes by their order."""
        orders = self._from_book()
        forecast = self.scenario.demand.forecast
        if forecast is not None:
            orders += self._from_forecast(forecast)
            for i, campaign in enumerate(forecast.campaigns):
                orders += self._from_campaign(i, campaign, forecast)
        return orders

    def numbered(self, orders: list[OrderDraw], name: str = "orders") -> list[OrderDraw]:
        """Give orders, in this order, the next rows of their products' tables, their priority and what is drawn row by
        row under this name."""
        for order in orders:
            order.lines = [self._placed(line) for line in order.lines]
        self._give_priorities(orders)
        self._add_order_numbers(orders, name)
        return orders

    def _give_priorities(self, orders: list[OrderDraw]) -> None:
        """An order is as urgent as the most urgent of its products: it leaves whole."""
        each = [product.priority for product in self.products]
        own = {line.order_id: line.priority for line in self.order_lines if line.priority is not None}
        if own or any(priority != NORMAL_PRIORITY for priority in each):
            for order in orders:
                order.priority = own.get(order.name) or min(each[line.product] for line in order.lines)

    def _placed(self, line: LineDraw) -> LineDraw:
        first = self.rows[line.product]
        self.rows[line.product] += line.pieces
        return LineDraw(line.product, line.pieces, line.width_m, line.height_m, first)

    def due_after(self, minute: float, lead_days: float) -> float:
        """The cut-off `lead_days` working days after the first one at or after `minute`."""
        if self.scenario.policies.dispatch.at_once:
            return minute + lead_days * MINUTES_PER_DAY
        index = bisect_left(self.collections, minute) + whole_days(lead_days)
        return self.collections[min(index, len(self.collections) - 1)]

    def _from_book(self) -> list[OrderDraw]:
        start = self.scenario.shop.starts
        cut_off = parse_clock(self.scenario.policies.dispatch.cut_off)
        by_order: dict[str, OrderDraw] = {}
        for line in self.order_lines:
            order = by_order.get(line.order_id)
            if order is None:
                received = minute_of_moment(line.received, start)
                approved = minute_of_moment(line.approved, start) if line.approved else received
                order = by_order[line.order_id] = OrderDraw(
                    received, minute_of(line.due, start, cut_off), bool(line.rush), bool(line.repeat), 0.0,
                    minute_of_moment(line.cancelled, start) if line.cancelled else NEVER, 0, 0, 0, approved=approved,
                    name=line.order_id,
                )  # fmt: skip
            width_m, height_m = self.book_size(line.product, line.width_m, line.height_m)
            order.lines.append(LineDraw(self.number[line.product], line.pieces, width_m, height_m, 0))
        return [order for order in by_order.values() if order.received < self.scenario.horizon_min]

    def book_size(self, product: str, width_m: float | None, height_m: float | None) -> tuple[float, float]:
        """The size of an order line, which may leave out that of a product with a single one; (0, 0) without sizes."""
        if width_m is not None and height_m is not None:
            return width_m, height_m
        sizes = self.products[self.number[product]].sizes
        return (sizes[0].width_m, sizes[0].height_m) if sizes else (0.0, 0.0)

    def _from_forecast(self, forecast: Forecast) -> list[OrderDraw]:
        times = self._arrival_times(forecast)
        n = len(times)
        rush = self.draws.generator("orders/rush").random(n) < forecast.rush_pct / 100
        lead = forecast.lead_days.sample(self.draws.generator("orders/lead"), n)
        rush_lead = forecast.rush_lead_days.sample(self.draws.generator("orders/rush lead"), n)
        orders = self._orders(times, rush, np.where(rush, rush_lead, lead), "orders")
        counts = forecast.lines_per_order.sample(self.draws.generator("orders/lines"), n)
        whole = np.maximum(1, np.rint(counts)).astype(int)
        lines = iter(self._draw_lines(forecast, whole))
        for order, count in zip(orders, whole.tolist(), strict=True):
            order.lines = [next(lines) for _ in range(count)]
        return orders

    def _from_campaign(self, index: int, campaign: Campaign, forecast: Forecast) -> list[OrderDraw]:
        name = f"campaign {index}"
        per_min = campaign.per_month * 12 / (365.25 * MINUTES_PER_DAY)
        if per_min == 0:
            return []
        times = _poisson(self.draws.generator(f"{name}/times"), self.scenario.horizon_min * per_min) / per_min
        times = times[times >= self._forecast_from(forecast)]
        n = len(times)
        product = self.number[campaign.product]
        orders = self._orders(times, np.zeros(n, bool), np.full(n, float(campaign.lead_days)), name)
        pieces = campaign.pieces.sample(self.draws.generator(f"{name}/pieces"), n)
        sizes = self._sizes(product, n, name)
        for order, count, (width_m, height_m) in zip(orders, pieces.tolist(), sizes, strict=True):
            order.lines = [LineDraw(product, max(1, math.ceil(count)), width_m, height_m, 0)]
        return orders

    def _orders(self, times: Floats, rush: NDArray[np.bool_], lead_days: Floats, name: str) -> list[OrderDraw]:
        repeat, artwork_min = self._artwork(len(times), name)
        from_approval = self.scenario.demand.lead_from_approval
        orders = []
        columns = (times, rush, lead_days, repeat, artwork_min)
        for received, is_rush, lead, is_repeat, wait in zip(*(c.tolist() for c in columns), strict=True):
            due = self.due_after(received + wait if from_approval else received, lead)
            orders.append(OrderDraw(received, due, is_rush, is_repeat, wait, NEVER, 0, 0, 0))
        self._cancel(orders, name)
        return orders

    def _artwork(self, n: int, name: str) -> tuple[NDArray[np.bool_], Floats]:
        art = self.scenario.demand.artwork
        if art is None:
            return np.ones(n, bool), np.zeros(n)
        repeat = self.draws.generator(f"{name}/new file").random(n) >= art.new_file_pct / 100
        return repeat, np.where(repeat, 0.0, self.with_customer_min(n, name))

    def with_customer_min(self, n: int, name: str) -> Floats:
        """Minutes until new files are approved, corrected ones sent back first where that is wanted."""
        art = self.scenario.demand.artwork
        if art is None:
            return np.zeros(n)
        draw = self.draws.generator
        sent_back = draw(f"{name}/sent back").random(n) < art.sent_back_pct / 100
        corrected_h = art.corrected_after_h.sample(draw(f"{name}/corrected"), n)
        approval_h = art.approval_after_h.sample(draw(f"{name}/approval"), n)
        return (approval_h + np.where(sent_back, corrected_h, 0.0)) * 60

    def _cancel(self, orders: list[OrderDraw], name: str) -> None:
        rule: Cancellations | None = self.scenario.demand.cancellations
        if rule is None:
            return
        before, after = rule.before_print_pct / 100, rule.after_print_pct / 100
        chance = self.draws.generator(f"{name}/cancelled").random(len(orders)).tolist()
        when = self.draws.generator(f"{name}/cancelled when").random(len(orders)).tolist()
        for order, u, part in zip(orders, chance, when, strict=True):
            # Common practice, no source: early changes of mind come in the first third, late ones in the last half.
            if u < before:
                order.cancel_at = order.received + part / 3 * (order.due - order.received)
            elif u < before + after:
                order.cancel_at = order.received + (0.5 + part / 2) * (order.due - order.received)

    def _draw_lines(self, forecast: Forecast, counts: NDArray[np.int_]) -> list[LineDraw]:
        n = int(counts.sum())
        shares = np.cumsum([line.share_pct for line in forecast.mix])
        picks = np.searchsorted(shares, self.draws.generator("lines/mix").random(n) * shares[-1], side="right")
        lines: list[LineDraw] = [LineDraw(0, 1, 0, 0, 0)] * n
        for i, mix in enumerate(forecast.mix):
            (where,) = np.nonzero(picks == i)
            product = self.number[mix.product]
            pieces = mix.pieces.sample(self.draws.generator(f"lines/pieces/{i} {mix.product}"), len(where))
            sizes = self._sizes(product, len(where), f"lines/{i}")
            for row, count, (width_m, height_m) in zip(where.tolist(), pieces.tolist(), sizes, strict=True):
                lines[row] = LineDraw(product, max(1, math.ceil(count - 1e-9)), width_m, height_m, 0)
        return lines

    def _sizes(self, product: int, n: int, name: str) -> list[tuple[float, float]]:
        return draw_sizes(self.products[product], n, self.draws, f"{name}/size/{self.products[product].id}")

    def _arrival_times(self, forecast: Forecast) -> Floats:
        edges, expected = self._expected_by_hour(forecast)
        cumulative = np.concatenate(([0.0], np.cumsum(expected)))
        arrivals = _poisson(self.draws.generator("orders/times"), float(cumulative[-1]))
        # Inverting the piecewise-linear cumulative rate keeps flat (closed) hours empty: np.interp takes the last edge.
        times: Floats = np.interp(arrivals, cumulative, edges)
        return times

    def _expected_by_hour(self, forecast: Forecast) -> tuple[Floats, Floats]:
        horizon = self.scenario.horizon_min
        hours = math.ceil(horizon / 60)
        edges = np.minimum(np.arange(hours + 1) * 60.0, horizon)
        spans = np.diff(edges)
        if forecast.evenly_spread:
            expected = forecast.orders_per_week / (7 * MINUTES_PER_DAY) * spans
        else:
            expected = self._patterned(forecast, hours) * spans / 60
        return edges, np.where(edges[:-1] >= self._forecast_from(forecast), expected, 0.0)

    def _patterned(self, forecast: Forecast, hours: int) -> Floats:
        day = np.arange(hours) // 24
        days = int(day[-1]) + 1
        start = self.scenario.shop.starts
        months = np.array([date_of(d * MINUTES_PER_DAY, start).month - 1 for d in range(days)])
        index = np.array(forecast.month_index)
        weekday = np.array(forecast.weekday_shares) / sum(forecast.weekday_shares)
        by_day = forecast.orders_per_week * (index / index.mean())[months] * weekday[np.arange(days) % 7]
        if forecast.day_to_day_dispersion > 1:
            by_day = by_day * self._day_levels(by_day, forecast.day_to_day_dispersion)
        by_hour = np.array(forecast.hour_shares) / sum(forecast.hour_shares)
        rates: Floats = by_day[day] * by_hour[np.arange(hours) % 24]
        return rates

    def _day_levels(self, by_day: Floats, dispersion: float) -> Floats:
        """A gamma multiplier of mean 1 a day: the count then has variance / mean = `dispersion`."""
        rng = self.draws.generator("orders/day level")
        shapes = np.where(by_day > 0, by_day, 1.0) / (dispersion - 1)
        return np.array([rng.gamma(shape) / shape for shape in shapes.tolist()])

    def _forecast_from(self, forecast: Forecast) -> float:
        return minute_of(forecast.starts, self.scenario.shop.starts) if forecast.starts else 0.0

    def _add_order_numbers(self, orders: list[OrderDraw], name: str) -> None:
        """Times that belong to an order whatever its source: artwork check, order check, courier."""
        n, draw = len(orders), self.draws.generator
        dispatch = self.scenario.policies.dispatch
        courier = dispatch.courier_days.sample(draw(f"{name}/courier"), n).tolist()
        check = dispatch.order_check_min.sample(draw(f"{name}/order check"), n).tolist()
        artwork = self._artwork_check_min(self.scenario.demand.artwork, orders, name)
        for i, order in enumerate(orders):
            order.courier_days, order.check_order_min, order.check_min = courier[i], check[i], artwork[i]

    def _artwork_check_min(self, art: Artwork | None, orders: list[OrderDraw], name: str) -> list[float]:
        n, draw = len(orders), self.draws.generator
        if art is None or art.check_at is None:
            return [0.0] * n
        new = art.check_new_min.sample(draw(f"{name}/check new"), n)
        repeat = art.check_repeat_min.sample(draw(f"{name}/check repeat"), n)
        set_up = art.set_up_min.sample(draw(f"{name}/file set-up"), n)
        is_repeat = np.array([order.repeat for order in orders], bool)
        minutes: list[float] = (np.where(is_repeat, repeat, new) + set_up).tolist()
        return minutes


def draw_sizes(product: Product, n: int, draws: ReplicationDraws, purpose: str) -> list[tuple[float, float]]:
    """Finished sizes (width, height) of n order lines; (0, 0) for a product without sizes."""
    if product.sizes:
        shares = np.cumsum([size.share for size in product.sizes])
        picks = np.searchsorted(shares, draws.generator(purpose).random(n) * shares[-1], side="right")
        return [(product.sizes[i].width_m, product.sizes[i].height_m) for i in picks.tolist()]
    if product.size_range is None:
        return [(0.0, 0.0)] * n
    rule = product.size_range
    area = rule.area_m2.sample(draws.generator(f"{purpose}/area"), n)
    ratio = rule.width_over_height.sample(draws.generator(f"{purpose}/ratio"), n)
    width = np.clip(np.round(np.sqrt(area * ratio), 2), 0.05, rule.longest_side_m)
    height = np.clip(np.round(np.sqrt(area / np.maximum(ratio, 1e-9)), 2), 0.05, rule.longest_side_m)
    return list(zip(width.tolist(), height.tolist(), strict=True))


def _poisson(rng: np.random.Generator, length: float) -> Floats:
    """Arrival points of a unit-rate Poisson stream on [0, length)."""
    points = np.empty(0)
    last = 0.0
    while last < length:
        block = last + np.cumsum(rng.standard_exponential(1024))
        points = np.concatenate((points, block))
        last = float(block[-1])
    return points[points < length]


def minute_of_moment(moment: datetime.datetime, start: datetime.date) -> float:
    """Minutes from the start Monday to a date and time."""
    return minute_of(moment.date(), start, moment.hour * 60 + moment.minute + moment.second / 60)
