"""The orders on paper week by week, as means: what `rough_cut` loads onto the shop.

A mean without a formula (pieces rounded up, sizes drawn) is taken over a fixed sample, so the same scenario always
gives the same numbers.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence
from itertools import groupby
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from shopsim.clock import MINUTES_PER_DAY, MINUTES_PER_WEEK, date_of, minute_of
from shopsim.distributions import Distribution, Fixed
from shopsim.shop.demand import Forecast
from shopsim.shop.order_book import OrderLine
from shopsim.shop.products import Product
from shopsim.shop.scenario import Scenario
from shopsim.streams import stream

Floats = NDArray[np.float64]
_SAMPLE = 20_000
_SIZES = 400
_HOURS_PER_WEEK = 168
_CAMPAIGN_MONTHS_PER_WEEK = 12 * 7 / 365.25


class Flow(NamedTuple):
    """Pieces and bundles of one product a week; `sizes` are (width, height, share), (0, 0, 1) where there are none."""

    product: Product
    sizes: tuple[tuple[float, float, float], ...]
    pieces: Floats
    bundles: Floats


class Arrivals(NamedTuple):
    """All that comes in: flows of pieces, orders a week, and minutes of artwork check a week."""

    flows: tuple[Flow, ...]
    orders: Floats
    artwork_min: Floats


def study_weeks(scenario: Scenario) -> range:
    """Numbers of the whole weeks studied, counted from the start Monday; a warm-up lies before them."""
    first = math.ceil(scenario.warm_up_min / MINUTES_PER_WEEK)
    return range(first, first + max(1, int(scenario.study.weeks)))


def arrivals(scenario: Scenario, order_lines: Sequence[OrderLine]) -> Arrivals:
    """What the order book, the forecast with its campaigns, and hire fleets bring in the weeks studied.

    Orders of a book count in the week of their approval or, without one, of their receipt.
    """
    weeks = study_weeks(scenario)
    parts = [_from_book(scenario, order_lines, weeks)]
    if scenario.demand.forecast is not None:
        parts += _from_forecast(scenario, scenario.demand.forecast, weeks)
    for fleet in scenario.demand.hire_fleets:
        per_week = fleet.pieces * _HOURS_PER_WEEK / max(1.0, fleet.out_h.mean + fleet.lead_days * 24)
        flow = _flow(scenario, fleet.product, Fixed(1.0), np.full(len(weeks), per_week))
        parts.append(_with_artwork(scenario, (flow,), np.full(len(weeks), per_week), new_share=0.0))
    nothing = np.zeros(len(weeks))
    return Arrivals(
        tuple(flow for part in parts for flow in part.flows),
        sum((part.orders for part in parts), nothing),
        sum((part.artwork_min for part in parts), nothing),
    )


def _from_book(scenario: Scenario, order_lines: Sequence[OrderLine], weeks: range) -> Arrivals:
    products: dict[str, Product] = scenario.by_id("products")
    orders, new, known = (np.zeros(len(weeks)) for _ in range(3))
    seen: set[str] = set()
    placed: list[tuple[str, float, float, int, int]] = []
    for line in order_lines:
        week = _week_of(line.approved or line.received, scenario.shop.starts) - weeks.start
        if not 0 <= week < len(weeks):
            continue
        width_m, height_m = line.width_m or 0.0, line.height_m or 0.0
        sizes = products[line.product].sizes
        if not width_m and sizes:
            width_m, height_m = sizes[0].width_m, sizes[0].height_m
        placed.append((line.product, width_m, height_m, week, line.pieces))
        if line.order_id not in seen:
            seen.add(line.order_id)
            orders[week] += 1
            (known if line.repeat else new)[week] += 1
    flows = []
    for (name, width_m, height_m), same in groupby(sorted(placed), key=lambda each: each[:3]):
        pieces, bundles = np.zeros(len(weeks)), np.zeros(len(weeks))
        for *_, week, count in same:
            pieces[week] += count
            bundles[week] += -(-count // products[name].bundle_pieces)
        flows.append(Flow(products[name], ((width_m, height_m, 1.0),), pieces, bundles))
    return Arrivals(tuple(flows), orders, new * _check_min(scenario, 1.0) + known * _check_min(scenario, 0.0))


def _from_forecast(scenario: Scenario, forecast: Forecast, weeks: range) -> list[Arrivals]:
    art = scenario.demand.artwork
    new_share = art.new_file_pct / 100 if art is not None else 0.0
    level = _by_week(scenario, forecast, weeks)
    orders = forecast.orders_per_week * level
    counts = forecast.lines_per_order.sample(stream(0, 0, "rough cut"), _SAMPLE)
    lines = orders * np.maximum(1.0, np.rint(counts)).mean()
    shares = sum(mix.share_pct for mix in forecast.mix)
    flows = [_flow(scenario, mix.product, mix.pieces, lines * mix.share_pct / shares) for mix in forecast.mix]
    found = [_with_artwork(scenario, tuple(flows), orders, new_share)]
    for campaign in forecast.campaigns:
        times = np.where(level > 0, campaign.per_month * _CAMPAIGN_MONTHS_PER_WEEK, 0.0)
        found.append(_with_artwork(scenario, (_flow(scenario, campaign.product, campaign.pieces, times),), times,
                                   new_share))  # fmt: skip
    return found


def _flow(scenario: Scenario, product: str, pieces: Distribution, lines: Floats) -> Flow:
    model: Product = scenario.by_id("products")[product]
    counts = np.maximum(1.0, np.ceil(pieces.sample(stream(0, 0, "rough cut"), _SAMPLE) - 1e-9))
    bundles = np.ceil(counts / model.bundle_pieces)
    return Flow(model, sizes_of(model), lines * counts.mean(), lines * bundles.mean())


def _with_artwork(scenario: Scenario, flows: tuple[Flow, ...], orders: Floats, new_share: float) -> Arrivals:
    return Arrivals(flows, orders, orders * _check_min(scenario, new_share))


def _check_min(scenario: Scenario, new_share: float) -> float:
    art = scenario.demand.artwork
    if art is None or art.check_at is None:
        return 0.0
    check = new_share * art.check_new_min.mean + (1 - new_share) * art.check_repeat_min.mean
    return check + art.set_up_min.mean


def _by_week(scenario: Scenario, forecast: Forecast, weeks: range) -> Floats:
    """The forecast's level of each week: 1 is an average week of the year, 0 before the forecast begins."""
    start = scenario.shop.starts
    days = np.arange(weeks.start * 7, weeks.stop * 7)
    if forecast.evenly_spread:
        level = np.full(len(days), 1 / 7)
    else:
        index = np.array(forecast.month_index)
        weekday = np.array(forecast.weekday_shares) / sum(forecast.weekday_shares)
        months = [date_of(float(day) * MINUTES_PER_DAY, start).month - 1 for day in days]
        level = (index / index.mean())[months] * weekday[days % 7]
    if forecast.starts is not None:
        level = np.where(days >= (forecast.starts - start).days, level, 0.0)
    by_week: Floats = level.reshape(-1, 7).sum(axis=1)
    return by_week


def sizes_of(product: Product) -> tuple[tuple[float, float, float], ...]:
    if product.sizes:
        total = sum(size.share for size in product.sizes)
        return tuple((size.width_m, size.height_m, size.share / total) for size in product.sizes)
    rule = product.size_range
    if rule is None:
        return ((0.0, 0.0, 1.0),)
    area = rule.area_m2.sample(stream(0, 0, "rough cut/area"), _SIZES)
    ratio = rule.width_over_height.sample(stream(0, 0, "rough cut/ratio"), _SIZES)
    width = np.clip(np.sqrt(area * ratio), 0.05, rule.longest_side_m)
    height = np.clip(np.sqrt(area / np.maximum(ratio, 1e-9)), 0.05, rule.longest_side_m)
    return tuple((w, h, 1 / _SIZES) for w, h in zip(width.tolist(), height.tolist(), strict=True))


def _week_of(moment: datetime.datetime, start: datetime.date) -> int:
    return int(minute_of(moment.date(), start) // MINUTES_PER_WEEK)
