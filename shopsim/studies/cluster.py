"""Replications on other machines: the workers of a Dask cluster, which must have this very program installed.

Whoever reaches a scheduler or worker can run any program there, so a cluster belongs on a loopback address or behind
TLS with certificates of your own.
"""

from __future__ import annotations

from collections.abc import Generator, Iterable
from dataclasses import dataclass
from itertools import islice
from types import TracebackType
from typing import Any

from shopsim.errors import EngineError
from shopsim.studies.code_version import code_version
from shopsim.studies.engine import MOST_LOSSES, Done, Job, work

_CONNECT_S = 20


@dataclass(frozen=True, slots=True)
class TlsFiles:
    """PEM files: who signs, who we are, our key."""

    ca: str
    certificate: str
    key: str


class ClusterEngine:
    """A scheduler's workers. Connects at once; raises EngineError if it cannot, or if a worker has another program."""

    def __init__(self, address: str, tls: TlsFiles | None = None) -> None:
        self._client = _connect(address, tls)
        try:
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
        """Finished jobs as they come; those of a lost worker go to another. Raises EngineError after five losses."""
        from distributed import KilledWorker, as_completed

        to_do = iter(jobs)
        open_futures: set[Any] = set()

        def give_out(count: int) -> list[Any]:
            futures = [self._client.submit(work, job, pure=False, retries=MOST_LOSSES) for job in islice(to_do, count)]
            open_futures.update(futures)
            return futures

        try:
            finished = as_completed(give_out(2 * self._workers))
            for future in finished:
                try:
                    done: Done = future.result()
                except KilledWorker as fault:
                    raise EngineError(f"the cluster lost its workers again and again: {fault}") from fault
                open_futures.discard(future)
                finished.update(give_out(1))
                yield done
        finally:
            self._client.cancel(list(open_futures))


def _connect(address: str, tls: TlsFiles | None) -> Any:
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
        raise EngineError(f"{address}: this is shopsim {mine}, but workers have {', '.join(others)}")
    return int(threads)
