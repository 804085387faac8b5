"""Many trials in processes with bounded memory; one that dies takes only its own file along."""

from __future__ import annotations

import resource
import tempfile
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context
from pathlib import Path

from tests.hardening.trials import Outcome, kinds, prepare, trial

# Scenarios decide over the machine's time and memory; the other files lead to one.
_SHARES = {
    "scenario": 0.4, "what-if": 0.16, "order book": 0.08, "mapping": 0.08, "export": 0.08, "morning": 0.08,
    "ranges": 0.04, "state": 0.04, "forged state": 0.04,
}  # fmt: skip
_MOST_BYTES = 3 * 1024**3
_AT_ONCE = 25


def _bounded() -> None:
    resource.setrlimit(resource.RLIMIT_AS, (_MOST_BYTES, _MOST_BYTES))


def some(kind: str, numbers: range) -> list[Outcome]:
    with tempfile.TemporaryDirectory() as folder:
        demos = Path(folder) / "demos"
        prepare(demos)
        return [trial(kind, number, demos) for number in numbers]


def outcomes(files: int, first: int, workers: int) -> Iterator[Outcome]:
    """The outcomes of so many files from a number on; a worker that dies is a crash of each of its files."""
    asked = [
        (kind, range(at, min(at + _AT_ONCE, first + count)))
        for kind in kinds()
        for count in [round(files * _SHARES[kind])]
        for at in range(first, first + count, _AT_ONCE)
    ]
    while asked:
        # Fresh processes now and then, by hand: `max_tasks_per_child` of Python 3.11 can wait for ever.
        now, asked = asked[: _AT_ONCE * workers], asked[_AT_ONCE * workers :]
        with ProcessPoolExecutor(workers, mp_context=get_context("spawn"), initializer=_bounded) as pool:
            running = {pool.submit(some, kind, numbers): (kind, numbers) for kind, numbers in now}
            for job, (kind, numbers) in running.items():
                try:
                    yield from job.result()
                except BrokenProcessPool:
                    if len(numbers) == 1:
                        yield Outcome(kind, numbers[0], "crash", 0.0, "the process died")
                    else:
                        asked += [(kind, range(number, number + 1)) for number in numbers]
