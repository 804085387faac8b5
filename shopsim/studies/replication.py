"""One replication: the shop simulated, its books audited, and boiled down to plain numbers.

Replication k draws from streams of (seed, k), so its numbers do not depend on how many replications there are, which
process ran it, or in which order they finished.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from shopsim.clock import MINUTES_PER_WEEK
from shopsim.errors import AuditError
from shopsim.floor.record import RunLog
from shopsim.shop.order_book import OrderLine
from shopsim.shop.scenario import Scenario
from shopsim.studies.packed_numbers import Keys, PackedNumbers

if TYPE_CHECKING:
    import pandas as pd

    from shopsim.measures.facts import Facts


@dataclass(frozen=True, slots=True)
class Replication:
    """The numbers of one replication, over the window after any warm-up.

    `measures` as `measures_of`; `states` the share of time by (kind, id, state), kinds `printer`, `place`, `crew` and
    `person`; `unattended` the share of time in which a printer was in a state with nobody there, by (id, state);
    `constraint` the share of shop time in which each resource held the shop back; `web_per_week` by (cause,
    `m` or `m2`); `reasons_h` the mean hours of a dispatched order by (`all` or `late`, reason), empty without such
    orders; `money_per_week` in currency units by category. `in_shop_by_day` is the mean number of orders inside on each
    day, `due_by_week` and `on_time_by_week` count orders due in each week, `lead_days` are the days within which
    5 %, 10 %, ... 95 % of the orders went.

    Only where an option asks for it in detail: `out_min` and `gone_min` as `order_outcomes_from`, `hours_by_week` as
    `hours_by_week_from`.
    """

    number: int
    measures: Mapping[str, float]
    states: Mapping[tuple[str, str, str], float]
    unattended: Mapping[tuple[str, str], float]
    constraint: Mapping[str, float]
    web_per_week: Mapping[tuple[str, str], float]
    reasons_h: Mapping[tuple[str, str], float]
    money_per_week: Mapping[str, float]
    in_shop_by_day: tuple[float, ...] = ()
    due_by_week: tuple[float, ...] = ()
    on_time_by_week: tuple[float, ...] = ()
    lead_days: tuple[float, ...] = ()
    out_min: tuple[float, ...] = ()
    gone_min: tuple[float, ...] = ()
    hours_by_week: dict[str, tuple[float, ...]] = field(default_factory=dict)

    @property
    def pay_per_week(self) -> float:
        """Wages and overtime pay, in currency units."""
        return sum(self.money_per_week.get(name, 0.0) for name in ("wages", "overtime_pay"))


TABLES = ("measures", "states", "unattended", "constraint", "web_per_week", "reasons_h", "money_per_week")
"""The fields of a `Replication` that hold a number a key."""


def packed(row: Replication, keys: Keys) -> Replication:
    """The same row in less memory; `keys` are shared with other rows."""
    tables: dict[str, Any] = {name: PackedNumbers(getattr(row, name), keys) for name in TABLES}
    return replace(row, **tables)


def one_log(scenario: Scenario, order_lines: Sequence[OrderLine], replication: int = 0) -> RunLog:
    """The full records of one replication, audited. Raises AuditError if its books do not balance."""
    return _audited(scenario, order_lines, replication).log


def one_replication(
    scenario: Scenario, order_lines: Sequence[OrderLine], replication: int = 0, in_detail: bool = False
) -> Replication:
    """The numbers of one replication, order by order too where they are asked for in detail.

    Raises AuditError if its books do not balance.
    """
    facts = _audited(scenario, order_lines, replication)
    return _detailed(facts) if in_detail else numbers_from(facts)


def numbers_of(log: RunLog, scenario: Scenario) -> Replication:
    """The numbers of a finished run."""
    from shopsim.measures.facts import Facts

    return numbers_from(Facts(log, scenario))


def _audited(scenario: Scenario, order_lines: Sequence[OrderLine], replication: int) -> Facts:
    """Audit and numbers need the same facts: together they take half as long from one set of them."""
    from shopsim.floor.run import simulate
    from shopsim.measures.audit import require_balanced
    from shopsim.measures.facts import Facts

    facts = Facts(simulate(scenario, order_lines, replication), scenario)
    try:
        require_balanced(facts)
    except AuditError as fault:
        raise AuditError(f"replication {replication}, seed {scenario.study.seed}: {fault}") from fault
    return facts


def numbers_from(facts: Facts) -> Replication:
    """As `numbers_of`, from facts at hand."""
    from shopsim.measures.bottleneck import constraints_from
    from shopsim.measures.kpis import measures_from
    from shopsim.measures.lead_times import lead_days_from
    from shopsim.measures.over_time import due_by_week_from, in_shop_by_day_from
    from shopsim.measures.time_split import time_split_from

    log = facts.log
    # Two crews may bear one name, and so may their people: what is alike in all three adds up.
    split = time_split_from(facts)
    shares = split.groupby(["kind", "id", "state"], sort=False)["share"].sum()
    return Replication(
        log.replication,
        measures_from(facts),
        dict(zip(shares.index.tolist(), shares.tolist(), strict=True)),
        _unattended(split, log),
        constraints_from(facts).total,
        _web_per_week(facts),
        _reasons_h(facts),
        _money_per_week(facts),
        in_shop_by_day_from(facts),
        *due_by_week_from(facts),
        lead_days_from(facts),
    )


def _detailed(facts: Facts) -> Replication:
    from shopsim.measures.outcomes import hours_by_week_from, order_outcomes_from

    out_min, gone_min = order_outcomes_from(facts)
    return replace(numbers_from(facts), out_min=out_min, gone_min=gone_min, hours_by_week=hours_by_week_from(facts))


def _unattended(split: pd.DataFrame, log: RunLog) -> dict[tuple[str, str], float]:
    alone = split[split["unattended_min"] > 0]
    window_min = log.horizon_min - log.warm_up_min
    rows = zip(alone["id"], alone["state"], alone["unattended_min"].tolist(), strict=True)
    return {(name, state): minutes / window_min for name, state, minutes in rows}


def _weeks(log: RunLog) -> float:
    return (log.horizon_min - log.warm_up_min) / MINUTES_PER_WEEK


def _web_per_week(facts: Facts) -> dict[tuple[str, str], float]:
    from shopsim.measures.summaries import web_table_from

    sums = web_table_from(facts).groupby("cause", sort=False)[["m", "m2"]].sum() / _weeks(facts.log)
    causes = sums.index.tolist()
    return {
        (cause, unit): amount for unit in ("m", "m2") for cause, amount in zip(causes, sums[unit].tolist(), strict=True)
    }


def _reasons_h(facts: Facts) -> dict[tuple[str, str], float]:
    from shopsim.measures.why_late import REASONS, why_late_from

    orders = why_late_from(facts)
    groups = {"all": orders, "late": orders[orders["late_min"] > 0]}
    return {
        (whose, reason): float(group[reason].mean()) / 60
        for whose, group in groups.items()
        if len(group)
        for reason in REASONS
    }


def _money_per_week(facts: Facts) -> dict[str, float]:
    from shopsim.measures.costs import costs_from

    return {name: amount / _weeks(facts.log) for name, amount in facts.once(costs_from).items()}
