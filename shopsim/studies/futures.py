"""Futures of a morning: the shop simulated from what is told of it, again and again, each kept as a replication.

Future k of any option of the same morning meets the same luck, so that options differ by what they change alone.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from shopsim.clock import MINUTES_PER_WEEK, minute_of
from shopsim.errors import AuditError
from shopsim.shop.scenario import Scenario
from shopsim.shop.today_start import Start
from shopsim.studies.option import Option
from shopsim.studies.replication import Replication

if TYPE_CHECKING:
    from shopsim.shop.order_book import OrderLine

# So long after the last due date an order that has not left counts as not leaving.
LOOKS_AHEAD_WEEKS = 6.0
_OUT, _DELIVERED, _PENALTY = "out", "delivered", "penalty"


@dataclass(frozen=True)
class MorningOption(Option):
    """A shop with a morning to start from."""

    start: Start = field(kw_only=True)

    def replication(self, number: int) -> Replication:
        return one_future(self.scenario, self.order_lines, self.start, number)

    def _further(self) -> str:
        return repr(self.start)


def morning_option(
    name: str, scenario: Scenario, order_lines: tuple[OrderLine, ...], start: Start
) -> MorningOption:  # fmt: skip
    """An option whose simulated time reaches some weeks beyond the last due date."""
    starts = scenario.shop.starts
    last = max([minute_of(order.due, starts) for order in start.orders], default=0.0)
    reach_min = max(last, start.now_min(scenario), start.runs_until) + LOOKS_AHEAD_WEEKS * MINUTES_PER_WEEK
    weeks = math.ceil(reach_min / MINUTES_PER_WEEK)
    study = scenario.study.model_copy(update={"weeks": float(weeks), "opening": "empty"})
    return MorningOption(name, scenario.model_copy(update={"study": study}), order_lines, start=start)


def one_future(
    scenario: Scenario, order_lines: tuple[OrderLine, ...], start: Start, number: int
) -> Replication:  # fmt: skip
    """The numbers of one future, audited; `Future` reads them. Raises AuditError if its books do not balance."""
    from shopsim.floor.start_from_today import simulate_from
    from shopsim.measures.audit import require_balanced
    from shopsim.measures.facts import Facts
    from shopsim.measures.from_now import fates_of, spent_by_day, waits_from_now

    facts = Facts(simulate_from(scenario, order_lines, number, start), scenario)
    try:
        require_balanced(facts)
    except AuditError as fault:
        raise AuditError(f"future {number}, seed {scenario.study.seed}: {fault}") from fault
    orders = len(start.orders)
    measures: dict[str, float] = {}
    for order, fate in fates_of(facts, orders).items():
        measures[f"{_OUT} {order}"], measures[f"{_DELIVERED} {order}"] = fate.out_min, fate.delivered_min
        measures[f"{_PENALTY} {order}"] = fate.penalty_cu
    waits = {
        (str(o), f"{reason}|{place}"): hours for (o, reason, place), hours in waits_from_now(facts, orders).items()
    }
    money = {f"{category} {day}": cu for (category, day), cu in spent_by_day(facts).items()}
    return Replication(number, measures, {}, {}, {}, {}, waits, money)


@dataclass(frozen=True, slots=True)
class Future:
    """One future, read back from its replication."""

    row: Replication

    def out_min(self, order: int) -> float:
        """When an order leaves, in minutes since the start Monday; infinity if it does not in the time simulated."""
        return self.row.measures.get(f"{_OUT} {order}", math.inf)

    def delivered_min(self, order: int) -> float:
        """When it is with its customer."""
        return self.row.measures.get(f"{_DELIVERED} {order}", math.inf)

    def penalty_cu(self, order: int) -> float:
        """What is taken off its price for being late."""
        return self.row.measures.get(f"{_PENALTY} {order}", 0.0)

    def waits_h(self, order: int) -> dict[tuple[str, str], float]:
        """Hours from now on by (reason, place)."""
        found = {}
        for (number, words), hours in self.row.reasons_h.items():
            if number == str(order):
                reason, _, place = words.partition("|")
                found[reason, place] = hours
        return found

    def spent_cu(self, category: str, before_day: int) -> float:
        """`overtime_pay` or `bought_in` on days before this one."""
        spent = 0.0
        for words, cu in self.row.money_per_week.items():
            name, _, day = words.rpartition(" ")
            if name == category and int(day) < before_day:
                spent += cu
        return spent
