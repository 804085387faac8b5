"""From a morning: the chance of each open order to leave by its date, dates for a new request, ways to make it earlier.

All options meet the same futures (common random numbers), so what a request or a way changes is told pair by pair.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from shopsim.clock import MINUTES_PER_DAY
from shopsim.shop.collections import collection_times, cut_off_of
from shopsim.shop.scenario import Scenario
from shopsim.shop.shop_file import Shop
from shopsim.shop.today_model import OpenOrder, Today
from shopsim.shop.today_start import Start
from shopsim.studies.futures import Future, MorningOption, morning_option
from shopsim.studies.precision import Interval, interval
from shopsim.studies.promise_outlook import DateAt, Outlook, futures_needed
from shopsim.studies.promise_ways import AS_ASKED, Way, ways_of
from shopsim.studies.replication import Replication
from shopsim.studies.runner import Ask, Runner
from shopsim.studies.shares import Share, chance_of_no_change, shifted

USUAL_FUTURES = 100
# A way that is not as asked is looked at with so many futures first.
_FIRST_LOOK = 20
# A net share of futures from which on an order that is not surely late is told as one that may be.
_MAY = 0.05


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
    seems_earlier: bool
    """More often out by its own date than as asked, by luck or not."""

    @property
    def futures(self) -> int:
        """How many futures it was run for: fewer than as asked where a first look was enough."""
        return len(self.outlook.futures)

    def mean_cost_cu(self) -> float:
        """What it costs more than as asked, on average."""
        return 0.0 if self.cost_cu is None else self.cost_cu.mean


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
        surely makes it earlier than as asked. None if there is none; ways that were only looked at are none."""
        able = [way for way in self.ways if self.is_able(way) and way.futures == self.ways[0].futures]
        return min(able, key=WayFound.mean_cost_cu, default=None)

    def is_able(self, way: WayFound) -> bool:
        """Whether a way does what is asked for, as far as its futures tell."""
        if self.wanted_min is None:
            return way.earlier
        return way.by_wanted is not None and way.by_wanted.mean >= self.chance_pct / 100

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

    Ways are looked at with a few futures first; the cheapest that seems to do what is asked for is run in full, then
    the next, until one does. Raises as `Runner`.
    """
    now = Start(today).now_min(shop.scenario)
    until = working_days_on(shop.scenario, now)
    base = morning_option("this morning", shop.scenario, shop.order_lines, Start(today))
    if request is None:
        (rows,) = runner.run([Ask(base, plan.futures)])
        return Promised(now, plan.chance_pct, None, _outlook(base, rows, shop.scenario), ())
    # Of the open orders a way tells which are late, and what that costs until then.
    last_due = max((cut_off_of(order.due, shop.scenario) for order in today.orders), default=0.0)
    plain = Start(today, runs_until=max(until, last_due), requests_alone=True)
    ways = ways_of(shop, plain, request, until, changed)
    look = min(plan.futures, max(_FIRST_LOOK, futures_needed(plan.chance_pct)))
    counts = [plan.futures, plan.futures, *[look] * (len(ways) - 1)]
    options = [base, *(way.option for way in ways)]
    (rows, *of_ways) = runner.run([Ask(option, count) for option, count in zip(options, counts, strict=True)])
    without = _outlook(base, rows, shop.scenario)
    looked = [_outlook(way.option, each, shop.scenario) for way, each in zip(ways, of_ways, strict=True)]

    def found(way: Way, outlook: Outlook) -> WayFound:
        return _found(way, outlook, looked[0], without, plan, until, len(ways) - 1)

    first = tuple(found(way, outlook) for way, outlook in zip(ways, looked, strict=True))
    promised = Promised(now, plan.chance_pct, plan.wanted, without, first)
    for way in sorted(first[1:], key=WayFound.mean_cost_cu):
        if promised.best() is None and way.futures < plan.futures and _may_be_able(promised, way):
            (rows,) = runner.run([Ask(way.way.option, plan.futures)])
            full = found(way.way, _outlook(way.way.option, rows, shop.scenario))
            promised = replace(promised, ways=tuple(full if each is way else each for each in promised.ways))
    return promised


def _may_be_able(promised: Promised, way: WayFound) -> bool:
    """Whether a first look leaves it open that a way does what is asked for."""
    if way.by_wanted is not None:
        return way.by_wanted.high >= promised.chance_pct / 100
    return way.seems_earlier


def _outlook(option: MorningOption, rows: Sequence[Replication], scenario: Scenario) -> Outlook:
    return Outlook(option, tuple(Future(row) for row in rows), scenario.study.confidence_pct)


def working_days_on(scenario: Scenario, now: float, days: int = 10) -> float:
    """The cut-off so many collection days on: how long overtime is agreed and money counted."""
    ahead = [at for at in collection_times(scenario) if at >= now]
    return ahead[min(days, len(ahead)) - 1] if ahead else now


def _found(
    way: Way, outlook: Outlook, asked: Outlook, without: Outlook, plan: PromisePlan, until: float, others: int
) -> WayFound:  # fmt: skip
    """What a way promises; `asked` and `without` may have more futures, of which the first meet the same luck."""
    order, count = len(without.orders), len(outlook.futures)
    asked, without = asked.first(count), without.first(count)
    date = outlook.date_at(order, plan.chance_pct)
    wanted = None if plan.wanted is None else outlook.chance(order, plan.wanted)
    earlier = seems = False
    if way.kind != AS_ASKED and date.at is not None:
        more, less = shifted(asked.by(order, date.at), outlook.by(order, date.at))
        seems, earlier = more > less, chance_of_no_change(more, less) <= _error(outlook, others)
    cost = None if way.kind == AS_ASKED else _cost(way, outlook, asked, until)
    return WayFound(way, outlook, date, wanted, cost, tuple(_late(outlook, without)), earlier, seems)


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
    """What a way costs more than as asked, pair by pair, until then: overtime, bought-in work, penalties, wages."""
    before_day = int(until // MINUTES_PER_DAY) + 1
    orders = len(outlook.orders)

    def spent(future: Future) -> float:
        paid = sum(future.spent_cu(category, before_day) for category in ("overtime_pay", "bought_in"))
        return paid + sum(future.penalty_cu(order) for order in range(orders) if future.out_min(order) <= until)

    pairs = zip(outlook.futures, asked.futures, strict=True)
    return interval([spent(one) - spent(other) + way.wages_cu for one, other in pairs], outlook.confidence_pct)
