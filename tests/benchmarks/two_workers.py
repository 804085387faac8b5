"""What an engine makes of two workers: the share of their time that goes into replications.

Processor time of the replications where they ran, over twice the time from giving out the first job to the last row,
with workers that are up and have run the shop before. So all that is lost counts: handing over, waiting for the last
one, and the cores that the study's own process and a scheduler take; but not what else slows a machine down. Nothing
else may run meanwhile.
"""

from __future__ import annotations

import tempfile
import time
from dataclasses import replace
from pathlib import Path

from shopsim.shop.shop_file import load_shop
from shopsim.studies.cluster import ClusterEngine
from shopsim.studies.engine import Engine, LocalEngine
from shopsim.studies.option import Option
from shopsim.studies.replication import Replication
from shopsim.studies.runner import Ask, Runner
from tests.benchmarks.measuring import ROOT
from tests.studies.test_cluster import started

_WARM, _TIME = 4, "processor_s"


class Timed(Option):
    """An option whose rows tell how much processor time they took."""

    def replication(self, number: int) -> Replication:
        began = time.process_time()
        row = super().replication(number)
        return replace(row, measures={**row.measures, _TIME: time.process_time() - began})


def measured(engine: Engine, count: int) -> tuple[float, float]:
    """Of so many replications of demo 2: the share of the workers' time that goes into them, and the seconds taken."""
    loaded = load_shop(ROOT / "demo_scenarios" / "frame_fabric_shop.yaml")
    option, runner = Timed("this shop", loaded.scenario, loaded.order_lines), Runner(engine)
    runner.run([Ask(option, _WARM)])
    began = time.monotonic()
    (rows,) = runner.run([Ask(option, count, _WARM)])
    took = time.monotonic() - began
    return sum(row.measures[_TIME] for row in rows) / (engine.workers * took), took


def measured_in_both(count: int, workers: int = 2) -> dict[str, tuple[float, float]]:
    """By processes on this machine, and by a scheduler with so many workers on the loopback address."""
    local = measured(LocalEngine(workers), count)
    with (
        tempfile.TemporaryDirectory() as folder,
        started(Path(folder), workers) as (address, _),
        ClusterEngine(address) as engine,
    ):
        return {"local": local, "cluster": measured(engine, count)}


def efficiencies(count: int) -> dict[str, float]:
    """The shares alone."""
    return {where: share for where, (share, _) in measured_in_both(count).items()}
