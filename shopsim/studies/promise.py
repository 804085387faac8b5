"""From a morning: the chance of each open order to leave by its date, dates for a new request, ways to make it earlier.

All options meet the same futures (common random numbers), so what a request or a way changes is told pair by pair.
Dates are order statistics (see `quantiles`): the date at 80 % is the k-th earliest of n futures with k / (n + 1) at
least 0.8, which a further future keeps with at least that chance; where n is too small there is none.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from shopsim.clock import MINUTES_PER_DAY, minute_of, parse_clock
from shopsim.shop.collections import collection_times
from shopsim.shop.scenario import Scenario
from shopsim.shop.shop_file import Shop
from shopsim.shop.today_model import OpenOrder, Today
from shopsim.shop.today_start import Start
from shopsim.studies.futures import Future, MorningOption, morning_option
from shopsim.studies.precision import Interval, interval
from shopsim.studies.promise_ways import AS_ASKED, Way, ways_of
from shopsim.studies.quantiles import QuantileInterval, quantile_interval
from shopsim.studies.replication import Replication
from shopsim.studies.runner import Ask, Runner
from shopsim.studies.shares import Share, chance_of_no_change, share_of, shifted

LEVELS = (50.0, 80.0, 95.0)
"""Chances, in per cent, at which dates are told."""
USUAL_FUTURES = 100
# A net share of futures from which on an order that is not surely late is told as one that may be.
_MAY = 0.05
# What an order waits for; work itself, nights and pieces made again on the way are no such thing.
_SPEAKING = ("approval", "gang_wait", "printer_wait", "people_wait", "seat_wait", "room_wait", "put_aside",
             "release_wait", "bought_in", "drying", "artwork_check")  # fmt: skip


@dataclass(frozen=True, slots=True)
class DateAt:
    """The minute by which an order has left with a chance; None where there are too few futures or it does not leave.

    `low` and `high` hold the true minute with the confidence asked for, None where the futures cannot bound it.
    """

    chance_pct: float
    at: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True)
class Outlook:
    """Many futures of one option."""

    option: MorningOption
    futures: tuple[Future, ...]
    confidence_pct: float

    @property
    def orders(self) -> tuple[OpenOrder, ...]:
        """Open orders, then requests."""
        return self.option.start.orders

    def due_min(self, order: int) -> float:
        """The cut-off of an order's due date."""
        scenario = self.option.scenario
        cut_off = parse_clock(scenario.policies.dispatch.cut_off)
        return minute_of(self.orders[order].due, scenario.shop.starts, cut_off)

    def outs(self, order: int) -> list[float]:
        """When it leaves, future by future; infinity where it does not."""
        return [future.out_min(order) for future in self.futures]

    def on_time(self, order: int) -> list[bool]:
        """Whether it leaves by its due date, future by future."""
        return self.by(order, self.due_min(order))

    def by(self, order: int, at: float) -> list[bool]:
        """Whether it has left by a minute, future by future."""
        return [out <= at for out in self.outs(order)]

    def chance(self, order: int, at: float | None = None) -> Share:
        """The chance to leave by its due date, or by a minute."""
        kept = self.on_time(order) if at is None else self.by(order, at)
        return share_of(sum(kept), len(kept), self.confidence_pct)

    def date_at(self, order: int, chance_pct: float) -> DateAt:
        """The date of an order at a chance."""
        return date_at(self.outs(order), chance_pct, self.confidence_pct)

    def delivered_at(self, order: int, chance_pct: float) -> DateAt:
        """As `date_at`, for the day on which it is with its customer."""
        return date_at([future.delivered_min(order) for future in self.futures], chance_pct, self.confidence_pct)

    def waits_for(self, order: int, late_only: bool = True) -> tuple[str, str, float] | None:
        """What it waits for longest from now on: reason, place, mean hours; in late futures only where there are such.

        None if it has not left in any future, or waits for nothing.
        """
        kept = self.on_time(order)
        chosen = [f for f, k in zip(self.futures, kept, strict=True) if not k and math.isfinite(f.out_min(order))]
        if not chosen or not late_only:
            chosen = [future for future in self.futures if math.isfinite(future.out_min(order))]
        total: dict[tuple[str, str], float] = {}
        for future in chosen:
            for (reason, place), hours in future.waits_h(order).items():
                if reason in _SPEAKING:
                    total[reason, place] = total.get((reason, place), 0.0) + hours
        if not total:
            return None
        (reason, place), hours = max(total.items(), key=lambda each: each[1])
        return reason, place, hours / len(chosen)

    @cached_property
    def collections(self) -> list[float]:
        """Dispatch cut-offs from now on."""
        now = self.option.start.now_min(self.option.scenario)
        return [at for at in collection_times(self.option.scenario) if at >= now]


