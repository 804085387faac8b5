"""Flow and job shops run on the floor by a planner's lists: checks C-01 to C-03. All values are exact: whole minutes.

C-01: S. M. Johnson, Naval Research Logistics Quarterly 1 (1954) 61-68; J. Heizer, B. Render, Operations Management,
ch. 15 (both from memory; optima proved by enumeration, here again).
C-02: J. F. Muth, G. L. Thompson (eds), Industrial Scheduling, 1963, the 6 x 6 job shop of Fisher and Thompson; data and
optimum 55 as widely republished, the schedule found and proved optimal by constraint programming.
C-03: E. Taillard, European Journal of Operational Research 64 (1993) 278-285, first 20 x 5 flow shop, seed and bounds
confirmed in public repositories; the permutation was found by search. NEH value 1286 as published.
"""

from __future__ import annotations

from itertools import pairwise, permutations, product

import pytest

from shopsim.craft.sequencing import insertion_order, johnson_order, makespan_min
from tests.published.schedules import flow_shop, job_shop, makespan, starts

JOHNSON = [(4, 5), (4, 1), (30, 4), (6, 30), (2, 3)]
HEIZER = {"A": (5, 2), "B": (3, 6), "C": (8, 4), "D": (10, 7), "E": (7, 12)}


def test_johnsons_five_items() -> None:
    order = johnson_order(JOHNSON)
    assert [item + 1 for item in order] == [5, 1, 4, 3, 2]
    items = {f"i{i}": times for i, times in enumerate(JOHNSON)}
    assert flow_shop(items, [f"i{i}" for i in order]) == 47
    lengths = {p: makespan_min(p, JOHNSON) for p in permutations(range(5))}
    assert (min(lengths.values()), max(lengths.values())) == (47, 78)
    worst = max(lengths, key=lambda p: lengths[p])
    assert flow_shop(items, [f"i{i}" for i in worst]) == 78


def test_a_textbook_print_and_cut_example() -> None:
    names = list(HEIZER)
    order = [names[i] for i in johnson_order(list(HEIZER.values()))]
    assert order == ["B", "E", "D", "C", "A"]
    assert flow_shop(HEIZER, order) == 35
    assert min(makespan_min(p, list(HEIZER.values())) for p in permutations(range(5))) == 35


def test_the_floor_and_the_recursion_agree_on_every_order() -> None:
    for p in permutations(range(4)):
        times = {f"i{i}": JOHNSON[i] for i in range(4)}
        assert flow_shop(times, [f"i{i}" for i in p]) == makespan_min(p, JOHNSON)


# -- job shop ---------------------------------------------------------------------------------------------------------

# Machine and minutes of each step; machines from 0.
FT06 = [
    [(2, 1), (0, 3), (1, 6), (3, 7), (5, 3), (4, 6)],
    [(1, 8), (2, 5), (4, 10), (5, 10), (0, 10), (3, 4)],
    [(2, 5), (3, 4), (5, 8), (0, 9), (1, 1), (4, 7)],
    [(1, 5), (0, 5), (2, 5), (3, 3), (4, 8), (5, 9)],
    [(2, 9), (1, 3), (4, 5), (5, 4), (0, 3), (3, 1)],
    [(1, 3), (3, 3), (5, 9), (0, 10), (4, 4), (2, 1)],
]
# The jobs of each machine in turn in an optimal schedule, and when they start.
FT06_LISTS = [[0, 3, 2, 5, 1, 4], [1, 3, 5, 0, 4, 2], [2, 0, 1, 4, 3, 5], [2, 5, 3, 0, 1, 4], [1, 4, 3, 5, 2, 0],
              [2, 5, 1, 4, 0, 3]]  # fmt: skip
FT06_STARTS_OF_MACHINE_0 = [6, 13, 18, 28, 38, 48]


def ft06_jobs() -> dict[str, list[tuple[str, float]]]:
    return {f"job{j}": [(f"m{m}", minutes) for m, minutes in route] for j, route in enumerate(FT06)}


def test_the_six_by_six_job_shop_runs_its_optimal_schedule() -> None:
    lists = {f"m{m}": [f"job{j}" for j in jobs] for m, jobs in enumerate(FT06_LISTS)}
    log = job_shop(ft06_jobs(), lists)
    assert makespan(log) == 55
    # Earliest starts: machine 0 as in the published table, all within 55 and never two jobs at a time.
    assert [start for _, start, _ in starts(log, "m0")] == FT06_STARTS_OF_MACHINE_0
    for m in range(6):
        rows = starts(log, f"m{m}")
        assert [job for job, _, _ in rows] == FT06_LISTS[m]
        assert all(before[2] <= after[1] for before, after in pairwise(rows))


def test_the_six_by_six_job_shop_first_come_first_served() -> None:
    # Non-delay dispatch, earliest ready, ties by lowest job number.
    assert makespan(job_shop(ft06_jobs())) == 65


def test_bounds_of_the_six_by_six_job_shop() -> None:
    log = job_shop(ft06_jobs())
    loads = [sum(end - start for _, start, end in starts(log, f"m{m}")) for m in range(6)]
    assert (sum(loads), max(loads)) == (197, 43)
    assert max(sum(minutes for _, minutes in route) for route in FT06) == 47


# -- permutation flow shop --------------------------------------------------------------------------------------------


def ta001() -> list[list[int]]:
    """Minutes by machine and job: Taillard's generator x -> 16807 x mod (2^31 - 1), machine by machine, U[1, 99]."""
    x, rows = 873654221, [[0] * 20 for _ in range(5)]
    for machine, job in product(range(5), range(20)):
        x = 16807 * x % (2**31 - 1)
        rows[machine][job] = 1 + 99 * x // (2**31 - 1)
    return rows


TA001 = list(zip(*ta001(), strict=True))
BEST = [2, 16, 8, 14, 5, 0, 12, 13, 10, 4, 18, 17, 6, 15, 3, 1, 7, 9, 19, 11]


def test_the_generator_gives_the_published_matrix() -> None:
    assert ta001()[0][:6] == [54, 83, 15, 71, 77, 36]
    assert ta001()[4][-3:] == [18, 68, 28]
    heads = [min(sum(times[:m]) for times in TA001) for m in range(5)]
    tails = [min(sum(times[m + 1 :]) for times in TA001) for m in range(5)]
    loads = [sum(times[m] for times in TA001) for m in range(5)]
    assert max(h + load + t for h, load, t in zip(heads, loads, tails, strict=True)) == 1232


@pytest.mark.parametrize(("order", "length"), [(BEST, 1278), (range(20), 1448), (range(19, -1, -1), 1473)])
def test_twenty_jobs_on_five_machines(order: list[int], length: int) -> None:
    times = {f"job{j}": row for j, row in enumerate(TA001)}
    assert flow_shop(times, [f"job{j}" for j in order]) == length == makespan_min(order, TA001)


def test_the_insertion_rule_reaches_its_published_length() -> None:
    order = insertion_order(TA001)
    assert makespan_min(order, TA001) == 1286
    assert flow_shop({f"job{j}": row for j, row in enumerate(TA001)}, [f"job{j}" for j in order]) == 1286
