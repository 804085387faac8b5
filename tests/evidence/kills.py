"""Studies killed at random moments: `python -m tests.evidence.kills --studies 5 --first 0 --where local` (or `dask`).

*local*: a whole study with two worker processes is killed (SIGKILL), and run again on the same store. *dask*: of a
scheduler with two workers one worker is killed in mid-study. Each time the finished table must be that of a study that
nobody disturbed, and nothing that was stored may be run twice. The moment is drawn by the number of the study.
"""

from __future__ import annotations

import argparse
import os
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values
from shopsim.shop.shop_file import load_shop
from shopsim.studies.cluster import ClusterEngine
from shopsim.studies.engine import LocalEngine
from shopsim.studies.option import Option
from shopsim.studies.runner import Ask, Runner
from shopsim.studies.store import Store
from tests.evidence.slices import HERE, ROOT, append, read
from tests.studies.test_cluster import started

RESULTS = HERE / "kills.csv"
HEADING = ("where", "study", "killed_after_s", "kept", "run_again", "same_table")
COUNT = 150


def shop() -> Option:
    """One week of the flag shop."""
    values = scenario_values(load_shop(ROOT / "demo_scenarios" / "flag_banner_shop.yaml").scenario)
    values["study"] = {**values["study"], "weeks": 1, "warm_up_weeks": 0}
    return Option("one week", check_values(values, "one week"))


def kept_in(path: Path) -> int:
    with Store(path) as store:
        return sum(kept.replications for kept in store.listed())


def resumed(option: Option, path: Path, undisturbed: str) -> tuple[int, int, int]:
    """What is kept, how much a further run adds to it, and whether the table is the undisturbed one."""
    kept, ran = kept_in(path), []
    with Store(path) as store:
        runner = Runner(LocalEngine(2), store)
        real = runner.engine.run
        runner.engine.run = lambda jobs: _counted(real(jobs), ran)  # type: ignore[method-assign]
        (rows,) = runner.run([Ask(option, COUNT)])
    return kept, len(ran), int(repr(rows) == undisturbed)


def _counted(finished: Iterator[object], ran: list[int]) -> Iterator[object]:
    for done in finished:
        ran += done.job.numbers  # type: ignore[attr-defined]
        yield done


def local(first: int, count: int) -> Iterator[tuple[object, ...]]:
    """Kill a whole study, then go on with it."""
    option = shop()
    undisturbed = repr(Runner(LocalEngine(2)).run([Ask(option, COUNT)])[0])
    for number in range(first, first + count):
        wait_s = float(np.random.default_rng([number, 1]).uniform(0.0, 3.0))
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "kept.sqlite"
            study = subprocess.Popen(
                [sys.executable, "-m", "tests.evidence.kills", "--victim", path], cwd=ROOT, stderr=subprocess.DEVNULL
            )
            while not path.exists() or kept_in(path) < 1:
                time.sleep(0.05)
            time.sleep(wait_s)
            study.send_signal(signal.SIGKILL)
            study.wait()
            yield "local", number, f"{wait_s:.2f}", *resumed(option, path, undisturbed)


def dask(first: int, count: int) -> Iterator[tuple[object, ...]]:
    """Kill a worker of a cluster; the study goes on with the other."""
    option = shop()
    undisturbed = repr(Runner(LocalEngine(2)).run([Ask(option, COUNT)])[0])
    for number in range(first, first + count):
        rng = np.random.default_rng([number, 2])
        wait_s, which = float(rng.uniform(0.0, 3.0)), int(rng.integers(2))
        with tempfile.TemporaryDirectory() as folder, started(Path(folder)) as (address, processes):
            path = Path(folder) / "kept.sqlite"
            with ClusterEngine(address) as engine, Store(path) as store:
                while engine.workers < 2:
                    engine._workers = sum(engine._client.nthreads().values())
                    time.sleep(0.1)
                threading.Timer(wait_s, lambda victim=processes[which]: os.kill(victim.pid, signal.SIGKILL)).start()
                Runner(engine, store).run([Ask(option, COUNT)])
            time.sleep(max(0.0, wait_s - 3))
            yield "dask", number, f"{wait_s:.2f}", *resumed(option, path, undisturbed)


def summary(path: Path = RESULTS) -> str:
    """What the results say, a line a place."""
    lines = []
    for where in ("local", "dask"):
        rows = [row for row in read(path) if row["where"] == where]
        same = sum(row["same_table"] == "1" for row in rows)
        twice = sum(int(row["kept"]) + int(row["run_again"]) - COUNT for row in rows)
        lines.append(
            f"{where}: {same} of {len(rows)} killed studies end with the same table; {twice} stored rows run twice"
        )
    return "\n".join(lines)


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--where", choices=("local", "dask"), default="local")
    parser.add_argument("--studies", type=int, default=20)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--out", type=Path)
    parser.add_argument("--victim", type=Path, help="run the study to be killed, on this store")
    asked = parser.parse_args()
    if asked.victim:
        with Store(asked.victim) as kept:
            Runner(LocalEngine(2), kept).run([Ask(shop(), COUNT)])
    else:
        append(asked.out, HEADING, {"local": local, "dask": dask}[asked.where](asked.first, asked.studies))
