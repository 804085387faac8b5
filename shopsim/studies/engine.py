"""Where replications are run: in this process, in processes beside it, or (`cluster.py`) on other machines.

An engine takes jobs one by one as it has room for them, so that whoever gives them out may change their size on the
way, and hands back finished ones in any order. The numbers are the same whichever engine ran them.
"""

from __future__ import annotations

import os
import pickle
import signal
import threading
import time
from collections.abc import Generator, Iterable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain
from multiprocessing import resource_tracker
from typing import Any, Protocol

from shopsim.errors import EngineError
from shopsim.studies.option import Option
from shopsim.studies.replication import Replication

# How often workers may be lost before a study gives up.
MOST_LOSSES = 5
_WATCH_EVERY_S = 0.5


@dataclass(frozen=True, slots=True)
class Job:
    """Some replications of one option, run one after the other by one worker."""

    option: Option
    numbers: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Done:
    """A finished job: a row a replication, and the seconds they took where they ran."""

    job: Job
    rows: tuple[Replication, ...]
    seconds: float


class Engine(Protocol):
    """Runs jobs. `workers` is how many it works on at once."""

    @property
    def workers(self) -> int: ...

    def run(self, jobs: Iterable[Job]) -> Generator[Done, None, None]:
        """Finished jobs as they come. Closing the iterator stops the work; raises EngineError if it cannot go on."""
        ...


def work(job: Job) -> Done:
    """Run one job here. Raises AuditError if the books of a replication do not balance."""
    started = time.perf_counter()
    option = job.option
    rows = tuple(option.replication(number) for number in job.numbers)
    return Done(job, rows, time.perf_counter() - started)


class LocalEngine:
    """Processes on this machine; with one worker the work is done in this process."""

    def __init__(self, workers: int | None = None) -> None:
        self._workers = workers or os.cpu_count() or 1

    @property
    def workers(self) -> int:
        return self._workers

    def run(self, jobs: Iterable[Job]) -> Generator[Done, None, None]:
        """Finished jobs as they come; those of a lost worker are run again. Raises EngineError after five losses."""
        if self._workers == 1:
            yield from map(work, jobs)
            return
        from joblib.externals.loky.process_executor import TerminatedWorkerError

        to_do = iter(jobs)
        for _ in range(MOST_LOSSES):
            given_out: dict[int, Job] = {}
            try:
                yield from self._until_lost(to_do, given_out)
                return
            except TerminatedWorkerError:
                to_do = chain(list(given_out.values()), to_do)
        raise EngineError(f"worker processes were lost {MOST_LOSSES} times (out of memory?)")

    def _until_lost(self, jobs: Iterator[Job], given_out: dict[int, Job]) -> Generator[Done, None, None]:
        from joblib import Parallel, delayed, parallel_config
        from joblib.externals.loky import get_reusable_executor

        def tasks() -> Iterator[Any]:
            # To pack an order book of a quarter takes a fifth of the time of a replication, so not for every job.
            packed, contents = b"", None
            for number, job in enumerate(jobs):
                given_out[number] = job
                if job.option is not contents:
                    packed, contents = pickle.dumps(job.option), job.option
                yield delayed(_work_packed)(number, packed, job.numbers)

        try:
            with parallel_config(
                backend="loky", inner_max_num_threads=1, initializer=end_with, initargs=(os.getpid(),)
            ):
                with _interrupts_held():
                    given = Parallel(n_jobs=self._workers, return_as="generator_unordered", batch_size=1)(tasks())
                with closing(given) as finished:
                    for number, rows, seconds in finished:
                        yield Done(given_out.pop(number), rows, seconds)
        except KeyboardInterrupt:
            # Whoever stops a study does not want to wait for the replications in work.
            get_reusable_executor().shutdown(wait=False, kill_workers=True)
            raise


@contextmanager
def _interrupts_held() -> Generator[None, None, None]:
    """Processes begun in here never hear of Ctrl-C, which would have them complain; we hear of it afterwards."""
    if not hasattr(signal, "pthread_sigmask"):  # Windows
        yield
        return
    # Begun with the first process, it would let interrupts through again.
    resource_tracker.ensure_running()
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _work_packed(
    number: int, packed: bytes, replications: tuple[int, ...]
) -> tuple[int, tuple[Replication, ...], float]:
    done = work(Job(_unpacked(packed), replications))
    return number, done.rows, done.seconds


@lru_cache(maxsize=2)
def _unpacked(packed: bytes) -> Option:
    option: Option = pickle.loads(packed)
    return option


def end_with(parent: int) -> None:
    """End this worker when the process that started it is gone, however it went."""

    def watch() -> None:
        while os.getppid() == parent:
            time.sleep(_WATCH_EVERY_S)
        os._exit(3)

    threading.Thread(target=watch, daemon=True).start()
