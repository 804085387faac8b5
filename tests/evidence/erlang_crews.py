"""The smallest crew of M/M/c: `python -m tests.evidence.erlang_crews --studies 100 --first 0 --out FILE`.

Eight orders an hour, 3 to 7 people of 3 an hour each: how many are done within 0.6 h of their receipt in the long run
is known from Erlang's C (`slices.done_within`). The target lies half way between four people and five, and the
tolerance reaches to both: four only just miss it and five are only just enough, so errors are as likely as they can be.
The warm-up is seven relaxation times of four people, 1 / (3 c (1 - sqrt(load / c))^2) h, or more for more people; three
people fill up for longer, and miss the target from the first day on. A mean of shares of replications leans towards
quiet ones, by about a thousandth here.

The procedure is conservative: it promises the right crew at least 95 times in 100, and names it more often (`summary`).
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from statistics import fmean

from shopsim.studies.crew import FIRST, WHOLE, CrewPlan, Sizes, smallest_crew
from shopsim.studies.engine import LocalEngine
from shopsim.studies.runner import Runner
from tests.evidence.slices import HERE, append, arguments, at_least, done_within, queue, rate_text, read

RESULTS = HERE / "erlang_crews.csv"
PROMISED = 0.95
ORDERS_PER_H, WITHIN_H = 8.0, 0.6
HEADS = range(3, 8)
LEVELS = {heads: done_within(heads, ORDERS_PER_H, WITHIN_H) for heads in HEADS}
RIGHT = 5
TARGET = (LEVELS[RIGHT] + LEVELS[RIGHT - 1]) / 2
TOLERANCE = (LEVELS[RIGHT] - LEVELS[RIGHT - 1]) / 2
PLAN = CrewPlan((Sizes("servers", HEADS[0], HEADS[-1]),), TARGET, TOLERANCE)
WEEKS, WARM_UP_WEEKS = 0.2, 0.1
HEADING = ("study", "crew", "replications", "settled", *(f"on_time_{heads}" for heads in HEADS))


def study(seed: int) -> tuple[int | str, ...]:
    """The crew named, how many replications it took, whether it was settled, and each crew's first shares on time."""
    shop = queue(HEADS[0], ORDERS_PER_H, WITHIN_H, seed, weeks=WEEKS, warm_up_weeks=WARM_UP_WEEKS)
    found = smallest_crew(Runner(LocalEngine(1)), shop, PLAN)
    enough = found.enough[WHOLE]
    named = "" if enough is None else str(enough.heads["servers"])
    by_heads = {crew.heads["servers"]: crew.found.rows for crew in found.candidates}
    shares = [fmean(row.measures["on_time_share"] for row in by_heads[heads][:FIRST]) for heads in HEADS]
    runs = sum(len(rows) for rows in by_heads.values())
    return seed, named, runs, int(WHOLE not in found.likely), *(f"{share:.5f}" for share in shares)


def studies(first: int, count: int) -> Iterator[tuple[int | str, ...]]:
    """A row a study."""
    yield from map(study, range(first, first + count))


def right(path: Path = RESULTS) -> tuple[int, int]:
    """How many studies name the right crew, of how many."""
    rows = read(path)
    return sum(row["crew"] == str(RIGHT) for row in rows), len(rows)


def summary(path: Path = RESULTS) -> str:
    """What the results say, in a line."""
    hits, n = right(path)
    runs = fmean(int(row["replications"]) for row in read(path))
    return (
        f"{hits} of {n} studies name {RIGHT} people; at least {at_least(PROMISED, n)} must, if 95 % is kept "
        f"({TARGET:.1%} give or take {TOLERANCE:.1%}; {runs:.0f} replications a study; {rate_text(hits, n, PROMISED)})"
    )


if __name__ == "__main__":
    asked = arguments(__doc__ or "", 400)
    append(asked.out, HEADING, studies(asked.first, asked.studies))
