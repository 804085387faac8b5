"""Run a shop many times, and read the numbers of all replications together."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

from shopsim.shop.order_book import OrderLine
from shopsim.shop.scenario import Scenario
from shopsim.studies.engine import LocalEngine
from shopsim.studies.option import Option
from shopsim.studies.precision import Interval, interval
from shopsim.studies.replication import Replication
from shopsim.studies.runner import Ask, Runner

Part = Literal["measures", "states", "constraint", "web_per_week", "reasons_h", "money_per_week"]
OnDone = Callable[[int, int], None]


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
    runner = Runner(
        LocalEngine(min(workers, replications)),
        on_progress=None if on_done is None else lambda progress: on_done(progress.finished, replications),
    )
    (rows,) = runner.run([Ask(Option("", scenario, tuple(order_lines)), replications)])
    return Replications(scenario, rows)
