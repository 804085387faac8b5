"""The smallest crew of shops with a known answer: `python -m tests.evidence.crews --studies 50 --first 0 --shop NAME`.

Each study runs on the real engine and has its own seed (`crew_shops.py` has the shops). One crew always lies from the
target by the tolerance and no more: there an error is likeliest, and there the procedure promises its confidence;
further away it is right more often, and between the two edges either answer is right. For normal values it is
conservative: all crews share the chance of error (Bonferroni), and what is judged after whole replications overshoots
the boundary that the proof counts with. Shares of orders on time are skewed by a few bad days, which uses that up
(`test_crews.py` has 100 studies of each in numbers, and finds out a procedure ten times too bold).
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from shopsim.studies.crew import WHOLE, smallest_crew
from shopsim.studies.engine import Engine, LocalEngine
from shopsim.studies.runner import Runner
from tests.evidence.crew_shops import CASES, ROLES
from tests.evidence.slices import HERE, append, arguments, at_least, rate_text, read

RESULTS = HERE / "crews_at_the_edge.csv"
HEADING = ("shop", "study", "crew", "replications", "settled")
PROMISED = 0.95
Found = tuple[str, int, str, int, int]


def study(shop: str, seed: int, engine: Engine) -> Found:
    """The crew named, how many replications it took, whether it was settled."""
    case = CASES[shop]
    found = smallest_crew(Runner(engine), case.option(seed), case.plan)
    enough = found.enough[WHOLE]
    named = "" if enough is None else " ".join(str(enough.heads[role]) for role in ROLES[: case.roles])
    return shop, seed, named, sum(len(crew.found.rows) for crew in found.candidates), int(WHOLE not in found.likely)


def studies(shops: list[str], first: int, count: int) -> Iterator[Found]:
    """A row a study; the shops take turns, so that each has as many whenever this is stopped."""
    for seed in range(first, first + count):
        yield from (study(shop, seed, LocalEngine(1)) for shop in shops)


def is_right(shop: str, named: str) -> bool:
    """Whether the crew named is the one that is right."""
    return named == " ".join(map(str, CASES[shop].right))


def right(shop: str, path: Path = RESULTS) -> tuple[int, int]:
    """How many studies of a shop name the right crew, of how many."""
    rows = [row for row in read(path) if row["shop"] == shop]
    return sum(is_right(shop, row["crew"]) for row in rows), len(rows)


def summary(path: Path = RESULTS) -> str:
    """What the results say, a line a shop."""
    lines = []
    for shop, case in CASES.items():
        hits, n = right(shop, path)
        runs = sum(int(row["replications"]) for row in read(path) if row["shop"] == shop) / n
        lines.append(
            f"{shop}: {hits} of {n} studies name the right crew; at least {at_least(PROMISED, n)} must, if 95 % is "
            f"kept ({case.target:.1%} give or take {case.tolerance:.0%}; {runs:.0f} replications a study; "
            f"{rate_text(hits, n, PROMISED)})"
        )
    return "\n".join(lines)


if __name__ == "__main__":
    asked = arguments(__doc__ or "", 400, tuple(CASES))
    append(asked.out, HEADING, studies([asked.shop] if asked.shop else list(CASES), asked.first, asked.studies))
