"""Ten thousand replications in one study: `python -m tests.evidence.sweep --out tests/evidence/sweep.csv`.

A row a thousand: seconds so far, memory of this process and of its workers, and the size of the store. Then the same
study is asked once more, as after a stop, and must come from the store.
"""

from __future__ import annotations

import os
import subprocess
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from shopsim.studies.engine import LocalEngine
from shopsim.studies.runner import Ask, Progress, Runner
from shopsim.studies.store import Store
from tests.evidence.kills import shop
from tests.evidence.slices import HERE, append, arguments, read

RESULTS = HERE / "sweep.csv"
HEADING = ("replications", "seconds", "memory_mb", "workers_memory_mb", "store_mb")
EACH = 1_000
RESUMED = "again"


def rows(count: int) -> Iterator[tuple[object, ...]]:
    """What is there after each thousand replications of one week of the flag shop, and after asking once more."""
    option, seen = shop(), list[tuple[object, ...]]()
    with tempfile.TemporaryDirectory() as folder:
        path, began = Path(folder) / "kept.sqlite", time.monotonic()

        def note(progress: Progress) -> None:
            if progress.finished >= EACH * (len(seen) + 1):
                seen.append(_row(str(progress.finished), began, path))

        with Store(path) as store:
            Runner(LocalEngine(2), store, note).run([Ask(option, count)])
        yield from seen
        began = time.monotonic()
        with Store(path) as store:
            runner = Runner(LocalEngine(2), store)
            runner.run([Ask(option, count)])
            assert runner.newly_run == 0
        yield _row(RESUMED, began, path)


def _row(what: str, began: float, store: Path) -> tuple[object, ...]:
    command = ["pgrep", "-P", str(os.getpid()), "-f", "loky"]
    workers = subprocess.run(command, capture_output=True, text=True, check=False).stdout.split()
    theirs = max((_memory_mb(int(pid)) for pid in workers), default=0.0)
    size = sum(each.stat().st_size for each in store.parent.iterdir()) / 2**20
    return what, f"{time.monotonic() - began:.1f}", f"{_memory_mb(os.getpid()):.0f}", f"{theirs:.0f}", f"{size:.1f}"


def _memory_mb(process: int) -> float:
    pages = int(Path(f"/proc/{process}/statm").read_text(encoding="ascii").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 2**20


def kb_a_row(path: Path = RESULTS) -> float:
    """Memory that each replication adds to the study's process, which holds the numbers of all."""
    *going, _ = read(path)
    first, last = going[0], going[-1]
    more = int(last["replications"]) - int(first["replications"])
    return (float(last["memory_mb"]) - float(first["memory_mb"])) * 1024 / more


def summary(path: Path = RESULTS) -> str:
    """What the results say, in a line."""
    *going, again = read(path)
    first, last = going[0], going[-1]
    return (
        f"{int(last['replications']):,} replications in {float(last['seconds']):.0f} s: the study holds the numbers of "
        f"all, {kb_a_row(path):.0f} KB each ({last['memory_mb']} MB in the end); workers {first['workers_memory_mb']} "
        f"MB after the first thousand, {last['workers_memory_mb']} MB after the last; the store has {last['store_mb']} "
        f"MB and gives all of them again in {float(again['seconds']):.1f} s"
    )


if __name__ == "__main__":
    asked = arguments(__doc__ or "", 10_000)
    append(asked.out, HEADING, rows(asked.studies))
