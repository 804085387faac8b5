"""Questions answered in the background: they outlive a page, a reload and a second tab, and can be stopped at once.

One thread a job; the pool of processes serves one study at a time. Answers are kept on disk under the question's key,
so that they come back at once; replications are kept in the store that the command line uses too.
"""

from __future__ import annotations

import json
import threading
import time
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any, Literal

from shopsim.answers.finished import Finished as Finished
from shopsim.answers.finished import finished, read_back
from shopsim.answers.question import Question
from shopsim.errors import InputError, ShopsimError, StoppedError, StoreError
from shopsim.shop.file_text import write_text
from shopsim.studies.pool import Pool
from shopsim.studies.runner import Progress, Runner
from shopsim.studies.store import Store

Stage = Literal["waiting", "running", "done", "stopped", "failed"]
_KEPT_DAYS = 60
# Jobs ended that are remembered; their answers are on disk.
_REMEMBERED = 40


@dataclass(slots=True)
class Job:
    """A question on its way; `page` and `draft` are where it was asked, `so_far` what the runs tell before all have
    ended."""

    question: Question[Any]
    page: str
    draft: str = ""
    stage: Stage = "waiting"
    progress: Progress | None = None
    so_far: Finished | None = None
    fault: ShopsimError | None = None
    stop: threading.Event = field(default_factory=threading.Event)
    ended: threading.Event = field(default_factory=threading.Event)

    @property
    def key(self) -> str:
        return self.question.key

    @property
    def going_on(self) -> bool:
        """Whether an answer is still to be waited for; what was told to stop is not, while its processes end."""
        return self.stage in ("waiting", "running") and not self.stop.is_set()

    @property
    def stopped(self) -> bool:
        """Whether it was told to stop before it had its answer."""
        return self.stop.is_set() and self.stage != "done"


class Jobs:
    """All jobs of this process. `folder` holds finished answers, `store` finished replications."""

    def __init__(self, folder: Path, store: Path, pool: Pool) -> None:
        self._folder = folder
        self._store = store
        self._pool = pool
        self._jobs: dict[str, Job] = {}
        self._lock = threading.Lock()
        self._folder.mkdir(parents=True, exist_ok=True)
        self._throw_old_away()

    def start(self, question: Question[Any], page: str, draft: str = "") -> Job:
        """Begin to answer; the same question is asked once, however often it is started."""
        with self._lock:
            job = self._jobs.get(question.key)
            if job is None or not job.going_on:
                self._forget_old()
                job = self._jobs[question.key] = Job(question, page, draft)
                threading.Thread(target=self._work, args=(job,), daemon=True).start()
            return job

    def _forget_old(self) -> None:
        """A server that runs for weeks must not hold every question it was ever asked."""
        ended = [key for key, job in self._jobs.items() if job.ended.is_set()]
        for key in ended[: max(0, len(ended) - _REMEMBERED)]:
            del self._jobs[key]

    def job(self, key: str) -> Job | None:
        """The last job that was started for a question."""
        return self._jobs.get(key)

    def going_on(self) -> list[Job]:
        """Jobs whose answers are still to come."""
        return [job for job in list(self._jobs.values()) if job.going_on]

    def stop(self, key: str) -> None:
        """Tell a job to end: it counts as stopped at once, its processes end within a fraction of a second."""
        job = self._jobs.get(key)
        if job is not None:
            job.stop.set()

    def answer(self, key: str) -> Finished | None:
        """The finished answer of a question, of this process or an earlier one."""
        try:
            read = json.loads(self._path(key).read_text(encoding="utf-8"))
            return read_back(key, read)
        except (OSError, ValueError, KeyError, TypeError):
            return None

    def answered(self, key: str) -> bool:
        """Whether there is a finished answer of a question."""
        return bool(key) and self._path(key).exists()

    def _path(self, key: str) -> Path:
        return self._folder / f"{key[:40]}.json"

    def _work(self, job: Job) -> None:
        stop = job.stop.is_set
        try:
            with self._pool.turn(stop):
                job.stage = "running"
                self._answer(job)
            job.stage = "done"
        except StoppedError:
            job.stage = "stopped"
        except ShopsimError as fault:
            job.fault = fault
            job.stage = "failed"
        except BaseException as fault:
            job.fault = ShopsimError(f"shopsim made a mistake of its own: {type(fault).__name__}: {fault}")
            job.stage = "failed"
            raise
        finally:
            job.ended.set()

    def _answer(self, job: Job) -> None:
        question = job.question

        def note(progress: Progress) -> None:
            job.progress = progress

        def show(found: Any) -> None:
            job.so_far = finished(question, found)

        store = self._open_store()
        try:
            runner = Runner(self._pool.engine(job.stop.is_set), store, note, job.stop.is_set)
            found = question.study_showing(runner, show)
        finally:
            if store is not None:
                store.close()
        write_text(self._path(question.key), json.dumps(asdict(finished(question, found)), ensure_ascii=False))

    def _open_store(self) -> Store | None:
        try:
            return Store(self._store)
        except StoreError:
            # As on the command line: a study that cannot be kept is better than none.
            return None

    def _throw_old_away(self) -> None:
        limit = time.time() - _KEPT_DAYS * 86_400
        for path in self._folder.glob("*.json"):
            if path.stat().st_mtime < limit:
                path.unlink(missing_ok=True)


def fault_lines(fault: ShopsimError) -> list[str]:
    """What went wrong, a line each."""
    return [str(problem) for problem in fault.problems] if isinstance(fault, InputError) else [str(fault)]
