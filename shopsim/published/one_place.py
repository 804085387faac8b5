"""Rules at one place, and at equal machines side by side: what theory says of them, run on the floor."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import permutations

from shopsim.craft.sequencing import fewest_late, longest_first, longest_first_bound
from shopsim.published.case import Case, Finding
from shopsim.published.scheduled import EXACT, days_done

DIVIDED = "1e-9 for division; everything else exact"
# Days of work and day due of five jobs.
WORK, DUE = [6, 2, 8, 3, 9], [8, 6, 18, 15, 23]


def _late(done: Sequence[float], due: Sequence[int]) -> list[float]:
    return [at - day for at, day in zip(done, due, strict=True)]


def _least(work: Sequence[int], cost: str, due: Sequence[int], weights: Sequence[int]) -> float:
    """The least weighted flow time or worst lateness of all orders at one place."""
    found = []
    for order in permutations(range(len(work))):
        clock, done = 0, [0] * len(work)
        for job in order:
            clock = done[job] = clock + work[job]
        weighted = sum(w * at for w, at in zip(weights, done, strict=True))
        found.append(weighted if cost == "flow" else max(_late(done, due)))
    return min(found)


# Rule of the floor: mean flow time and mean tardiness in days, work over flow time, mean jobs there.
RULES = {
    "first_come": (15.4, 2.2, 0.363636363636, 2.75),
    "shortest": (13.0, 1.8, 0.430769230769, 2.32142857143),
    "due_date": (13.6, 1.2, 0.411764705882, 2.42857142857),
    "longest": (20.6, 9.6, 0.271844660194, 3.67857142857),
}


def _five_jobs(_full: bool) -> Iterator[Finding]:
    done = {rule: days_done(WORK, rule, DUE) for rule in RULES}
    for rule, (mean_flow, tardiness, work_over_flow, jobs) in RULES.items():
        name, flow = rule.replace("_", " "), sum(done[rule])
        late = sum(max(0.0, days) for days in _late(done[rule], DUE))
        yield Finding(f"{name}: mean flow time, days", mean_flow, flow / 5, 1e-9)
        yield Finding(f"{name}: mean tardiness, days", tardiness, late / 5, 1e-9)
        yield Finding(f"{name}: work over flow time", work_over_flow, sum(WORK) / flow, 1e-9)
        yield Finding(f"{name}: mean jobs there", jobs, flow / sum(WORK), 1e-9)
    yield Finding("due date: worst lateness, days", 5, max(_late(done["due_date"], DUE)))
    yield Finding("shortest: flow time above the least of all orders, days", 0,
                  sum(done["shortest"]) - _least(WORK, "flow", DUE, [1] * 5))  # fmt: skip


def _fewest_late(_full: bool) -> Iterator[Finding]:
    work, due = [7, 8, 4, 6, 6], [9, 17, 18, 19, 21]
    plan = fewest_late(work, due)
    yield Finding("jobs in time", "3 4 5", " ".join(str(job + 1) for job in plan.in_time))
    late = [days > 0 for days in _late(days_done(work, due=due, planned=plan.order), due)]
    yield Finding("late jobs by that list", 2, sum(late))
    by_due = [days > 0 for days in _late(days_done(work, "due_date", due), due)]
    yield Finding("late jobs by due date", 3, sum(by_due))


def _four_printers(_full: bool) -> Iterator[Finding]:
    hours = [7, 7, 6, 6, 5, 5, 4, 4, 4]
    longest = max(days_done(hours, "longest", seats=4))
    lots = longest_first(hours, 4)
    # 7 + 5, 7 + 5, 6 + 6, 4 + 4 + 4: as a list, each job goes to the seat that is free next.
    best = max(days_done(hours, seats=4, planned=[0, 1, 2, 6, 7, 3, 4, 5, 8]))
    yield Finding("longest first on the floor: all done, h", 15, longest)
    yield Finding("longest first as a plan: all done, h", 15, max(sum(hours[job] for job in lot) for lot in lots))
    yield Finding("best list: all done, h", 12, best)
    yield Finding("longest first over best", 1.25, longest / best, 1e-12)
    yield Finding("Graham's bound for four", 1.25, longest_first_bound(4), 1e-12)


def _grahams_family(_full: bool) -> Iterator[Finding]:
    for machines in (2, 3, 5):
        pairs = [hours for step in range(2 * machines - 1, machines, -1) for hours in (step, step)]
        found = max(days_done([*pairs, *[machines] * 3], "longest", seats=machines))
        yield Finding(f"{machines} printers, longest first: all done, h", 4 * machines - 1, found)
        yield Finding(f"{machines} printers: bound times the best of {3 * machines} h", 4 * machines - 1,
                      longest_first_bound(machines) * 3 * machines, 1e-9)  # fmt: skip


def _any_list(_full: bool) -> Iterator[Finding]:
    for machines in (2, 3, 4):
        hours = [*[1] * (machines * (machines - 1)), machines]
        by_list = max(days_done(hours, seats=machines))
        yield Finding(f"{machines} machines, the long job last: all done, h", 2 * machines - 1, by_list)
        yield Finding(f"{machines} machines, the long job first: all done, h", machines,
                      max(days_done(hours, "longest", seats=machines)))  # fmt: skip


def _by_ratio(_full: bool) -> Iterator[Finding]:
    work, weights = [4, 3, 7, 2, 5], [1, 6, 7, 1, 4]
    order = sorted(range(5), key=lambda job: work[job] / weights[job])
    done = days_done(work, planned=order)
    yield Finding("work over weight rising: jobs", "2 3 5 4 1", " ".join(str(job + 1) for job in order))
    yield Finding(
        "weighted flow time on the floor, days", 186, sum(w * at for w, at in zip(weights, done, strict=True))
    )
    yield Finding("least of all 120 orders, days", 186, _least(work, "flow", [0] * 5, weights))


def _by_due_date(_full: bool) -> Iterator[Finding]:
    work, due = [4, 2, 6, 5, 3, 1], [12, 5, 13, 9, 20, 4]
    found = max(_late(days_done(work, "due_date", due), due))
    yield Finding("worst lateness on the floor, days", 5, found)
    yield Finding("least of all 720 orders, days", 5, _least(work, "late", due, [1] * 6))


def _worst_cost(_full: bool) -> Iterator[Finding]:
    # Cost of each job by its day of completion.
    costs: tuple[Callable[[float], float], ...] = (lambda at: 1 + at, lambda at: 1.2 * at, lambda _at: 10.0)
    for planned, worst in (((0, 1, 2), 10), ((1, 0, 2), 10), ((0, 2, 1), 12), ((2, 1, 0), 11)):
        done = days_done([2, 3, 5], planned=planned)
        found = max(cost(at) for cost, at in zip(costs, done, strict=True))
        yield Finding(f"jobs {' '.join(str(job + 1) for job in planned)}: worst cost", worst, found, 1e-9)


def _side_by_side(_full: bool) -> Iterator[Finding]:
    # The sorted jobs count 4, 4, 3, 3, 2, 2, 1, 1 times on two machines.
    done = days_done([9, 2, 7, 4, 1, 6, 3, 8], "shortest", seats=2)
    yield Finding("shortest first on two machines: flow time of all, days", 76, sum(done))


CASES = (
    Case(
        "C-04", "Five jobs at one place by four rules",
        "J. Heizer, B. Render, Operations Management, ch. 15, short-term scheduling (from memory; all recomputed)",
        DIVIDED, _five_jobs, path="floor",
    ),
    Case(
        "C-05", "Fewest late jobs: Moore and Hodgson",
        "J. M. Moore, Management Science 15 (1968) 102-109; M. Pinedo, Scheduling, example of one machine (from "
        "memory; optimum proved by enumeration)",
        EXACT, _fewest_late, path="library",
    ),
    Case(
        "C-06", "Nine jobs on four printers, longest first: Graham's bound is attained",
        "R. L. Graham, SIAM Journal on Applied Mathematics 17 (1969) 416-429; instance as in M. Pinedo, Scheduling "
        "(from memory; optimum proved by exact search)",
        DIVIDED, _four_printers, path="library",
    ),
    Case(
        "X-33", "Longest first at its worst on two, three and five printers",
        "R. L. Graham, SIAM Journal on Applied Mathematics 17 (1969) 416-429: jobs 2m-1, 2m-1, ..., m+1, m+1, m, m, m "
        "take 4m-1, the best is 3m (from memory)",
        DIVIDED, _grahams_family, path="library",
    ),
    Case(
        "X-34", "A list that leaves the long job to the end: 2 - 1/m times the best",
        "R. L. Graham, Bell System Technical Journal 45 (1966) 1563-1581 (from memory): m(m-1) jobs of 1 and one of m",
        EXACT, _any_list, seconds=0.1, path="floor",
    ),
    Case(
        "X-35", "Weighted flow time: work over weight, rising",
        "W. E. Smith, Naval Research Logistics Quarterly 3 (1956) 59-66 (from memory); numbers derived",
        EXACT, _by_ratio, path="floor",
    ),
    Case(
        "X-36", "Worst lateness: by due date",
        "J. R. Jackson, Management Sciences Research Project report 43, University of California, Los Angeles, 1955 "
        "(from memory); numbers derived",
        EXACT, _by_due_date, path="floor",
    ),
    Case(
        "X-37", "Worst of several costs: the job that costs least at the end goes last",
        "E. L. Lawler, Management Science 19 (1973) 544-546; three jobs as in M. Pinedo, Scheduling (from memory)",
        "1e-9 for multiplying by 1.2", _worst_cost, path="floor",
    ),
    Case(
        "X-38", "Shortest first on machines side by side: least flow time of all jobs",
        "R. W. Conway, W. L. Maxwell, L. W. Miller, Theory of Scheduling, 1967 (from memory); numbers derived",
        EXACT, _side_by_side, path="floor",
    ),
)  # fmt: skip
