"""Flow shops and job shops of the literature, run on the floor by planners' lists."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise, permutations, product

from shopsim.craft.sequencing import insertion_order, johnson_order, makespan_min
from shopsim.floor.record import RunLog
from shopsim.published.case import Case, Finding
from shopsim.published.scheduled import EXACT, flow_shop, job_shop, makespan, worked

# Minutes of each job at the first and the second place.
JOHNSON = [(4, 5), (4, 1), (30, 4), (6, 30), (2, 3)]
TEXTBOOK = [(5, 2), (3, 6), (8, 4), (10, 7), (7, 12)]
THREE_PLACES = [(5, 2, 3), (7, 1, 7), (6, 4, 5), (9, 5, 6), (5, 3, 7)]


def _numbers(order: Sequence[int], first: int = 1) -> str:
    return " ".join(str(job + first) for job in order)


def _johnson(_full: bool) -> Iterator[Finding]:
    order = johnson_order(JOHNSON)
    yield Finding("1954: order of the items", "5 1 4 3 2", _numbers(order))
    yield Finding("1954: last item done, min", 47, flow_shop(JOHNSON, order))
    worst = max(permutations(range(5)), key=lambda p: makespan_min(p, JOHNSON))
    yield Finding("1954: last item done in the worst order, min", 78, flow_shop(JOHNSON, worst))
    order = johnson_order(TEXTBOOK)
    yield Finding("textbook: order of the jobs", "B E D C A", " ".join("ABCDE"[job] for job in order))
    yield Finding("textbook: last job done, h", 35, flow_shop(TEXTBOOK, order))


def _three_places(_full: bool) -> Iterator[Finding]:
    order = johnson_order([(a + b, b + c) for a, b, c in THREE_PLACES])
    yield Finding("order of the jobs", "2 5 4 3 1", _numbers(order))
    yield Finding("last job done, h", 40, flow_shop(THREE_PLACES, order))
    least = min(makespan_min(p, THREE_PLACES) for p in permutations(range(5)))
    yield Finding("least over all 120 orders, h", 40, least)


# Place and minutes of each step; places from 0.
FT06 = [
    [(2, 1), (0, 3), (1, 6), (3, 7), (5, 3), (4, 6)],
    [(1, 8), (2, 5), (4, 10), (5, 10), (0, 10), (3, 4)],
    [(2, 5), (3, 4), (5, 8), (0, 9), (1, 1), (4, 7)],
    [(1, 5), (0, 5), (2, 5), (3, 3), (4, 8), (5, 9)],
    [(2, 9), (1, 3), (4, 5), (5, 4), (0, 3), (3, 1)],
    [(1, 3), (3, 3), (5, 9), (0, 10), (4, 4), (2, 1)],
]
# The jobs of each place in turn in an optimal schedule.
FT06_LISTS = [[0, 3, 2, 5, 1, 4], [1, 3, 5, 0, 4, 2], [2, 0, 1, 4, 3, 5], [2, 5, 3, 0, 1, 4], [1, 4, 3, 5, 2, 0],
              [2, 5, 1, 4, 0, 3]]  # fmt: skip
LA01 = [
    [(1, 21), (0, 53), (4, 95), (3, 55), (2, 34)],
    [(0, 21), (3, 52), (4, 16), (2, 26), (1, 71)],
    [(3, 39), (4, 98), (1, 42), (2, 31), (0, 12)],
    [(1, 77), (0, 55), (4, 79), (2, 66), (3, 77)],
    [(0, 83), (3, 34), (2, 64), (1, 19), (4, 37)],
    [(1, 54), (2, 43), (4, 79), (0, 92), (3, 62)],
    [(3, 69), (4, 77), (1, 87), (2, 87), (0, 93)],
    [(2, 38), (0, 60), (1, 41), (3, 24), (4, 83)],
    [(3, 17), (1, 49), (4, 25), (0, 44), (2, 98)],
    [(4, 77), (3, 79), (2, 43), (1, 75), (0, 96)],
]
LA01_LISTS = [[4, 3, 7, 0, 1, 8, 9, 5, 6, 2], [3, 0, 5, 8, 7, 9, 6, 2, 4, 1], [7, 9, 5, 4, 3, 8, 6, 1, 2, 0],
              [2, 9, 8, 4, 6, 7, 1, 3, 0, 5], [9, 2, 3, 8, 6, 5, 0, 1, 4, 7]]  # fmt: skip


def _run(routes: Sequence[Sequence[tuple[int, int]]], lists: Sequence[Sequence[int]] = ()) -> RunLog:
    jobs = {f"job{j}": [(f"m{m}", float(minutes)) for m, minutes in route] for j, route in enumerate(routes)}
    return job_shop(jobs, {f"m{m}": [f"job{j}" for j in order] for m, order in enumerate(lists)})


def _loads(log: RunLog, places: int) -> list[float]:
    """Minutes worked at each place."""
    return [sum(end - start for _, start, end in worked(log, f"m{m}")) for m in range(places)]


def _overlaps(log: RunLog, places: int) -> int:
    """Times a place began a job before it had ended the one before, or a job two steps at once."""
    rows = [[(job, start, end) for job, start, end in worked(log, f"m{m}")] for m in range(places)]
    by_job = sorted((row for place in rows for row in place), key=lambda row: (row[0], row[1]))
    at_places = sum(after[1] < before[2] for place in rows for before, after in pairwise(place))
    return at_places + sum(b[0] == a[0] and b[1] < a[2] for a, b in pairwise(by_job))


def _ft06(_full: bool) -> Iterator[Finding]:
    listed, by_rule = _run(FT06, FT06_LISTS), _run(FT06)
    yield Finding("optimal lists: last job done, min", 55, makespan(listed))
    yield Finding("optimal lists: starts at the first machine, min", "6 13 18 28 38 48",
                  " ".join(f"{start:g}" for _, start, _ in worked(listed, "m0")))  # fmt: skip
    yield Finding("optimal lists: jobs at one place or steps of one job at once", 0, _overlaps(listed, 6))
    loads = _loads(listed, 6)
    yield Finding("work in all, min", 197, sum(loads))
    yield Finding("work at the busiest machine, min", 43, max(loads))
    yield Finding("longest job, min", 47, max(sum(minutes for _, minutes in route) for route in FT06))
    yield Finding("first come first served: last job done, min", 65, makespan(by_rule))


def _la01(_full: bool) -> Iterator[Finding]:
    log = _run(LA01, LA01_LISTS)
    yield Finding("optimal lists: last job done, min", 666, makespan(log))
    yield Finding("work at the busiest machine, a bound nobody beats, min", 666, max(_loads(log, 5)))
    yield Finding("jobs at one place or steps of one job at once", 0, _overlaps(log, 5))


def ta001() -> list[list[int]]:
    """Minutes by machine and job: Taillard's generator x -> 16807 x mod (2^31 - 1), machine by machine, U[1, 99]."""
    x, rows = 873654221, [[0] * 20 for _ in range(5)]
    for machine, job in product(range(5), range(20)):
        x = 16807 * x % (2**31 - 1)
        rows[machine][job] = 1 + 99 * x // (2**31 - 1)
    return rows


