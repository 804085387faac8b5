"""Replications on other machines: the workers of a Dask cluster, which must have this very program installed.

Whoever reaches a scheduler or worker can run any program there, so a cluster belongs on a loopback address or behind
TLS with certificates of your own. Workers come and go while a study runs: each row comes back with the version of the
program that made it.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterable, Iterator, Sequence
from concurrent.futures import CancelledError
from contextlib import suppress
from dataclasses import dataclass
from ipaddress import ip_address
from itertools import islice
from types import TracebackType
from typing import Any
from urllib.parse import urlsplit

from shopsim.errors import EngineError
from shopsim.studies.code_version import code_version
from shopsim.studies.engine import MOST_LOSSES, Done, Job, work
from shopsim.studies.option import Option
from shopsim.studies.replication import Replication

_CONNECT_S = 20
_FIRST_WORKER_S = 20
_LOOK_EVERY_S = 5.0
# So long nobody waits for a worker to come back.
_WITHOUT_WORKERS_S = 60.0
_UNKNOWN = "an unknown version"


@dataclass(frozen=True, slots=True)
class TlsFiles:
    """PEM files: who signs, who we are, our key."""

    ca: str
    certificate: str
    key: str


class ClusterEngine:
    """A scheduler's workers. Connects at once; raises EngineError if it cannot, or if a worker has another program."""

    def __init__(self, address: str, tls: TlsFiles | None = None) -> None:
        self._address = address
        self._client = _connect(address, tls)
        try:
            # Workers started a moment ago are still on their way; where none comes the check says so.
            with suppress(TimeoutError):
                self._client.wait_for_workers(1, timeout=_FIRST_WORKER_S)
            self._workers = _checked_workers(self._client, address, code_version())
        except BaseException:
            self._client.close()
            raise

    def __enter__(self) -> ClusterEngine:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._client.close()

    @property
    def workers(self) -> int:
        """Threads of all workers together when the study began."""
        return self._workers

    def run(self, jobs: Iterable[Job]) -> Generator[Done, None, None]:
        """Finished jobs as they come; those of a lost worker go to another.

        Raises EngineError after five losses of one job, when no worker is left, when the scheduler is lost, and for
        work of a worker that joined later with another program.
        """
        work_list = _WorkList(self._client, self._address, jobs)
        try:
            work_list.give_out(2 * self._workers)
            while work_list.open:
                for done in self._finished(work_list):
                    work_list.give_out(1)
                    yield done
        except (OSError, CancelledError, RuntimeError) as fault:
            # What is said of cancelled futures runs over many lines and helps nobody.
            gone = isinstance(fault, CancelledError)
            why = "its scheduler is gone" if gone else " ".join(str(fault).split()) or type(fault).__name__
            raise EngineError(f"{self._address}: the cluster was lost ({why})") from fault
        finally:
            with suppress(OSError, CancelledError, RuntimeError):
                self._client.cancel(list(work_list.open))

    def _finished(self, work_list: _WorkList) -> Iterator[Done]:
        """At least one finished job, as soon as there is one."""
        from distributed import wait

        without = 0.0
        while True:
            try:
                found = wait(list(work_list.open), timeout=_LOOK_EVERY_S, return_when="FIRST_COMPLETED")
                break
            except TimeoutError:
                without = 0.0 if self._client.nthreads() else without + _LOOK_EVERY_S
            if without >= _WITHOUT_WORKERS_S:
                raise EngineError(f"{self._address}: the cluster has no workers any more")
        for future in found.done:
            yield work_list.take(future)


class _WorkList:
    """Jobs given out to a cluster; each option is handed over once and kept there for all its jobs."""

    def __init__(self, client: Any, address: str, jobs: Iterable[Job]) -> None:
        self._client, self._address, self._to_do = client, address, iter(jobs)
        self._options: dict[str, Any] = {}
        self.open: dict[Any, Job] = {}

    def give_out(self, count: int) -> None:
        for job in islice(self._to_do, count):
            key = job.option.key
            if key not in self._options:
                # A task and not plain data: should all workers that hold it be lost, the scheduler makes it again.
                self._options[key] = self._submit(_itself, job.option)
            self.open[self._submit(_work, self._options[key], job.numbers)] = job

    def take(self, future: Any) -> Done:
        """A finished job. Raises what the work raised, and EngineError if its workers were lost again and again or if
        another program did it."""
        from distributed import KilledWorker

        job = self.open.pop(future)
        try:
            # What another program hands back may have another shape.
            rows, seconds, theirs = (*future.result(), _UNKNOWN)[:3]
        except KilledWorker as fault:
            raise EngineError(f"the cluster lost its workers again and again: {fault}") from fault
        if theirs != code_version():
            raise _another_program(self._address, [theirs], "; what they made is not kept")
        return Done(job, rows, seconds)

    def _submit(self, task: Callable[..., Any], *given: Any) -> Any:
        return self._client.submit(task, *given, pure=False, retries=MOST_LOSSES)


def _itself(option: Option) -> Option:
    return option


def _work(option: Option, numbers: tuple[int, ...]) -> tuple[tuple[Replication, ...], float, str]:
    done = work(Job(option, numbers))
    return done.rows, done.seconds, code_version()


def is_open(address: str) -> bool:
    """Whether others could read what goes to a cluster and back, or send their own: no TLS, and not this machine."""
    parts = urlsplit(address if "://" in address else f"tcp://{address}")
    if parts.scheme in ("tls", "wss", "inproc"):
        return False
    try:
        return not ip_address(parts.hostname or "").is_loopback
    except ValueError:
        return parts.hostname != "localhost"


def _connect(address: str, tls: TlsFiles | None) -> Any:
    if tls is None and urlsplit(address).scheme in ("tls", "wss"):
        raise EngineError(f"{address}: this cluster asks for certificates; give --tls CA CERT KEY")
    try:
        from distributed import Client
        from distributed.security import Security
    except ImportError as fault:
        raise EngineError("a cluster needs the extra `cluster`: pip install 'shopsim[cluster]'") from fault
    try:
        security = None
        if tls is not None:
            security = Security(
                tls_ca_file=tls.ca, tls_client_cert=tls.certificate, tls_client_key=tls.key, require_encryption=True
            )
        return Client(address, security=security, timeout=_CONNECT_S)
    except (OSError, ValueError, TypeError) as fault:
        raise EngineError(f"{address}: no cluster answers here: {fault}") from fault


def _checked_workers(client: Any, address: str, mine: str) -> int:
    threads = sum(client.nthreads().values())
    if not threads:
        raise EngineError(f"{address}: this cluster has no workers")
    try:
        theirs: dict[str, str] = client.run(code_version)
    except ImportError as fault:
        raise EngineError(f"{address}: install shopsim {mine} on the scheduler and on every worker") from fault
    others = sorted({version for version in theirs.values() if version != mine})
    if others:
        raise _another_program(address, others, mine=mine)
    return int(threads)


def _another_program(address: str, theirs: Sequence[str], more: str = "", mine: str = "") -> EngineError:
    return EngineError(
        f"{address}: this is shopsim {mine or code_version()}, but workers have {', '.join(theirs)}{more}; install the "
        "same version, Python, numpy, pandas, scipy and simpy everywhere"
    )
