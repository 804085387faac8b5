"""A known difference, estimated again and again: `python -m tests.evidence.comparisons --studies 100 --shop count`.

Three against four servers on the same orders: what four of them do better in the long run is what Erlang's formula
says. Each study has a seed of its own; its 95 % interval should hold the difference in 95 % of studies. By `count` it
has ten replications, by `precision` (what `compare` does unless told otherwise) as many as it takes to know the
difference to 1.2 late orders, by `clear` as many as tell it from none. The latter two look at their runs on the way:
they tell late orders, whose mean in the long run is known in a short window as well (a share leans towards quiet
replications), so that a replication is small and needs many others beside it.

Replications run on the real engine; of the key figures only those that are asked for are worked out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from statistics import median

from shopsim.floor.run import simulate
from shopsim.measures.facts import Facts
from shopsim.measures.kpis import due_orders
from shopsim.studies.comparison import FIRST, LEAST, Plan, compare_options
from shopsim.studies.engine import LocalEngine
from shopsim.studies.option import Option
from shopsim.studies.replication import Replication
from shopsim.studies.runner import Runner
from tests.evidence.slices import HERE, append, arguments, at_least, done_within, queue, rate_text, read

HEADING = ("study", "difference", "low", "high", "variance_reduction", "replications")
SERVERS = (3, 4)
_HOURS_A_WEEK = 168


@dataclass(frozen=True, slots=True)
class Case:
    """One way to stop, the shop it is tried on, and the measure in which the difference is known.

    `beyond` is how many runs a study has that ends as soon as it can, which tells nothing about looking again.
    """

    results: Path
    plan: Plan
    orders_per_h: float
    within_h: float
    weeks: float
    warm_up_weeks: float
    measure: str
    beyond: int

    @property
    def known(self) -> float:
        """Four servers less three, in the long run."""
        few, many = (done_within(servers, self.orders_per_h, self.within_h) for servers in SERVERS)
        if self.measure == "on_time_share":
            return many - few
        return (few - many) * self.orders_per_h * _HOURS_A_WEEK * self.weeks

    def options(self, seed: int) -> tuple[Option, Option]:
        """Three servers and four."""
        few, many = (
            queue(
                servers, self.orders_per_h, self.within_h, seed,
                weeks=self.weeks, warm_up_weeks=self.warm_up_weeks,
            )
            for servers in SERVERS
        )  # fmt: skip
        return OnTimeAlone(few.name, few.scenario), OnTimeAlone(many.name, many.scenario)


class OnTimeAlone(Option):
    """An option whose rows tell what came of the orders due, and nothing else."""

    def replication(self, number: int) -> Replication:
        due, left = due_orders(Facts(simulate(self.scenario, self.order_lines, number), self.scenario))
        late = float((left > due).sum())
        measures = {"on_time_share": (len(due) - late) / len(due), "late_orders": late}
        return Replication(number, measures, {}, {}, {}, {}, {}, {})

    def _further(self) -> str:
        return "on time alone"


CASES = {
    "count": Case(HERE / "comparisons.csv", Plan("count", FIRST), 7.0, 1.1, 0.5, 0.3, "on_time_share", 0),
    "precision": Case(
        HERE / "comparisons_by_precision.csv", Plan("precision", half_width=1.2), 5.5, 0.4, 0.1, 0.08, "late_orders",
        LEAST,
    ),
    "clear": Case(
        HERE / "comparisons_until_clear.csv", Plan("clear"), 4.5, 0.5, 0.03, 0.05, "late_orders", FIRST,
    ),
}  # fmt: skip


def studies(first: int, count: int, stop: str = "count") -> Iterator[tuple[int, str, str, str, str, int]]:
    """A row a study: the difference with its interval, what the same orders saved, and how many runs it took."""
    case = CASES[stop]
    for seed in range(first, first + count):
        few, many = case.options(seed)
        found = compare_options(Runner(LocalEngine(1)), few, [many], case.plan, case.measure)
        difference = found.deciding[many.name]
        step = difference.interval
        saved = f"{difference.variance_reduction:.2f}"
        yield seed, f"{step.mean:.5f}", f"{step.low:.5f}", f"{step.high:.5f}", saved, found.runs


def held(stop: str = "count") -> tuple[int, int]:
    """How many intervals hold the true difference, of how many."""
    rows, known = read(CASES[stop].results), CASES[stop].known
    return sum(float(row["low"]) <= known <= float(row["high"]) for row in rows), len(rows)


def missed(stop: str) -> tuple[int, int]:
    """How many intervals lie below the true difference, and how many above."""
    rows, known = read(CASES[stop].results), CASES[stop].known
    return sum(float(row["high"]) < known for row in rows), sum(float(row["low"]) > known for row in rows)


def mean_over_runs(stop: str) -> tuple[float, float]:
    """The mean difference of all runs of all studies, with its standard error.

    Runs count alike, not studies: where luck says when a study ends, the mean of studies leans, that of runs does not
    (Wald's identity; W. Feller, An Introduction to Probability Theory and Its Applications, vol. 2, 2nd ed., Wiley,
    1971, section XII.2; from memory).
    """
    rows = read(CASES[stop].results)
    runs = [int(row["replications"]) for row in rows]
    sums = [n * float(row["difference"]) for n, row in zip(runs, rows, strict=True)]
    mean = sum(sums) / sum(runs)
    apart = sum((total - n * mean) ** 2 for total, n in zip(sums, runs, strict=True))
    return mean, (apart * len(rows) / (len(rows) - 1)) ** 0.5 / sum(runs)


def summary(stop: str = "count") -> str:
    """What the results say, in a line."""
    rows, (hits, _), (below, above) = read(CASES[stop].results), held(stop), missed(stop)
    mean, error = mean_over_runs(stop)
    runs = [int(row["replications"]) for row in rows]
    return (
        f"{hits} of {len(rows)} intervals hold the true difference of {CASES[stop].known:.4g}, {below} lie below it "
        f"and {above} above; at least {at_least(0.95, len(rows))} must hold it, if 95 % is kept (mean of all runs "
        f"{mean:.4g}, standard error {error:.2g}; {min(runs)} to {max(runs)} runs a study, median {median(runs):.0f}; "
        f"median factor saved {median(float(row['variance_reduction']) for row in rows):.2f}; "
        f"{rate_text(hits, len(rows), 0.95)})"
    )


if __name__ == "__main__":
    asked = arguments(__doc__ or "", 400, tuple(CASES))
    append(asked.out, HEADING, studies(asked.first, asked.studies, asked.shop or "count"))
