"""What holds the shop back: average active period and shifting bottleneck.

Roser, Nakano and Tanaka, "A practical bottleneck detection method", Winter Simulation Conference 2001, 949-953, and
"Shifting bottleneck detection", Winter Simulation Conference 2002, 1079-1086. Of the resources active at a moment the
one whose active period is longest is the constraint of that moment. Where two such periods overlap, the constraint is
shifting between them. When a printer, a place, the people of a skill are active is told in `active_periods`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from shopsim.floor.record import RunLog
from shopsim.measures.active_periods import in_shop_time, shop_hours
from shopsim.measures.facts import Facts
from shopsim.measures.intervals import Floats, Intervals, Ints
from shopsim.shop.scenario import Scenario


@dataclass(frozen=True, slots=True)
class Constraints:
    """Shares of time in which each resource was the constraint, and the periods of which they are made."""

    sole: dict[str, float]
    shifting: dict[str, float]
    periods: list[tuple[str, float, float]]

    @property
    def total(self) -> dict[str, float]:
        """Sole and shifting together; the shares of several resources may add up to more than 1."""
        return {name: self.sole[name] + self.shifting[name] for name in self.sole}


def mean_active_min(periods: Intervals) -> float:
    """Average active period, min; 0 if never active."""
    return periods.total_min / len(periods.starts) if len(periods.starts) else 0.0


def momentary_constraints(active: Mapping[str, Intervals], whole_min: float) -> Constraints:
    """Find the constraint of every moment from each resource's active periods; shares are of `whole_min`.

    Of periods equally long the resource named first wins.
    """
    names = list(active)
    cuts = np.unique(np.concatenate([np.empty(0)] + [edge for p in active.values() for edge in (p.starts, p.ends)]))
    if len(cuts) < 2:
        return Constraints(dict.fromkeys(names, 0.0), dict.fromkeys(names, 0.0), [])
    number, length = covering(list(active.values()), cuts[:-1])
    longest = np.argmax(length, axis=0)
    some = length[longest, np.arange(len(cuts) - 1)] > 0
    firsts: list[tuple[int, int, int]] = []
    covers = np.zeros(length.shape, dtype=np.bool_)
    for i in range(len(names)):
        on = np.flatnonzero(some & (longest == i))
        chosen, first = np.unique(number[i, on], return_index=True)
        covers[i] = np.isin(number[i], chosen) & (length[i] > 0)
        firsts += zip(on[first].tolist(), [i] * len(chosen), chosen.tolist(), strict=True)
    alone = covers.sum(axis=0) == 1
    spans = np.diff(cuts)
    periods = [
        (names[i], float(active[names[i]].starts[n]), float(active[names[i]].ends[n])) for _, i, n in sorted(firsts)
    ]
    return Constraints(
        {name: float(spans[covers[i] & alone].sum()) / whole_min for i, name in enumerate(names)},
        {name: float(spans[covers[i] & ~alone].sum()) / whole_min for i, name in enumerate(names)},
        periods,
    )


def covering(active: list[Intervals], moments: Floats) -> tuple[Ints, Floats]:
    """By resource and moment: number and length of the active period in progress (length 0 where there is none)."""
    numbers = np.zeros((len(active), len(moments)), dtype=np.int64)
    lengths = np.zeros((len(active), len(moments)))
    for i, periods in enumerate(active):
        if periods.starts.size:
            n = np.searchsorted(periods.starts, moments, side="right") - 1
            inside = (n >= 0) & (moments < periods.ends[n])
            numbers[i], lengths[i] = n, np.where(inside, (periods.ends - periods.starts)[n], 0.0)
    return numbers, lengths


def constraint_of(log: RunLog, scenario: Scenario) -> tuple[str, float]:
    """The resource that was most often the constraint, sole or shifting, and its share of the window's shop time.

    ("", NaN) if nothing was ever active.
    """
    total = constraint_shares(log, scenario).total
    best = max(total, key=lambda name: total[name], default="")
    return (best, total[best]) if best and total[best] > 0 else ("", float("nan"))


def constraint_shares(log: RunLog, scenario: Scenario) -> Constraints:
    """Sole and shifting shares of printers, places and people over the window; periods in minutes of shop time."""
    return constraints_from(Facts(log, scenario))


def constraints_from(facts: Facts) -> Constraints:
    """As `constraint_shares`, from facts at hand."""
    active = {name: periods for name, (_, periods) in in_shop_time(facts).items()}
    return momentary_constraints(active, shop_hours(facts).total_min or float("nan"))
