"""Replications on demand: taken from the store where they are kept, run by an engine where they are not.

Every study asks here, so that all of them resume, share work, show progress and stop in the same way.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Collection, Generator, Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from statistics import fmean

from shopsim.errors import StoppedError, StoreError
from shopsim.studies.engine import Done, Engine, Job, LocalEngine
from shopsim.studies.option import Option
from shopsim.studies.packed_numbers import Keys
from shopsim.studies.replication import Replication, packed
from shopsim.studies.store import Store

# A job shorter than this costs more to hand over than to do.
LEAST_JOB_S = 0.2
_At = tuple[str, int]


@dataclass(frozen=True, slots=True)
class Ask:
    """Replications `first` to `first + count - 1` of an option."""

    option: Option
    count: int
    first: int = 0

    @property
    def numbers(self) -> range:
        return range(self.first, self.first + self.count)


@dataclass(frozen=True, slots=True)
class Progress:
    """Replications finished and asked for so far, each counted once however often it is asked for, and seconds still to
    go for these (None before anything is known).

    `kept` of those finished are in the store. A study that decides on the way how much it needs asks for more as it
    goes.
    """

    finished: int
    asked: int
    seconds_left: float | None
    kept: int


class Runner:
    """Runs what is asked for on an engine; finished replications go to the store at once."""

    def __init__(
        self,
        engine: Engine | None = None,
        store: Store | None = None,
        on_progress: Callable[[Progress], None] | None = None,
        stop: Callable[[], bool] | None = None,
    ) -> None:
        self.engine: Engine = engine or LocalEngine()
        self.store = store
        self._on_progress = on_progress
        self._stop = stop
        self.not_kept = ""
        """Why replications run from some moment on are not kept; empty while they are."""
        self._seconds_each: dict[str, float] = {}
        self._keys = Keys()
        self._given = 0
        self._expected = 0
        self._asked: set[_At] = set()
        self._finished: set[_At] = set()
        self._kept: set[_At] = set()
        self._ran = 0
        self._run_now: set[_At] = set()
        self._kept_before = 0
        self._started = time.monotonic()

    @property
    def finished(self) -> int:
        """Replications given so far, from the store or newly run; one given twice counts twice."""
        return self._given

    @property
    def newly_run(self) -> int:
        """Those of them that were run now."""
        return self._ran

    @property
    def kept_before(self) -> int:
        """Those of them that the store had before: the others were run now, or are given once more."""
        return self._kept_before

    def expect(self, count: int) -> None:
        """Count at least so many different replications as asked for: a first look asks for a few of them only."""
        self._expected = count

    def seconds_of(self, option: Option) -> float | None:
        """How long one replication of an option took, of those last run; None if none was."""
        return self._seconds_each.get(option.key)

    def run(
        self, asks: Sequence[Ask], look: Callable[[Mapping[_At, Replication]], None] | None = None
    ) -> list[tuple[Replication, ...]]:
        """The rows of each ask, by number. Options of equal key are run once.

        `look` is shown the rows there are, by option key and number, whenever one more has been run.
        Raises AuditError, EngineError, and StoppedError once `stop` says so; what is finished stays in the store.
        """
        wanted = {(ask.option.key, number): ask.option for ask in asks for number in ask.numbers}
        rows: dict[_At, Replication] = {}
        if self.store is not None:
            rows = self.store.kept(wanted)
            self._kept_before += len(rows.keys() - self._run_now)
        self._given += len(wanted)
        self._asked.update(wanted)
        self._note(rows, rows)
        missing = {at: option for at, option in wanted.items() if at not in rows}
        if missing:
            with closing(self._run_missing(missing)) as found:
                for at, row in found:
                    rows[at] = row
                    if look is not None:
                        look(rows)
        return [tuple(rows[ask.option.key, number] for number in ask.numbers) for ask in asks]

    def _run_missing(
        self, missing: dict[tuple[str, int], Option]
    ) -> Generator[tuple[tuple[str, int], Replication], None, None]:
        with closing(self.engine.run(self._jobs(missing))) as finished:
            for done in finished:
                key = done.job.option.key
                self._seconds_each[key] = done.seconds / len(done.rows)
                ran = {(key, row.number) for row in done.rows}
                self._ran += len(ran)
                self._run_now |= ran
                self._note(ran, ran if self._keep(done) else ())
                for row in done.rows:
                    yield (key, row.number), packed(row, self._keys)
                if self._stop is not None and self._stop():
                    raise StoppedError("stopped")

    def _keep(self, done: Done) -> bool:
        """Whether these replications are in the store now."""
        if self.store is None:
            return False
        option = done.job.option
        study, name = option.scenario.study, f"{option.scenario.shop.name}: {option.name}"
        try:
            self.store.keep(option.key, study.seed, done.rows, name)
        except StoreError as fault:
            # A disk that is full ends no study: an answer that cannot be kept is better than none.
            self.store, self.not_kept = None, str(fault)
            return False
        return True

    def _jobs(self, missing: dict[tuple[str, int], Option]) -> Iterator[Job]:
        """Jobs of at least 0.2 s as far as the pace of an option is known, and small enough to share among workers."""
        by_option: dict[str, list[int]] = {}
        for key, number in missing:
            by_option.setdefault(key, []).append(number)
        options = {option.key: option for option in missing.values()}
        for key, numbers in by_option.items():
            at = 0
            while at < len(numbers):
                size = self._job_size(key, len(numbers) - at)
                yield Job(options[key], tuple(numbers[at : at + size]))
                at += size

    def _job_size(self, key: str, left: int) -> int:
        # An option that has not been run is taken to be as fast as the others: with few replications of many options
        # each would else be a job of its own.
        known = self._seconds_each.get(key)
        each = known if known is not None else fmean(self._seconds_each.values()) if self._seconds_each else None
        if each is None:
            return 1
        return max(1, min(math.ceil(LEAST_JOB_S / max(each, 1e-4)), math.ceil(left / self.engine.workers)))

    def _note(self, finished: Collection[_At], kept: Collection[_At]) -> None:
        self._finished.update(finished)
        self._kept.update(kept)
        if self._on_progress is not None and finished:
            pace = (time.monotonic() - self._started) / self._ran if self._ran else None
            asked = max(len(self._asked), self._expected)
            left = asked - len(self._finished)
            now = len(self._finished), asked, None if pace is None else pace * left, len(self._kept)
            self._on_progress(Progress(*now))
