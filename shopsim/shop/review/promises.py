"""Promised days against the days the route takes: in an empty shop, and with the usual waits in line.

An order is one line of usual pieces and sizes, received at any hour of a week without closures, printed at once by the
fastest printer, warm and threaded; everybody is there, and the fastest do it. So an empty shop is faster than any real
day. The usual wait at a place follows from its load on paper (`craft.waits`), as if all jobs there were like
this one; half of the longest wait for a run is added. It is a rough figure: `run` knows.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from shopsim.clock import MINUTES_PER_DAY, MINUTES_PER_WEEK, parse_clock
from shopsim.distributions import Distribution, Fixed
from shopsim.shop.demand import Artwork
from shopsim.shop.people import WEEKDAYS
from shopsim.shop.products import Product
from shopsim.shop.review.empty_shop import (
    BY_THE_CLOCK,
    Clock,
    Routes,
    Stage,
    Step,
    made_at,
    plain_calendars,
    steps_of,
)
from shopsim.shop.review.finding import Finding, counted, named
from shopsim.shop.review.paper import Paper, drawn
from shopsim.shop.rough_demand import sizes_of

Floats = NDArray[np.float64]
ALL, SOME, TIGHT = 0.995, 0.05, 0.20
"""Shares of orders late from which a promise is impossible, short, or tight."""
_MOST_ROTATION = 4
_FOR_A_RUN = "waiting for a run"
_WEEKS_BEYOND = 12
_DO = (
    "promise longer (lead_days), collect later in the day (dispatch.cut_off) or on more days, or shorten the slowest "
    "step, {}; the courier's days come after the promise"
)


@dataclass(frozen=True, slots=True)
class Promise:
    """Orders of one kind: the product, pieces of a usual line, promised days, and whether they wait in line."""

    kind: str
    product: Product
    pieces: int
    days: Distribution
    waits: bool


@dataclass(frozen=True, slots=True)
class Kept:
    """What became of a promise: days needed at best and on average, and the share of orders late."""

    promise: Promise
    best: float
    usual: float
    late: float
    slowest: str


def look(paper: Paper) -> Iterator[Finding]:
    """Promises of forecasts and hire fleets; the dates of an order book are in `booked`."""
    week = TypicalWeek(paper)
    by_kind: dict[str, list[Promise]] = {}
    for promise in _promises(paper):
        by_kind.setdefault(promise.kind, []).append(promise)
    for kind, promises in by_kind.items():
        empty = [week.kept(each) for each in promises]
        short = [each for each in empty if each.late >= SOME]
        yield from _short(kind, "promise_impossible", [each for each in short if each.late >= ALL])
        yield from _short(kind, "promise_short", [each for each in short if each.late < ALL])
        fine = [each.promise for each in empty if each.late < SOME and each.promise.waits]
        queued = [each for each in (week.kept(promise, in_line=True) for promise in fine) if each.late >= TIGHT]
        yield from _tight(kind, queued)


def _short(kind: str, name: str, cases: list[Kept]) -> Iterator[Finding]:
    if cases:
        worst = max(cases, key=lambda each: (each.late, each.usual))
        yield Finding(
            name, f"{kind} for {named([each.promise.product.id for each in cases])}",
            f"{_promised(worst)}: {_needs(worst)}; {worst.late * 100:.0f} % would leave late",
            _DO.format(worst.slowest), "DEM-13, FIN-11", worst.late,
        )  # fmt: skip


def _tight(kind: str, cases: list[Kept]) -> Iterator[Finding]:
    if cases:
        worst = max(cases, key=lambda each: (each.late, each.usual))
        needs = f"{worst.usual:.1f} on average" if math.isfinite(worst.usual) else "ever more"
        yield Finding(
            "promise_tight", f"{kind} for {named([each.promise.product.id for each in cases])}",
            f"{_promised(worst)}: {needs} with the waits usual at such loads, about "
            f"{worst.late * 100:.0f} % late; a rough figure, run the shop to know",
            _DO.format(worst.slowest),
            "DEM-13; waits: Hopp & Spearman, Factory Physics, and Sakasegawa 1977", worst.late,
        )  # fmt: skip


def _promised(kept: Kept) -> str:
    one = kept.promise
    return (f"{one.product.id}, {counted(one.pieces, 'piece')}, promised in {one.days.mean:.2g} working days "
            "on average")  # fmt: skip


def _needs(kept: Kept) -> str:
    if math.isinf(kept.usual):
        return "an empty shop would not end all of it within weeks"
    return f"an empty shop needs {kept.best:.3g} at best, {kept.usual:.1f} on average over the hours of receipt"


def _promises(paper: Paper) -> Iterator[Promise]:
    forecast = paper.scenario.demand.forecast
    products: dict[str, Product] = paper.scenario.by_id("products")
    if forecast is not None:
        for mix in forecast.mix:
            pieces = max(1, round(float(np.maximum(1.0, np.ceil(drawn(mix.pieces))).mean())))
            if forecast.rush_pct < 100:
                yield Promise("promises", products[mix.product], pieces, forecast.lead_days, waits=True)
            if forecast.rush_pct > 0:
                first = paper.scenario.policies.printing.rush_first
                yield Promise("rush promises", products[mix.product], pieces, forecast.rush_lead_days, not first)
        for campaign in forecast.campaigns:
            if campaign.per_month > 0:
                pieces = max(1, round(campaign.pieces.mean))
                yield Promise("promises of roll-outs", products[campaign.product], pieces, Fixed(campaign.lead_days),
                              waits=True)  # fmt: skip
    for fleet in paper.scenario.demand.hire_fleets:
        yield Promise("promises of hire", products[fleet.product], 1, Fixed(fleet.lead_days), waits=True)


class TypicalWeek:
    """Weeks without closures, the hours at which orders come in, and when orders of these hours would leave."""

    def __init__(self, paper: Paper) -> None:
        self.paper = paper
        self.routes = Routes(paper)
        self._rotation = min(_MOST_ROTATION, max(len(shift.weeks) for shift in paper.scenario.shifts) or 1)

    @cached_property
    def _clock(self) -> Clock:
        reach_min = (self._rotation + _WEEKS_BEYOND) * MINUTES_PER_WEEK
        return Clock(self.paper, plain_calendars(self.paper.scenario.shifts, reach_min))

    @cached_property
    def _collections(self) -> list[float]:
        dispatch = self.paper.scenario.policies.dispatch
        days = {WEEKDAYS.index(day) for day in dispatch.days}
        reach = (self._rotation + _WEEKS_BEYOND) * 7
        return [day * MINUTES_PER_DAY + float(parse_clock(dispatch.cut_off)) for day in range(reach) if day % 7 in days]

    @cached_property
    def moments(self) -> list[tuple[float, float]]:
        """Times of receipt, half past each hour, and their weights, which sum to 1. The first week is left to fill."""
        forecast = self.paper.scenario.demand.forecast
        weights = np.ones((7, 24))
        if forecast is not None and not forecast.evenly_spread:
            weights = np.outer(forecast.weekday_shares, forecast.hour_shares)
        hours = np.flatnonzero(weights.ravel())
        total = float(weights.sum()) * self._rotation
        return [
            (week * MINUTES_PER_WEEK + hour * 60 + 30.0, float(weights.ravel()[hour]) / total)
            for week in range(1, self._rotation + 1)
            for hour in hours.tolist()
        ]

    def kept(self, promise: Promise, in_line: bool = False) -> Kept:
        """How a promise would be kept: by the day of its collection, over all hours of receipt."""
        stages = self._stages(promise, in_line)
        steps = steps_of(stages, in_line)
        needed = [self._days_needed(steps, at) for at, _ in self.moments]
        days = np.sort(_counted(promise.days, self.paper.scenario.policies.dispatch.at_once))
        weights = [weight for _, weight in self.moments]
        late = np.searchsorted(days, needed, side="left") / len(days)
        slowest = max(stages, key=lambda each: _stays_min(each, in_line), default=None)
        usual = sum(need * weight for need, weight in zip(needed, weights, strict=True))
        return Kept(promise, min(needed), usual, float(late @ np.array(weights)), slowest.place if slowest else "none")

    def _stages(self, promise: Promise, in_line: bool) -> list[Stage]:
        scenario = self.paper.scenario
        art, dispatch = scenario.demand.artwork, scenario.policies.dispatch
        found = self.routes.stages(promise.product, promise.pieces, sizes_of(promise.product))
        if in_line and promise.product.print_step and scenario.policies.printing.gang_min_web_m > 0:
            wait_min = scenario.policies.printing.gang_longest_wait_h * 60 / 2
            found = [Stage(_FOR_A_RUN, BY_THE_CLOCK, wait_min, wait_min), *found]
        if art is not None and not scenario.demand.lead_from_approval:
            found = [Stage("approval", BY_THE_CLOCK, _approval_min(art), _approval_min(art)), *found]
        if art is not None and art.check_at is not None:
            found = [self.routes.desk(art.check_at, _check_min(art)), *found]
        if dispatch.order_check_at is not None:
            found = [*found, self.routes.desk(dispatch.order_check_at, dispatch.order_check_min.mean)]
        return found

    def _days_needed(self, steps: list[Step], received: float) -> float:
        made = made_at(steps, received, self._clock)
        if self.paper.scenario.policies.dispatch.at_once:
            return (made - received) / MINUTES_PER_DAY
        gone = bisect_left(self._collections, made)
        if gone == len(self._collections):
            return math.inf
        return gone - bisect_left(self._collections, received)


def _stays_min(stage: Stage, in_line: bool) -> float:
    """How long a line is at a stage, with its usual wait there if it waits; a wait for a run is no step."""
    if stage.place == _FOR_A_RUN:
        return 0.0
    return max(stage.first_min, stage.all_min) + (stage.wait_min if in_line else 0.0)


def _counted(days: Distribution, at_once: bool) -> Floats:
    found = drawn(days)
    return found if at_once else np.maximum(0.0, np.floor(found + 0.5))


def _check_min(art: Artwork) -> float:
    new = art.new_file_pct / 100
    return art.set_up_min.mean + new * art.check_new_min.mean + (1 - new) * art.check_repeat_min.mean


def _approval_min(art: Artwork) -> float:
    corrected_h = art.sent_back_pct / 100 * art.corrected_after_h.mean
    return art.new_file_pct / 100 * (art.approval_after_h.mean + corrected_h) * 60
