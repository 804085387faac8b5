"""How speed is measured: processor time, ratios within one process, each trial in a fresh process.

Machines are shared and differ, so only ratios count: a trial times the bare kernel just before and just after what it
measures, and the median of several trials is reported.
"""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from time import process_time
from typing import Any

import simpy

ROOT = Path(__file__).resolve().parents[2]


def seconds(call: Callable[[], Any]) -> tuple[float, Any]:
    """Processor seconds of a call, and what it returned."""
    began = process_time()
    result = call()
    return process_time() - began, result


def bare_per_s(timeouts: int = 200_000) -> float:
    """Timeouts a second of one SimPy process that does nothing else: the yardstick."""
    env = simpy.Environment()

    def wait() -> Any:
        for _ in range(timeouts):
            yield env.timeout(1.0)

    env.process(wait())
    took, _ = seconds(env.run)
    return timeouts / took


def beside_bare(call: Callable[[], Any]) -> tuple[float, float, Any]:
    """Processor seconds of a call, bare timeouts a second around it, and what it returned."""
    before = bare_per_s()
    took, result = seconds(call)
    return took, (before + bare_per_s()) / 2, result


def resident_mib() -> float:
    """Memory this process holds now."""
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * 4096 / 2**20


def fresh(trial: str, **arguments: Any) -> dict[str, Any]:
    """Run a trial of `trials.py` in a process of its own."""
    command = [sys.executable, "-m", "tests.benchmarks.trials", trial, json.dumps(arguments)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    if done.returncode:
        raise RuntimeError(f"{trial} {arguments} failed:\n{done.stderr}")
    result: dict[str, Any] = json.loads(done.stdout)
    return result


def medians(results: list[dict[str, Any]]) -> dict[str, float]:
    """The median of each number over several trials."""
    return {name: statistics.median(result[name] for result in results) for name in results[0]}


def alternated(rounds: int, *trials: dict[str, Any]) -> list[dict[str, float]]:
    """Medians of several trials, run in turns so that all meet the same hours of the machine."""
    found: list[list[dict[str, Any]]] = [[] for _ in trials]
    for _ in range(rounds):
        for results, trial in zip(found, trials, strict=True):
            results.append(fresh(**trial))
    return [medians(results) for results in found]