def date_at(outs: Sequence[float], chance_pct: float, confidence_pct: float) -> DateAt:
    """The date at a chance from when an order left in each future. Raises ValueError for an impossible chance."""
    share, n = chance_pct / 100, len(outs)
    bounds: QuantileInterval = quantile_interval(outs, share, confidence_pct)
    rank = math.ceil(share * (n + 1) - 1e-9)
    at = sorted(outs)[rank - 1] if 1 <= rank <= n else None
    return DateAt(chance_pct, _finite(at), _finite(bounds.low), _finite(bounds.high))


def futures_needed(chance_pct: float) -> int:
    """The fewest futures that have a date at a chance."""
    return math.ceil(chance_pct / (100 - chance_pct) - 1e-9)


def _finite(at: float | None) -> float | None:
    return None if at is None or math.isinf(at) else at


@dataclass(frozen=True)
class LateBy:
    """An open order that a request moves: futures in which it is late only with it, and only without it."""

    order: int
    late: int
    saved: int
    sure: bool


@dataclass(frozen=True)
class WayFound:
    """A way to make a request: what it promises, what it costs more than as asked, which open orders it makes late."""

    way: Way
    outlook: Outlook
    date: DateAt
    by_wanted: Share | None
    cost_cu: Interval | None
    late: tuple[LateBy, ...]
    earlier: bool
    """Surely more often out by its own date than as asked, sure of all ways at once."""


@dataclass(frozen=True)
class Promised:
    """The answer of a morning; `ways` are of the request, as asked first, and empty without one."""

    now_min: float
    chance_pct: float
    wanted_min: float | None
    base: Outlook
    ways: tuple[WayFound, ...]

    @property
    def request(self) -> int:
        """Number of the request among the orders of each way."""
        return len(self.base.orders)

    def at_risk(self) -> list[int]:
        """Open orders that leave by their date with less than the wanted chance, the least likely first."""
        chances = {order: self.base.chance(order).mean for order in range(len(self.base.orders))}
        low = [order for order, chance in chances.items() if chance < self.chance_pct / 100]
        return sorted(low, key=lambda order: (chances[order], self.base.due_min(order), order))

    def best(self) -> WayFound | None:
        """The cheapest way that keeps the wanted date with the wanted chance; without a wanted date the cheapest that
        surely makes it earlier than as asked. None if there is none."""
        if not self.ways:
            return None
        if self.wanted_min is not None:
            able = [w for w in self.ways if w.by_wanted is not None and w.by_wanted.mean >= self.chance_pct / 100]
        else:
            able = [way for way in self.ways if way.earlier]
        return min(able, key=lambda way: way.cost_cu.mean if way.cost_cu is not None else 0.0, default=None)

    @property
    def settled(self) -> bool:
        """Whether there is a date at the wanted chance for the request; without one whether there were orders."""
        if self.ways:
            return self.ways[0].date.at is not None
        return bool(self.base.orders)


@dataclass(frozen=True)
class PromisePlan:
    """How many futures, at which chance a date is wanted, and by when, if that is given."""

    futures: int = USUAL_FUTURES
    chance_pct: float = 80.0
    wanted: float | None = None


