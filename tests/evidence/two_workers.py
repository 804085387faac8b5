"""What two workers make of a study: `python -m tests.evidence.two_workers --studies 3 --out FILE`.

Of replications of demo 2, by processes on this machine and by a scheduler with workers on the loopback address:
`speed_up_share` is the time that one worker takes over twice that of two, T1 / (2 T2); `efficiency` the share of two
workers' time that goes into replications (`tests/benchmarks/two_workers.py`). The former also counts what two busy
cores take from one another (memory, heat), which is no loss of the engine's. A study is one such measurement, one and
two workers in turn; nothing else may run meanwhile, and the compiled twin must be built (`shopsim compile`).
"""

from __future__ import annotations

from collections.abc import Iterator
from statistics import median

from tests.benchmarks.two_workers import measured_in_both
from tests.evidence.slices import HERE, append, arguments, read

RESULTS = HERE / "two_workers.csv"
HEADING = ("study", "where", "replications", "one_worker_s", "two_workers_s", "speed_up_share", "efficiency")
COUNT = 60


def studies(first: int, count: int, replications: int = COUNT) -> Iterator[tuple[int | str, ...]]:
    """A row a study and place."""
    for study in range(first, first + count):
        alone, both = measured_in_both(replications, 1), measured_in_both(replications, 2)
        for where, (share, two_s) in both.items():
            one_s = alone[where][1]
            yield (
                study,
                where,
                replications,
                f"{one_s:.2f}",
                f"{two_s:.2f}",
                f"{one_s / (2 * two_s):.3f}",
                f"{share:.3f}",
            )


def summary() -> str:
    """Medians of what is kept, a line a place."""
    lines = []
    for where in ("local", "cluster"):
        rows = [row for row in read(RESULTS) if row["where"] == where]
        speed_up, share = (median(float(row[name]) for row in rows) for name in ("speed_up_share", "efficiency"))
        lines.append(f"{where}: T1 / (2 T2) {speed_up:.2f}, time in replications {share:.2f}, median of {len(rows)}")
    return "\n".join(lines)


if __name__ == "__main__":
    asked = arguments(__doc__ or "", 3)
    append(asked.out, HEADING, studies(asked.first, asked.studies))
