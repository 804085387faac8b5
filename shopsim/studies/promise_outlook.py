"""What many futures say of the orders of a morning: chances, dates at a chance, what they wait for.

Dates are order statistics (see `quantiles`): the date at 80 % is the k-th earliest of n futures with k / (n + 1) at
least 0.8, which a further future keeps with at least that chance; where n is too small there is none.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from shopsim.shop.collections import collection_times, cut_off_of
from shopsim.shop.today_model import OpenOrder
from shopsim.studies.futures import Future, MorningOption
from shopsim.studies.quantiles import QuantileInterval, quantile_interval
from shopsim.studies.shares import Share, share_of

LEVELS = (50.0, 80.0, 95.0)
"""Chances, in per cent, at which dates are told."""
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

    def first(self, count: int) -> Outlook:
        """The first futures alone."""
        return replace(self, futures=self.futures[:count])

    def due_min(self, order: int) -> float:
        """The cut-off of an order's due date."""
        return cut_off_of(self.orders[order].due, self.option.scenario)

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
