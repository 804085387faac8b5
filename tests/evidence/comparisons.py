"""A known difference, estimated again and again: `python -m tests.evidence.comparisons --studies 100 --shop count`.

Three against four servers under seven orders an hour, on the same orders: the share done within 1.1 h differs in the
long run by what Erlang's formula says. Each study has a seed of its own; its 95 % interval should hold the difference
in 95 % of studies. By `count` it has ten replications, by `precision` (what `compare` does unless told otherwise) as
many as it takes to know the difference to 3.5 points, by `clear` as many as tell it from none; the latter two look at
their runs on the way.
"""

from __future__ import annotations

from collections.abc import Iterator

from shopsim.studies.comparison import Plan, compare_options
from shopsim.studies.engine import LocalEngine
from shopsim.studies.runner import Runner
from tests.evidence.slices import HERE, append, arguments, at_least, done_within, queue, read

RESULTS = {stop: HERE / f"comparisons{more}.csv" for stop, more in
           (("count", ""), ("precision", "_by_precision"), ("clear", "_until_clear"))}  # fmt: skip
HEADING = ("study", "difference", "low", "high", "variance_reduction")
PLANS = {"count": Plan("count", 10), "precision": Plan("precision", half_width=0.035), "clear": Plan("clear")}
ORDERS_PER_H, WITHIN_H = 7.0, 1.1
KNOWN = done_within(4, ORDERS_PER_H, WITHIN_H) - done_within(3, ORDERS_PER_H, WITHIN_H)


def studies(first: int, count: int, stop: str = "count") -> Iterator[tuple[int, str, str, str, str]]:
    """A row a study: the difference with its interval, and what the same orders saved."""
    for seed in range(first, first + count):
        three, four = (queue(c, ORDERS_PER_H, WITHIN_H, seed, weeks=0.5, warm_up_weeks=0.3) for c in (3, 4))
        found = compare_options(Runner(LocalEngine(1)), three, [four], PLANS[stop]).deciding[four.name]
        step = found.interval
        yield seed, f"{step.mean:.5f}", f"{step.low:.5f}", f"{step.high:.5f}", f"{found.variance_reduction:.2f}"


def held(stop: str = "count") -> tuple[int, int]:
    """How many intervals hold the true difference, of how many."""
    rows = read(RESULTS[stop])
    return sum(float(row["low"]) <= KNOWN <= float(row["high"]) for row in rows), len(rows)


def summary(stop: str = "count") -> str:
    """What the results say, in a line."""
    rows, (hits, _) = read(RESULTS[stop]), held(stop)
    mean = sum(float(row["difference"]) for row in rows) / len(rows)
    saved = sorted(float(row["variance_reduction"]) for row in rows)[len(rows) // 2]
    return (
        f"{hits} of {len(rows)} intervals hold the true difference of {KNOWN:.2%} points; at least "
        f"{at_least(0.95, len(rows))} must, if 95 % is kept (mean of all {mean:.2%}, median factor saved {saved:.2f})"
    )


if __name__ == "__main__":
    asked = arguments(__doc__ or "", 400, tuple(PLANS))
    append(asked.out, HEADING, studies(asked.first, asked.studies, asked.shop or "count"))
