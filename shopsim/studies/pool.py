"""Processes that stay: for a door that asks one study after another and must be able to stop any of them at once.

`LocalEngine` hears of a stop when a replication ends; here a stop is looked for all the time, and ends the processes.
"""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Generator, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, wait
from contextlib import contextmanager, suppress
from itertools import chain
from typing import Any
from weakref import WeakSet

from shopsim.errors import EngineError, StoppedError
from shopsim.studies.engine import MOST_LOSSES, Done, Job, end_with, work

_LOOK_EVERY_S = 0.1
_NICENESS = 10
_POOLS: WeakSet[Pool] = WeakSet()


class Pool:
    """Worker processes of this machine, started when first needed; one study at a time uses them."""

    def __init__(self, workers: int | None = None) -> None:
        # Never one: a study in this process could not be stopped, and would hold up whoever watches it.
        self.workers = max(2, workers or os.cpu_count() or 1)
        self._turn = threading.Lock()
        self._processes: Any = None
        self._closed = False
        _POOLS.add(self)

    def engine(self, stop: Callable[[], bool]) -> PoolEngine:
        """The pool as an engine for one study."""
        return PoolEngine(self, stop)

    @contextmanager
    def turn(self, stop: Callable[[], bool]) -> Generator[None, None, None]:
        """Waits for the pool to be free. Raises StoppedError if told to stop before."""
        while not self._turn.acquire(timeout=_LOOK_EVERY_S):
            _look(stop)
        try:
            yield
        finally:
            self._turn.release()

    def submit(self, job: Job) -> Future[Done]:
        """Give a job to a process. Raises StoppedError once the pool is closed."""
        given: Future[Done] = self._started().submit(work, job)
        return given

    def _started(self) -> Any:
        _look(lambda: self._closed)
        if self._processes is None:
            from joblib.externals.loky.process_executor import ProcessPoolExecutor

            self._processes = ProcessPoolExecutor(self.workers, initializer=_begin, initargs=(os.getpid(),))
        return self._processes

    def warm(self) -> None:
        """Start the processes and let them read the program, so that the first study need not wait for that."""
        with suppress(StoppedError), self.turn(lambda: self._closed):
            for _ in range(self.workers):
                self._started().submit(_read_program)

    def end(self) -> None:
        """End the processes, whatever they are at; the next job starts new ones."""
        processes, self._processes = self._processes, None
        if processes is not None:
            processes.shutdown(wait=False, kill_workers=True)

    def close(self) -> None:
        """End the processes for good."""
        self._closed = True
        self.end()


def close_all() -> None:
    """Close every pool: a program that ends would else wait for the replications in work."""
    for pool in list(_POOLS):
        pool.close()


class PoolEngine:
    """An `Engine` on a pool. Raises StoppedError as soon as `stop` says so."""

    def __init__(self, pool: Pool, stop: Callable[[], bool]) -> None:
        self._pool = pool
        self._stop = stop

    @property
    def workers(self) -> int:
        return self._pool.workers

    def run(self, jobs: Iterable[Job]) -> Generator[Done, None, None]:
        """Finished jobs as they come; those of a lost worker are run again. Raises EngineError after five losses."""
        from joblib.externals.loky.process_executor import BrokenProcessPool, ShutdownExecutorError

        to_do, at_work, losses = iter(jobs), dict[Future[Done], Job](), 0
        try:
            while True:
                try:
                    self._give_out(to_do, at_work)
                    if not at_work:
                        return
                    finished, _ = wait(at_work, _LOOK_EVERY_S, FIRST_COMPLETED)
                    _look(self._stop)
                    for each in finished:
                        done = each.result()
                        del at_work[each]
                        yield done
                except BrokenProcessPool:
                    losses += 1
                    if losses >= MOST_LOSSES:
                        message = f"worker processes were lost {losses} times (out of memory?)"
                        raise EngineError(message) from None
                    to_do, at_work = chain(list(at_work.values()), to_do), {}
                    self._pool.end()
        except ShutdownExecutorError:
            raise StoppedError("stopped: the pool was closed") from None
        finally:
            if at_work:
                self._pool.end()

    def _give_out(self, to_do: Iterator[Job], at_work: dict[Future[Done], Job]) -> None:
        # One more than there are processes, so that none waits for its next job.
        while len(at_work) <= self.workers:
            job = next(to_do, None)
            if job is None:
                return
            try:
                at_work[self._pool.submit(job)] = job
            except Exception:
                # The pool broke before it took the job; whoever runs lost jobs again shall find it.
                at_work[Future()] = job
                raise


def _begin(parent: int) -> None:
    # Whoever watches comes first: with all processors at work, a page would else answer a click a second late.
    if hasattr(os, "nice"):
        os.nice(_NICENESS)
    end_with(parent)


def _read_program() -> None:
    # To be sent here is enough: this module imports all that a replication needs.
    return


def _look(stop: Callable[[], bool]) -> None:
    if stop():
        raise StoppedError("stopped")
