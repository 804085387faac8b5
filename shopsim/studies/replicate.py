"""Run a shop many times: each replication simulated, its books audited, and boiled down to plain numbers.

Replication k draws from streams of (seed, k), so its numbers do not depend on how many replications there are, which
process ran it, or in which order they finished.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from shopsim.clock import MINUTES_PER_WEEK
from shopsim.errors import AuditError
from shopsim.floor.record import RunLog
from shopsim.shop.order_book import OrderLine
from shopsim.shop.scenario import Scenario
from shopsim.studies.precision import Interval, interval

if TYPE_CHECKING:
    import pandas as pd

Part = Literal["measures", "states", "constraint", "web_per_week", "reasons_h", "money_per_week"]
OnDone = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Replication:
    """The numbers of one replication, over the window after any warm-up.

    `measures` as `measures_of`; `states` the share of time by (kind, id, state), kinds `printer`, `place`, `crew` and
    `person`; `unattended` the share of time in which a printer was in a state with nobody there, by (id, state);
    `constraint` the share of shop time in which each resource held the shop back; `web_per_week` by (cause,
    `m` or `m2`); `reasons_h` the mean hours of a dispatched order by (`all` or `late`, reason), empty without such
    orders; `money_per_week` in currency units by category.
    """

    number: int
    measures: dict[str, float]
    states: dict[tuple[str, str, str], float]
    unattended: dict[tuple[str, str], float]
    constraint: dict[str, float]
    web_per_week: dict[tuple[str, str], float]
    reasons_h: dict[tuple[str, str], float]
    money_per_week: dict[str, float]


@dataclass(frozen=True, slots=True)
class Replications:
    """Finished replications of one scenario, in the order of their numbers."""

    scenario: Scenario
    rows: tuple[Replication, ...]

    def keys(self, part: Part) -> list[object]:
        """Every name that any replication has in a part, in order of first appearance."""
        return list(dict.fromkeys(key for row in self.rows for key in getattr(row, part)))

    def values(self, part: Part, key: object) -> list[float]:
        """One number a replication. What a replication does not have is NaN among measures and reasons, else 0."""
        missing = math.nan if part in ("measures", "reasons_h") else 0.0
        return [getattr(row, part).get(key, missing) for row in self.rows]

    def interval(self, part: Part, key: object) -> Interval:
        """Mean and t interval of one number at the scenario's own confidence."""
        return interval(self.values(part, key), self.scenario.study.confidence_pct)

    def each(self, number: Callable[[Replication], float]) -> Interval:
        """Mean and t interval of any number worked out for each replication, NaN where it has none."""
        return interval([number(row) for row in self.rows], self.scenario.study.confidence_pct)

    def constraint(self) -> tuple[str, Interval] | None:
        """The resource that held the shop back most on average, and how much of the time; None if none ever did."""
        shares = {str(key): self.interval("constraint", key) for key in self.keys("constraint")}
        best = max(shares, key=lambda name: shares[name].mean, default=None)
        return (best, shares[best]) if best is not None and shares[best].mean > 0 else None


def replicate(
    scenario: Scenario,
    order_lines: Sequence[OrderLine],
    replications: int,
    workers: int = 1,
    on_done: OnDone | None = None,
) -> Replications:
    """Replications 0 to `replications` - 1 of a checked scenario; the numbers are the same for any number of workers.

    `on_done(finished, replications)` is called after each, in this process. Raises AuditError, with the number of the
    replication, if its books do not balance, and ValueError for counts below 1.
    """
    for name, count in (("replications", replications), ("workers", workers)):
        if count < 1:
            raise ValueError(f"{name} must be at least 1, found {count!r}")
    rows = []
    for row in _run_all(scenario, tuple(order_lines), replications, min(workers, replications)):
        rows.append(row)
        if on_done is not None:
            on_done(len(rows), replications)
    return Replications(scenario, tuple(sorted(rows, key=lambda row: row.number)))


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


def _run_all(
    scenario: Scenario, order_lines: tuple[OrderLine, ...], replications: int, workers: int
) -> Iterator[Replication]:
    if workers == 1:
        for number in range(replications):
            yield one_replication(scenario, order_lines, number)
        return
    from joblib import Parallel, delayed, parallel_config
    from joblib.externals.loky import get_reusable_executor

    try:
        with parallel_config(backend="loky", inner_max_num_threads=1):
            jobs = (delayed(one_replication)(scenario, order_lines, number) for number in range(replications))
            yield from Parallel(n_jobs=workers, return_as="generator_unordered")(jobs)
    except KeyboardInterrupt:
        # Whoever stops a run does not want to wait for the replications in work.
        get_reusable_executor().shutdown(wait=False, kill_workers=True)
        raise
