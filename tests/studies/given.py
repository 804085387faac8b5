"""Shops that are never simulated: an engine that hands out replications made by hand, and options for it."""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterable
from dataclasses import replace
from typing import Any

from shopsim.studies.engine import Done, Job
from shopsim.studies.option import Option
from shopsim.studies.replication import Replication
from tests.telling.rows import scenario

Made = Callable[[Option, int], Replication]


class GivenEngine:
    """Two workers that make rows with a function; `jobs` remembers the size of every job."""

    workers = 2

    def __init__(self, made: Made, seconds_each: float = 1.0) -> None:
        self._made = made
        self._seconds_each = seconds_each
        self.jobs: list[tuple[str, tuple[int, ...]]] = []

    def run(self, jobs: Iterable[Job]) -> Generator[Done, None, None]:
        for job in jobs:
            self.jobs.append((job.option.name, job.numbers))
            rows = tuple(self._made(job.option, number) for number in job.numbers)
            yield Done(job, rows, self._seconds_each * len(rows))


def option(name: str, heads: int = 1, **study: Any) -> Option:
    """An option of its own key (another number of heads in the crew), never run."""
    base = scenario(**study)
    crews = tuple(crew.model_copy(update={"count": heads}) for crew in base.crews)
    return Option(name, base.model_copy(update={"crews": crews}))


def row(number: int, measures: dict[str, float], **parts: Any) -> Replication:
    """A replication with some measures; other parts are empty unless given."""
    return replace(Replication(number, measures, {}, {}, {}, {}, {}, {}), **parts)
