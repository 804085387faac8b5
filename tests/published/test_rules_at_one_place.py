"""Queue rules of the floor against textbook tables: checks C-04 to C-06.

C-04: J. Heizer, B. Render, Operations Management, ch. 15, jobs A to E in days (from memory, recomputed).
C-05: J. M. Moore, Management Science 15 (1968) 102-109; M. Pinedo, Scheduling, the example of 1 || sum U_j (from
memory; optimum proved by enumeration).
C-06: R. L. Graham, SIAM Journal on Applied Mathematics 17 (1969) 416-429; instance as in Pinedo (from memory; optimum
proved by exact search).

All jobs are in line before the place opens at minute 0. Means have a tolerance of 1e-9 for the division; everything
else is exact.
"""

from __future__ import annotations

from itertools import permutations

import pytest

from shopsim.craft.sequencing import fewest_late, longest_first, longest_first_bound
from tests.published.schedules import DAY_MIN, ends, job_shop

WORK = {"A": 6, "B": 2, "C": 8, "D": 3, "E": 9}
DUE = {"A": 8, "B": 6, "C": 18, "D": 15, "E": 23}


def days_done(
    work: dict[str, int], due: dict[str, int], rule: str, seats: int = 1, planned: list[str] | None = None
) -> list[float]:
    """Completion of each job in days, run on the floor by a queue rule or a planner's list."""
    jobs = {name: [("place", days * DAY_MIN)] for name, days in work.items()}
    return [at / DAY_MIN for at in ends(job_shop(jobs, {"place": planned} if planned else None, due, rule, seats))]


# Rule of the floor: mean flow time, mean tardiness, work over flow time ("utilisation"), mean jobs there.
TABLE = {
    "first_come": (15.4, 2.2, 0.363636363636, 2.75),
    "shortest": (13.0, 1.8, 0.430769230769, 2.32142857143),
    "due_date": (13.6, 1.2, 0.411764705882, 2.42857142857),
    "longest": (20.6, 9.6, 0.271844660194, 3.67857142857),
}


@pytest.mark.parametrize("rule", TABLE)
def test_a_week_of_five_jobs_by_rule(rule: str) -> None:
    done = days_done(WORK, DUE, rule)
    mean_flow, tardiness, utilisation, jobs = TABLE[rule]
    assert sum(done) / 5 == pytest.approx(mean_flow, abs=1e-9)
    late = [max(0.0, at - DUE[name]) for at, name in zip(done, WORK, strict=True)]
    assert sum(late) / 5 == pytest.approx(tardiness, abs=1e-9)
    # The book prints three and two digits: 36.4 %, 43.1 %, 41.2 %, 27.2 %; 2.75, 2.32, 2.43, 3.68 jobs.
    assert sum(WORK.values()) / sum(done) == pytest.approx(utilisation, abs=1e-9)
    assert sum(done) / sum(WORK.values()) == pytest.approx(jobs, abs=1e-9)


def test_shortest_first_has_the_least_flow_time_and_due_date_the_least_worst_lateness() -> None:
    names = list(WORK)
    flows, worst = [], []
    for order in permutations(names):
        clock, done = 0, {}
        for name in order:
            clock += WORK[name]
            done[name] = clock
        flows.append(sum(done.values()))
        worst.append(max(done[name] - DUE[name] for name in names))
    assert sum(days_done(WORK, DUE, "shortest")) == min(flows)
    by_due = days_done(WORK, DUE, "due_date")
    assert max(at - DUE[name] for at, name in zip(by_due, names, strict=True)) == min(worst) == 5


def test_fewest_late_jobs() -> None:
    work = {"j1": 7, "j2": 8, "j3": 4, "j4": 6, "j5": 6}
    due = {"j1": 9, "j2": 17, "j3": 18, "j4": 19, "j5": 21}
    plan = fewest_late(list(work.values()), list(due.values()))
    assert [job + 1 for job in plan.in_time] == [3, 4, 5]
    listed = days_done(work, due, "first_come", planned=[list(work)[job] for job in plan.order])
    assert [name for at, name in zip(listed, work, strict=True) if at > due[name]] == ["j1", "j2"]
    assert sum(at > due[name] for at, name in zip(days_done(work, due, "due_date"), work, strict=True)) == 3


def test_longest_first_on_four_printers_attains_grahams_bound() -> None:
    hours = [7, 7, 6, 6, 5, 5, 4, 4, 4]
    work = {f"j{i}": h for i, h in enumerate(hours)}
    assert max(days_done(work, {}, "longest", seats=4)) == 15
    lots = longest_first(hours, 4)
    assert max(sum(hours[job] for job in lot) for lot in lots) == 15
    # 7 + 5, 7 + 5, 6 + 6, 4 + 4 + 4: as a list, each job goes to the seat that is free next.
    best = [f"j{i}" for i in (0, 1, 2, 6, 7, 3, 4, 5, 8)]
    assert max(days_done(work, {}, "first_come", seats=4, planned=best)) == 12
    assert longest_first_bound(4) == pytest.approx(15 / 12, abs=1e-12)
