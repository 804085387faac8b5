"""Progress on standard error: a bar on a terminal, one line at the end elsewhere."""

from __future__ import annotations

import time
from types import TracebackType

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, TextColumn
from rich.progress import Progress as Bar

from shopsim.errors import EngineError
from shopsim.shop.review.finding import counted
from shopsim.studies.runner import Progress as Counted


class StudyProgress:
    """Counts the replications of a study, which may ask for more on its way; `show` fits `Runner(on_progress=...)`."""

    def __init__(self) -> None:
        self._console = Console(stderr=True, highlight=False)
        self._bar: Bar | None = None
        self._started = time.monotonic()
        self._finished = 0
        self._kept = 0

    def __enter__(self) -> StudyProgress:
        if self._console.is_terminal:
            columns = (TextColumn("replications"), BarColumn(), MofNCompleteColumn(), TextColumn("{task.description}"))
            self._bar = Bar(*columns, console=self._console, transient=True)
            self._bar.add_task("", total=None)
            self._bar.start()
        return self

    def show(self, now: Counted) -> None:
        """So far."""
        self._finished, self._kept = now.finished, now.kept
        if self._bar is not None:
            left = "" if now.seconds_left is None else f"{now.seconds_left:.0f} s left of this round"
            self._bar.update(self._bar.task_ids[0], completed=now.finished, total=now.asked, description=left)

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._bar is not None:
            self._bar.stop()
        seconds = time.monotonic() - self._started
        if kind is None:
            self._console.print(f"{counted(self._finished, 'replication')} in {seconds:.1f} s")
        elif kind in (KeyboardInterrupt, EngineError):
            self._console.print(self._left())

    def _left(self) -> str:
        """What is left of a study that did not come to its end."""
        if not self._finished:
            return "no replication is finished yet"
        finished = f"{counted(self._finished, 'replication')} {'is' if self._finished == 1 else 'are'} finished"
        if not self._kept:
            return f"{finished}, none is kept; the same command begins anew"
        if self._kept < self._finished:
            return f"{finished}, {self._kept} of them kept; the same command goes on from these"
        return f"{finished} and kept; the same command goes on"


class CaseProgress:
    """Counts finished cases on a terminal, says nothing elsewhere; `done` fits `run_cases(on_done=...)`."""

    def __init__(self, total: int) -> None:
        self._bar = Bar(
            TextColumn("cases"), BarColumn(), MofNCompleteColumn(), console=Console(stderr=True), transient=True
        )
        self._total = total

    def __enter__(self) -> CaseProgress:
        if self._bar.console.is_terminal:
            self._bar.add_task("", total=self._total)
            self._bar.start()
        return self

    def done(self, finished: int, total: int) -> None:
        """So many are finished."""
        if self._bar.task_ids:
            self._bar.update(self._bar.task_ids[0], completed=finished)

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._bar.stop()
