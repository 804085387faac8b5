"""Each test has jobs of its own; the pool of processes is the same for all."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from app import state


@pytest.fixture(autouse=True)
def jobs_of_this_test(no_replications_of_another_test: None) -> Iterator[None]:
    state.jobs.clear()
    yield
    for job in state.jobs().going_on():
        job.stop.set()
        job.ended.wait(10)
