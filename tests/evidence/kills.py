"""Studies killed at random moments: `python -m tests.evidence.kills --studies 20 --first 0 --where study`.

*study*: a whole study with two worker processes is killed (SIGKILL) and run again on the same store. *worker*: of two
worker processes on this machine one is killed in mid-study, *cluster*: of two workers of a scheduler. The moment is so
many stored replications, drawn by the number of the study. Each time the finished table must be that of a study that
nobody disturbed, and nothing that was stored may be run again.
"""

from __future__ import annotations

import argparse
import os
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Generator, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np

from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values
from shopsim.shop.shop_file import load_shop
from shopsim.studies.cluster import ClusterEngine
from shopsim.studies.engine import Done, Engine, Job, LocalEngine
from shopsim.studies.option import Option
from shopsim.studies.replication import Replication
from shopsim.studies.runner import Ask, Progress, Runner
from shopsim.studies.store import Store
from tests.evidence.slices import HERE, ROOT, append, read
from tests.studies.test_cluster import started

RESULTS = HERE / "kills.csv"
HEADING = ("where", "study", "stored_at_kill", "stored_and_run_again", "same_table")
WHERE = ("study", "worker", "cluster")
COUNT = 150
# The last jobs are given out by then: there would be nothing left to go on with.
_LATEST = COUNT - 30
Killed = tuple[str, int, int, int, int]


def shop() -> Option:
    """One week of the flag shop."""
    values = scenario_values(load_shop(ROOT / "demo_scenarios" / "flag_banner_shop.yaml").scenario)
    values["study"] = {**values["study"], "weeks": 1, "warm_up_weeks": 0}
    return Option("one week", check_values(values, "one week"))


def undisturbed() -> str:
    """The table that every study must end with."""
    return repr(Runner(LocalEngine(2)).run([Ask(shop(), COUNT)])[0])


class Watched:
    """An engine that notes which replications it gave back."""

    def __init__(self, engine: Engine) -> None:
        self.engine, self.ran = engine, list[int]()

    @property
    def workers(self) -> int:
        return self.engine.workers

    def run(self, jobs: Iterable[Job]) -> Generator[Done, None, None]:
        for done in self.engine.run(jobs):
            self.ran += done.job.numbers
            yield done


def stored(path: Path) -> set[int]:
    """Numbers of the replications in a store."""
    key = shop().key
    with Store(path) as store:
        return {number for _, number in store.kept([(key, number) for number in range(COUNT)])}


def moment(study: int, where: str) -> int:
    """After how many stored replications to kill."""
    return int(np.random.default_rng([study, WHERE.index(where)]).integers(1, _LATEST))


def killed_study(number: int, table: str) -> Killed | None:
    """Kill a whole study, then go on with it; None if it had ended before."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "kept.sqlite"
        command = [sys.executable, "-m", "tests.evidence.kills", "--victim", path]
        study = subprocess.Popen(command, cwd=ROOT, stderr=subprocess.DEVNULL)
        while study.poll() is None and (not path.exists() or _count(path) < moment(number, "study")):
            time.sleep(0.02)
        study.send_signal(signal.SIGKILL)
        study.wait()
        before = stored(path)
        if len(before) == COUNT:
            return None
        engine = Watched(LocalEngine(2))
        with Store(path) as store:
            (rows,) = Runner(engine, store).run([Ask(shop(), COUNT)])
        return "study", number, len(before), len(before & set(engine.ran)), int(repr(rows) == table)


def _count(path: Path) -> int:
    with Store(path) as store:
        return sum(kept.replications for kept in store.listed())


def killed_worker(number: int, table: str, where: str, engine: Engine, victim: Callable[[], int]) -> Killed:
    """Kill one of two workers; the study goes on with the other."""
    watched, at_kill = Watched(engine), list[int]()

    def kill(progress: Progress) -> None:
        if not at_kill and progress.finished >= moment(number, where):
            at_kill.append(progress.finished)
            os.kill(victim(), signal.SIGKILL)

    with tempfile.TemporaryDirectory() as folder, Store(Path(folder) / "kept.sqlite") as store:
        rows: tuple[Replication, ...]
        (rows,) = Runner(watched, store, on_progress=kill).run([Ask(shop(), COUNT)])
    return where, number, at_kill[0], len(watched.ran) - len(set(watched.ran)), int(repr(rows) == table)


def _local_worker() -> int:
    # Asked for its processes, the pool of workers would end itself.
    command = ["pgrep", "-P", str(os.getpid()), "-f", "loky.*--process-name"]
    return int(subprocess.run(command, capture_output=True, text=True, check=True).stdout.split()[0])


@contextmanager
def _cluster(which: int) -> Iterator[tuple[Engine, Callable[[], int]]]:
    with (
        tempfile.TemporaryDirectory() as folder,
        started(Path(folder)) as (address, processes),
        ClusterEngine(address) as engine,
    ):
        yield engine, lambda: processes[which].pid


def studies(where: str, first: int, count: int) -> Iterator[Killed]:
    """A row a killed study; those that had ended before they could be killed are left out."""
    table = undisturbed()
    for number in range(first, first + count):
        if where == "study":
            found = killed_study(number, table)
            if found is not None:
                yield found
        elif where == "worker":
            yield killed_worker(number, table, where, LocalEngine(2), _local_worker)
        else:
            with _cluster(number % 2) as (engine, victim):
                yield killed_worker(number, table, where, engine, victim)


def summary(path: Path = RESULTS) -> str:
    """What the results say, a line a place."""
    lines = []
    for where in WHERE:
        rows = [row for row in read(path) if row["where"] == where]
        same = sum(row["same_table"] == "1" for row in rows)
        again = sum(int(row["stored_and_run_again"]) for row in rows)
        early, late = min(int(row["stored_at_kill"]) for row in rows), max(int(row["stored_at_kill"]) for row in rows)
        lines.append(
            f"{where}: {same} of {len(rows)} end with the same table, killed after {early} to {late} of {COUNT} "
            f"replications; {again} stored ones were run again"
        )
    return "\n".join(lines)


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--where", choices=WHERE, default="study")
    parser.add_argument("--studies", type=int, default=20)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--out", type=Path)
    parser.add_argument("--victim", type=Path, help="run the study to be killed, on this store")
    asked = parser.parse_args()
    if asked.victim:
        with Store(asked.victim) as kept:
            Runner(LocalEngine(2), kept).run([Ask(shop(), COUNT)])
    else:
        append(asked.out, HEADING, studies(asked.where, asked.first, asked.studies))
