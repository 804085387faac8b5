"""A lock that several processes and threads share, by a file."""

from __future__ import annotations

from collections.abc import Generator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

try:
    from fcntl import LOCK_EX, flock

    def _take(held: IO[str]) -> None:
        flock(held, LOCK_EX)
except ImportError:  # Windows
    import msvcrt

    def _take(held: IO[str]) -> None:
        # Waits ten seconds, then raises OSError.
        msvcrt.locking(held.fileno(), msvcrt.LK_LOCK, 1)  # type: ignore[attr-defined]


@contextmanager
def locked(path: Path) -> Generator[None, None, None]:
    """Waits until nobody else holds the lock of this file. Not for one that this thread holds already."""
    # Closing the file lets go of the lock, and so does the end of the process.
    with path.open("a", encoding="utf-8") as held:
        _take(held)
        yield
