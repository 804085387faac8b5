"""Progress on standard error: a bar on a terminal, one line at the end elsewhere."""

from __future__ import annotations

import time
from types import TracebackType

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, TextColumn, TimeRemainingColumn
from rich.progress import Progress as Bar


class Progress:
    """Counts finished replications; `done` fits `replicate(on_done=...)`."""

    def __init__(self, total: int) -> None:
        self._total = total
        self._console = Console(stderr=True, highlight=False)
        self._bar: Bar | None = None
        self._started = time.monotonic()

    def __enter__(self) -> Progress:
        if self._console.is_terminal:
            columns = (TextColumn("replications"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
            self._bar = Bar(*columns, console=self._console, transient=True)
            self._bar.add_task("", total=self._total)
            self._bar.start()
        return self

    def done(self, finished: int, total: int) -> None:
        """So many are finished."""
        if self._bar is not None:
            self._bar.update(self._bar.task_ids[0], completed=finished)

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._bar is not None:
            self._bar.stop()
        elif kind is None:
            seconds = time.monotonic() - self._started
            self._console.print(f"{self._total} replication{'s' if self._total != 1 else ''} in {seconds:.1f} s")