TA001 = list(zip(*ta001(), strict=True))
TA001_BEST = [2, 16, 8, 14, 5, 0, 12, 13, 10, 4, 18, 17, 6, 15, 3, 1, 7, 9, 19, 11]


def _ta001(_full: bool) -> Iterator[Finding]:
    yield Finding("first six jobs at the first machine, min", "54 83 15 71 77 36", _numbers(ta001()[0][:6], 0))
    yield Finding("last three jobs at the last machine, min", "18 68 28", _numbers(ta001()[4][-3:], 0))
    heads = [min(sum(times[:m]) for times in TA001) for m in range(5)]
    tails = [min(sum(times[m + 1 :]) for times in TA001) for m in range(5)]
    loads = [sum(times[m] for times in TA001) for m in range(5)]
    yield Finding("lower bound, min", 1232, max(h + w + t for h, w, t in zip(heads, loads, tails, strict=True)))
    yield Finding("best order: last job done, min", 1278, flow_shop(TA001, TA001_BEST))
    yield Finding("jobs as numbered: last job done, min", 1448, flow_shop(TA001, range(20)))
    yield Finding("jobs backwards: last job done, min", 1473, flow_shop(TA001, range(19, -1, -1)))
    yield Finding("insertion rule: last job done, min", 1286, flow_shop(TA001, insertion_order(TA001)))


CASES = (
    Case(
        "C-01", "Two places in a row: Johnson's rule",
        "S. M. Johnson, Naval Research Logistics Quarterly 1 (1954) 61-68; J. Heizer, B. Render, Operations "
        "Management, ch. 15 (both from memory; optima proved by enumeration)",
        EXACT, _johnson, path="library",
    ),
    Case(
        "C-02", "Job shop of six jobs and six machines: optimum 55",
        "J. F. Muth, G. L. Thompson (eds), Industrial Scheduling, 1963, instance of H. Fisher and G. L. Thompson (data "
        "and optimum from memory, as widely republished; schedule found and proved optimal by constraint programming)",
        EXACT, _ft06, path="floor",
    ),
    Case(
        "C-03", "Flow shop of twenty jobs on five machines: optimum 1278",
        "E. Taillard, European Journal of Operational Research 64 (1993) 278-285, first 20 x 5 instance (seed and "
        "bounds confirmed in public repositories); insertion rule: M. Nawaz, E. E. Enscore, I. Ham, Omega 11 (1983) "
        "91-95",
        EXACT, _ta001, path="library",
    ),
    Case(
        "X-31", "Three places in a row with a short middle: Johnson's special case",
        "rule: S. M. Johnson, Naval Research Logistics Quarterly 1 (1954) 61-68; five jobs as in operations-research "
        "textbooks, 40 h (from memory; optimum proved by enumeration)",
        EXACT, _three_places, path="library",
    ),
    Case(
        "X-32", "Job shop of ten jobs and five machines: optimum 666",
        "S. Lawrence, Resource constrained project scheduling, Carnegie-Mellon University, 1984, first 10 x 5 instance "
        "(data from memory, optimum confirmed in public repositories; schedule found by search, it meets the bound)",
        EXACT, _la01, path="floor",
    ),
)  # fmt: skip
