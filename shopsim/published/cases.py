"""All cases of `shopsim verify` in the order of their ids, and how they are run."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from shopsim.published import (
    bottlenecks,
    finance,
    flow_and_job_shops,
    key_figures,
    one_place,
    packing,
    queues,
    roll_cutting,
    seams,
    sewing_lines,
    shift_rotations,
    spreadsheets,
    statistics_choices,
    statistics_compare,
    statistics_draws,
    statistics_fits,
    statistics_means,
    statistics_promises,
    statistics_quantiles,
    statistics_selection,
    statistics_warm_up,
    units,
    work_study,
    working_time,
)
from shopsim.published.case import Case, Finding

ROOMS = (
    queues,
    flow_and_job_shops,
    one_place,
    packing,
    roll_cutting,
    sewing_lines,
    key_figures,
    bottlenecks,
    work_study,
    seams,
    finance,
    spreadsheets,
    working_time,
    shift_rotations,
    units,
    statistics_choices,
    statistics_compare,
    statistics_draws,
    statistics_fits,
    statistics_means,
    statistics_promises,
    statistics_quantiles,
    statistics_selection,
    statistics_warm_up,
)
from shopsim.published import networks, queues
ROOMS = (queues, networks)
from shopsim.published import arrivals, long_runs, networks, queue_laws, queues, racks, sample_paths
ROOMS = (queues, networks, racks, arrivals, sample_paths, long_runs, queue_laws)
CASES: tuple[Case, ...] = tuple(sorted((case for room in ROOMS for case in room.CASES), key=lambda case: case.id))

OnDone = Callable[[int, int], None]


def findings(case_id: str, full: bool) -> list[Finding]:
    """What this installation finds for one case."""
    return list({case.id: case for case in CASES}[case_id].find(full))


def run_cases(
    cases: Sequence[Case], full: bool, workers: int = 1, on_done: OnDone | None = None
) -> Iterator[tuple[Case, list[Finding]]]:
    """Each case with its findings, the longest first, in the order in which they are finished."""
    longest_first = sorted(cases, key=lambda case: -case.seconds)
    for done, (case_id, found) in enumerate(_all(longest_first, full, workers), start=1):
        if on_done is not None:
            on_done(done, len(cases))
        yield next(case for case in cases if case.id == case_id), found


def _found(case_id: str, full: bool) -> tuple[str, list[Finding]]:
    return case_id, findings(case_id, full)


def _all(cases: Sequence[Case], full: bool, workers: int) -> Iterator[tuple[str, list[Finding]]]:
    if workers == 1:
        for case in cases:
            yield _found(case.id, full)
        return
    from joblib import Parallel, delayed, parallel_config

    with parallel_config(backend="loky", inner_max_num_threads=1):
        jobs = (delayed(_found)(case.id, full) for case in cases)
        yield from Parallel(n_jobs=workers, return_as="generator_unordered", batch_size=1)(jobs)
