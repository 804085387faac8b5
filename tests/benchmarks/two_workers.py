"""What an engine loses: the same replications by two programs side by side, and by its two workers.

Two programs that know nothing of each other are the most two cores can do (they share caches, power and memory, so each
is slower than it would be alone). Efficiency is their time over the engine's, from giving out the first job to the last
row, with workers that are up and have run the shop before. Wall clock: nothing else may run.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from shopsim.shop.shop_file import load_shop
from shopsim.studies.cluster import ClusterEngine
from shopsim.studies.engine import Engine, LocalEngine
from shopsim.studies.option import Option
from shopsim.studies.runner import Ask, Runner
from tests.benchmarks.measuring import ROOT
from tests.studies.test_cluster import started

_READY_S = 10.0
_WARM = 4


def shop() -> Option:
    """The shop of demo 2."""
    loaded = load_shop(ROOT / "demo_scenarios" / "frame_fabric_shop.yaml")
    return Option("this shop", loaded.scenario, loaded.order_lines)


def alone(numbers: list[int], begin: float) -> None:
    """One of two programs: run some replications from a moment on, and print when the last one ended."""
    option = shop()
    for number in range(_WARM):
        option.replication(number)
    time.sleep(max(0.0, begin - time.monotonic()))
    for number in numbers:
        option.replication(number)
    sys.stdout.write(json.dumps(time.monotonic()))


def side_by_side_s(halves: list[list[int]]) -> float:
    """Seconds until as many programs as there are halves have run theirs, side by side."""
    begin = time.monotonic() + _READY_S
    programs = [
        subprocess.Popen(
            [sys.executable, "-m", "tests.benchmarks.two_workers", json.dumps(half), str(begin)],
            cwd=ROOT, stdout=subprocess.PIPE,
        )
        for half in halves
    ]  # fmt: skip
    return max(float(program.communicate()[0]) for program in programs) - begin


def engine_s(engine: Engine, count: int) -> float:
    """Seconds an engine takes for all of them."""
    option, runner = shop(), Runner(engine)
    runner.run([Ask(option, _WARM)])
    began = time.monotonic()
    runner.run([Ask(option, count - _WARM, _WARM)])
    return time.monotonic() - began


def cluster_s(count: int) -> float:
    """The same on a scheduler with two workers on the loopback address."""
    with (
        tempfile.TemporaryDirectory() as folder,
        started(Path(folder)) as (address, _),
        ClusterEngine(address) as engine,
    ):
        return engine_s(engine, count)


def efficiencies(count: int) -> dict[str, float]:
    """Efficiency of both engines, in one run, and of the two programs against each alone (what the cores share)."""
    halves = [list(range(half, count, 2)) for half in (_WARM, _WARM + 1)]
    single = sum(side_by_side_s([half]) for half in halves)
    best, local, cluster = side_by_side_s(halves), engine_s(LocalEngine(2), count), cluster_s(count)
    return {"machine": single / 2 / best, "local": best / local, "cluster": best / cluster}


if __name__ == "__main__":
    alone(json.loads(sys.argv[1]), float(sys.argv[2]))