def promise(
    runner: Runner, shop: Shop, today: Today, request: OpenOrder | None, plan: PromisePlan,
    changed: Sequence[tuple[str, Shop]] = (),
) -> Promised:  # fmt: skip
    """Run the futures of a morning, and of each way to make a request; `changed` are shops that are further ways.

    Raises as `Runner`.
    """
    now = Start(today).now_min(shop.scenario)
    until = working_days_on(shop.scenario, now)
    # What ways cost is counted until then; without a request a future may end when the open orders have left.
    plain = Start(today, runs_until=0.0 if request is None else until)
    base = morning_option("this morning", shop.scenario, shop.order_lines, plain)
    if request is None:
        (rows,) = runner.run([Ask(base, plan.futures)])
        return Promised(now, plan.chance_pct, None, _outlook(base, rows, shop.scenario), ())
    ways = ways_of(shop, plain, request, until, changed)
    (rows, *of_ways) = runner.run([Ask(option, plan.futures) for option in (base, *(way.option for way in ways))])
    without = _outlook(base, rows, shop.scenario)
    looked = [_outlook(way.option, each, shop.scenario) for way, each in zip(ways, of_ways, strict=True)]
    found = tuple(_found(way, outlook, looked, without, plan, until) for way, outlook in zip(ways, looked, strict=True))
    return Promised(now, plan.chance_pct, plan.wanted, without, found)


def _outlook(option: MorningOption, rows: Sequence[Replication], scenario: Scenario) -> Outlook:
    return Outlook(option, tuple(Future(row) for row in rows), scenario.study.confidence_pct)


def working_days_on(scenario: Scenario, now: float, days: int = 10) -> float:
    """The cut-off so many collection days on: how long overtime is agreed and money counted."""
    ahead = [at for at in collection_times(scenario) if at >= now]
    return ahead[min(days, len(ahead)) - 1] if ahead else now


def _found(
    way: Way, outlook: Outlook, looked: Sequence[Outlook], without: Outlook, plan: PromisePlan, until: float
) -> WayFound:  # fmt: skip
    order, asked = len(without.orders), looked[0]
    date = outlook.date_at(order, plan.chance_pct)
    wanted = None if plan.wanted is None else outlook.chance(order, plan.wanted)
    earlier = False
    if way.kind != AS_ASKED and date.at is not None:
        more, less = shifted(asked.by(order, date.at), outlook.by(order, date.at))
        earlier = chance_of_no_change(more, less) <= _error(outlook, len(looked) - 1)
    cost = None if way.kind == AS_ASKED else _cost(way, outlook, asked, until)
    return WayFound(way, outlook, date, wanted, cost, tuple(_late(outlook, without)), earlier)


def _error(outlook: Outlook, questions: int) -> float:
    """The chance of error left to one of several questions so that all answers hold at once (Bonferroni)."""
    return (1 - outlook.confidence_pct / 100) / max(1, questions)


def _late(outlook: Outlook, without: Outlook) -> list[LateBy]:
    """Orders the request makes late; sure of all of them at once."""
    count = len(without.orders)
    error = _error(outlook, count)
    found = []
    for order in range(count):
        saved, late = shifted(without.on_time(order), outlook.on_time(order))
        sure = chance_of_no_change(late, saved) <= error
        if sure or (late - saved) / max(1, len(outlook.futures)) >= _MAY:
            found.append(LateBy(order, late, saved, sure))
    return sorted(found, key=lambda each: (not each.sure, each.saved - each.late))


def _cost(way: Way, outlook: Outlook, asked: Outlook, until: float) -> Interval:
    """What a way costs more than as asked, pair by pair: overtime and bought-in work until then, penalties, wages."""
    before_day = int(until // MINUTES_PER_DAY) + 1
    orders = len(outlook.orders)

    def spent(future: Future) -> float:
        paid = sum(future.spent_cu(category, before_day) for category in ("overtime_pay", "bought_in"))
        return paid + sum(future.penalty_cu(order) for order in range(orders))

    pairs = zip(outlook.futures, asked.futures, strict=True)
    return interval([spent(one) - spent(other) + way.wages_cu for one, other in pairs], outlook.confidence_pct)
