"""One replication: the shop simulated, its books audited, and boiled down to plain numbers.

Replication k draws from streams of (seed, k), so its numbers do not depend on how many replications there are, which
process ran it, or in which order they finished.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopsim.clock import MINUTES_PER_WEEK
from shopsim.errors import AuditError
from shopsim.floor.record import RunLog
from shopsim.shop.order_book import OrderLine
from shopsim.shop.scenario import Scenario

if TYPE_CHECKING:
    import pandas as pd


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
    """

    number: int
    measures: dict[str, float]
    states: dict[tuple[str, str, str], float]
    unattended: dict[tuple[str, str], float]
    constraint: dict[str, float]
    web_per_week: dict[tuple[str, str], float]
    reasons_h: dict[tuple[str, str], float]
    money_per_week: dict[str, float]
    in_shop_by_day: tuple[float, ...] = ()
    due_by_week: tuple[float, ...] = ()
    on_time_by_week: tuple[float, ...] = ()
    lead_days: tuple[float, ...] = ()


def one_log(scenario: Scenario, order_lines: Sequence[OrderLine], replication: int = 0) -> RunLog:
    """The full records of one replication, audited. Raises AuditError if its books do not balance."""
    from shopsim.floor.run import simulate
    from shopsim.measures.audit import require_balanced

    log = simulate(scenario, order_lines, replication)
    try:
        require_balanced(log, scenario)
    except AuditError as fault:
        raise AuditError(f"replication {replication}, seed {scenario.study.seed}: {fault}") from fault
    return log


def one_replication(scenario: Scenario, order_lines: Sequence[OrderLine], replication: int = 0) -> Replication:
    """The numbers of one replication. Raises AuditError if its books do not balance."""
    return numbers_of(one_log(scenario, order_lines, replication), scenario)


def numbers_of(log: RunLog, scenario: Scenario) -> Replication:
    """The numbers of a finished run."""
    from shopsim.measures.bottleneck import constraint_shares
    from shopsim.measures.kpis import measures_of
    from shopsim.measures.lead_times import lead_days_at
    from shopsim.measures.over_time import due_by_week, in_shop_by_day
    from shopsim.measures.time_split import time_split

    # Two crews may bear one name, and so may their people: what is alike in all three adds up.
    split = time_split(log, scenario)
    shares = split.groupby(["kind", "id", "state"], sort=False)["share"].sum()
    return Replication(
        log.replication,
        measures_of(log, scenario),
        dict(zip(shares.index.tolist(), shares.tolist(), strict=True)),
        _unattended(split, log),
        constraint_shares(log, scenario).total,
        _web_per_week(log, scenario),
        _reasons_h(log, scenario),
        _money_per_week(log, scenario),
        in_shop_by_day(log, scenario),
        *due_by_week(log, scenario),
        lead_days_at(log, scenario),
    )


def _unattended(split: pd.DataFrame, log: RunLog) -> dict[tuple[str, str], float]:
    alone = split[split["unattended_min"] > 0]
    window_min = log.horizon_min - log.warm_up_min
    rows = zip(alone["id"], alone["state"], alone["unattended_min"].tolist(), strict=True)
    return {(name, state): minutes / window_min for name, state, minutes in rows}


def _weeks(log: RunLog) -> float:
    return (log.horizon_min - log.warm_up_min) / MINUTES_PER_WEEK


def _web_per_week(log: RunLog, scenario: Scenario) -> dict[tuple[str, str], float]:
    from shopsim.measures.summaries import web_table

    sums = web_table(log, scenario).groupby("cause", sort=False)[["m", "m2"]].sum() / _weeks(log)
    causes = sums.index.tolist()
    return {
        (cause, unit): amount for unit in ("m", "m2") for cause, amount in zip(causes, sums[unit].tolist(), strict=True)
    }


def _reasons_h(log: RunLog, scenario: Scenario) -> dict[tuple[str, str], float]:
    from shopsim.measures.why_late import REASONS, why_late

    orders = why_late(log, scenario)
    groups = {"all": orders, "late": orders[orders["late_min"] > 0]}
    return {
        (whose, reason): float(group[reason].mean()) / 60
        for whose, group in groups.items()
        if len(group)
        for reason in REASONS
    }


def _money_per_week(log: RunLog, scenario: Scenario) -> dict[str, float]:
    from shopsim.measures.costs import costs_of

    return {name: amount / _weeks(log) for name, amount in costs_of(log, scenario).items()}
