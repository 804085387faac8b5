"""The smallest crew of an Erlang-C shop, again and again: `python -m tests.evidence.crews --studies 50 --first 0`.

Seven orders an hour, three an hour done by each server: in the long run 3, 4 and 5 servers send 82.8, 95.0 and 96.1 %
out within 1.1 h. The target is 91 % give or take 2 points, so 4 is the right answer; 3 and 5 lie clear of the target as
well. Each study runs on the real engine and has its own seed.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from shopsim.studies.crew import WHOLE, CrewPlan, Sizes, smallest_crew
from shopsim.studies.engine import LocalEngine
from shopsim.studies.runner import Runner
from tests.evidence.slices import HERE, append, arguments, at_least, done_within, queue, read

RESULTS = HERE / "crews.csv"
HEADING = ("study", "crew", "replications", "settled")
ORDERS_PER_H, WITHIN_H, TARGET, RIGHT = 7.0, 1.1, 0.91, 4
PLAN = CrewPlan((Sizes("servers", 3, 5),), TARGET, 0.02)


def studies(first: int, count: int) -> Iterator[tuple[int, str, int, int]]:
    """A row a study: the crew named, how many replications it took, whether it was settled."""
    for seed in range(first, first + count):
        base = queue(RIGHT, ORDERS_PER_H, WITHIN_H, seed, weeks=0.25, warm_up_weeks=0.05)
        found = smallest_crew(Runner(LocalEngine(1)), base, PLAN)
        enough = found.enough[WHOLE]
        runs = sum(len(crew.found.rows) for crew in found.candidates)
        yield seed, "" if enough is None else str(enough.heads["servers"]), runs, int(WHOLE not in found.likely)


def summary(path: Path = RESULTS) -> str:
    """What the results say, in a line."""
    rows = read(path)
    right = sum(row["crew"] == str(RIGHT) for row in rows)
    levels = ", ".join(f"{c}: {done_within(c, ORDERS_PER_H, WITHIN_H):.1%}" for c in (3, 4, 5))
    runs = sum(int(row["replications"]) for row in rows) / len(rows)
    return (
        f"{right} of {len(rows)} studies name the right crew; at least {at_least(0.95, len(rows))} must, if 95 % is "
        f"kept ({levels}; {runs:.1f} replications a study)"
    )


if __name__ == "__main__":
    asked = arguments(__doc__ or "", 400)
    append(asked.out, HEADING, studies(asked.first, asked.studies))
