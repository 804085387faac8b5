"""Orders of work by published rules, for a planner's lists (`policies.sequences`): job numbers in, job numbers out.

Jobs count from 0. All jobs are there at the start; minutes may be any unit, as long as it is one.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from typing import NamedTuple

from shopsim.craft._limits import count, not_negative


def makespan_min(order: Sequence[int], minutes: Sequence[Sequence[float]]) -> float:
    """Return when the last job leaves the last of several places in series, each job at each place in this order.

    `minutes` holds a row a job, an entry a place; between places jobs may wait. Raises ValueError for rows of unequal
    length and an impossible number.
    """
    _check_rows(minutes)
    free = [0.0] * (len(minutes[0]) if minutes else 0)
    for job in order:
        done = 0.0
        for place, work in enumerate(minutes[job]):
            done = free[place] = max(free[place], done) + work
    return free[-1] if free else 0.0


def johnson_order(minutes: Sequence[Sequence[float]]) -> list[int]:
    """Return the order of least makespan over two places in series.

    S. M. Johnson, Naval Research Logistics Quarterly 1 (1954) 61-68: jobs quicker at the first place by rising time
    there, then the others by falling time at the second. Raises ValueError unless each job has two possible numbers.
    """
    _check_rows(minutes)
    if any(len(row) != 2 for row in minutes):
        raise ValueError("minutes must hold two numbers a job: one for each place")
    early = [job for job, (first, second) in enumerate(minutes) if first <= second]
    late = [job for job, (first, second) in enumerate(minutes) if first > second]
    return sorted(early, key=lambda job: minutes[job][0]) + sorted(late, key=lambda job: -minutes[job][1])


def insertion_order(minutes: Sequence[Sequence[float]]) -> list[int]:
    """Return a good order over any number of places in series: longest job first, each put where it costs least.

    M. Nawaz, E. E. Enscore, I. Ham, Omega 11 (1983) 91-95. Of equal jobs the lower number comes first, of equal places
    in the order the earliest. Raises ValueError as `makespan_min`.
    """
    _check_rows(minutes)
    order: list[int] = []
    for job in sorted(range(len(minutes)), key=lambda job: -sum(minutes[job])):
        tries = [[*order[:at], job, *order[at:]] for at in range(len(order) + 1)]
        order = min(tries, key=lambda tried: makespan_min(tried, minutes))
    return order


class OnTime(NamedTuple):
    """An order of work at one place: all jobs, those in time first, and which those are."""

    order: list[int]
    in_time: list[int]


def fewest_late(work_min: Sequence[float], due_min: Sequence[float]) -> OnTime:
    """Return an order at one place with as few late jobs as possible, however late they are.

    J. M. Moore, Management Science 15 (1968) 102-109 (Hodgson's form): by due date, and whenever a job would be late
    the longest kept so far is put to the end. Raises ValueError for an impossible number.
    """
    kept: list[int] = []
    dropped: list[int] = []
    clock = 0.0
    for job in sorted(range(len(work_min)), key=lambda job: due_min[job]):
        kept.append(job)
        clock += not_negative("work_min", work_min[job])
        if clock > due_min[job]:
            longest = max(kept, key=lambda job: work_min[job])
            kept.remove(longest)
            dropped.append(longest)
            clock -= work_min[longest]
    return OnTime(kept + dropped, sorted(kept))


def longest_first(work_min: Sequence[float], machines: int) -> list[list[int]]:
    """Return the jobs of each of several equal machines: longest job first, to whichever machine is free first.

    R. L. Graham, SIAM Journal on Applied Mathematics 17 (1969) 416-429; never longer than `longest_first_bound` times
    the best. Raises ValueError for an impossible number.
    """
    lots: list[list[int]] = [[] for _ in range(count("machines", machines, least=1))]
    free = [(0.0, machine) for machine in range(machines)]
    for job in sorted(range(len(work_min)), key=lambda job: -not_negative("work_min", work_min[job])):
        at, machine = heapq.heappop(free)
        lots[machine].append(job)
        heapq.heappush(free, (at + work_min[job], machine))
    return lots


def longest_first_bound(machines: int) -> float:
    """Return how much longer than the best `longest_first` can come out at worst: 4/3 - 1/(3 machines)."""
    return 4.0 / 3.0 - 1.0 / (3.0 * count("machines", machines, least=1))


def _check_rows(minutes: Sequence[Sequence[float]]) -> None:
    for row in minutes:
        if len(row) != len(minutes[0]):
            raise ValueError(f"each job needs {len(minutes[0])} minutes, one for each place, found {len(row)}")
        for work in row:
            not_negative("minutes", work)
