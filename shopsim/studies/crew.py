"""The cheapest crew that meets the on-time target: runs are spent on crews of which it is not clear yet.

Every crew size is put to the feasibility check of Andradóttir and Kim (`feasibility.py`), all of them rightly judged at
once with the stated confidence. Hopeless crews are settled by the first replications; then the cheapest crew that is
likely to be enough goes on in rounds, with the cheaper ones that are not settled yet. Pay includes overtime, which is
luck: crews are ranked by the mean pay of their first runs, and of those whose pay cannot be told apart none is called
the cheapest alone. With blocks of weeks the same
is asked of the orders due in each block; a crew then has that size throughout, since work is carried over.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import takewhile
from statistics import fmean

from shopsim.errors import InputError, Problem
from shopsim.shop.changes import Change, changed_values
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values
from shopsim.shop.seat_shares import SharedSeats, short_of_seats
from shopsim.studies.compare import bonferroni_pct
from shopsim.studies.feasibility import Verdict, judged, replications_to_tell
from shopsim.studies.option import Option
from shopsim.studies.precision import Interval, interval
from shopsim.studies.replicate import Replications
from shopsim.studies.replication import Replication
from shopsim.studies.runner import Ask, Runner

# Few bad days make shares on time skewed: after ten of them an edge of the tolerance is misjudged too often.
FIRST = 20
_GROWTH = 1.5
WHOLE = "all weeks"


@dataclass(frozen=True, slots=True)
class Sizes:
    """Head counts to try for one crew of the file."""

    crew: str
    low: int
    high: int


@dataclass(frozen=True, slots=True)
class CrewPlan:
    """What is asked. `target` and `tolerance` are shares; `block_weeks` asks by blocks of so many weeks as well."""

    sizes: tuple[Sizes, ...]
    target: float
    tolerance: float = 0.03
    block_weeks: int | None = None
    at_most: int = 400


@dataclass(frozen=True, slots=True)
class Candidate:
    """One combination of head counts, by crew, with its runs and what they tell of each question.

    `pay_per_week` is wages and overtime pay. Verdicts are by block of weeks (`WHOLE` for all of them together).
    """

    heads: dict[str, int]
    found: Replications
    verdicts: dict[str, Verdict]

    @property
    def pay_per_week(self) -> float:
        """Mean over replications, in currency units."""
        return _pay(self.found.rows)

    @property
    def short_of_seats(self) -> list[SharedSeats]:
        """Where the crews tried have, with others of their trade, fewer seats than people."""
        return short_of_seats(self.found.scenario, self.heads)


@dataclass(frozen=True, slots=True)
class CrewAnswer:
    """All candidates, the cheapest first by their first runs, and for each question the cheapest that meets the target.

    None where no crew tried does, or where a cheaper one could not be told; `likely` has that one (the cheapest that
    seems enough, else the one that comes closest) and about how many replications of it would tell.
    """

    plan: CrewPlan
    candidates: tuple[Candidate, ...]
    enough: dict[str, Candidate | None]
    likely: dict[str, tuple[Candidate, int]]

    def pay_step(self, crew: Candidate, other: Candidate) -> Interval:
        """How much more one crew is paid a week than another, over the runs that both have; for all crews at once.

        Overtime is luck: where the interval holds 0, which of the two is cheaper cannot be told.
        """
        # What is the same in every run differs by the rounding of sums at most.
        return self._step(crew, other, lambda row: row.pay_per_week, 6)

    def on_time_step(self, crew: Candidate, other: Candidate, block: str = WHOLE) -> Interval:
        """How much larger a share one crew sends on time than another, as `pay_step`: runs of the same orders."""
        return self._step(crew, other, self._question(crew, block), 12)

    def on_time_in(self, crew: Candidate, block: str) -> Interval:
        """The share of the orders due in a block of weeks that a crew sends on time, over all its runs."""
        return crew.found.each(self._question(crew, block))

    def told_of(self, block: str) -> Candidate:
        """The crew to tell of a block: the cheapest that is enough, the one that may be, or one that none can beat."""
        enough = self.enough[block]
        if enough is not None:
            return enough
        return self.likely[block][0] if block in self.likely else self.none_better(block)

    def _question(self, crew: Candidate, block: str) -> Question:
        return _questions(self.plan, crew.found.scenario)[block]

    def _step(self, crew: Candidate, other: Candidate, number: Callable[[Replication], float], digits: int) -> Interval:
        confidence_pct = bonferroni_pct(crew.found.scenario.study.confidence_pct, max(1, len(self.candidates) - 1))
        pairs = zip(crew.found.rows, other.found.rows, strict=False)
        return interval([round(number(one) - number(two), digits) for one, two in pairs], confidence_pct)

    def none_better(self, block: str = WHOLE) -> Candidate:
        """The cheapest crew that no other can be told to beat in orders on time, of all weeks or of those of a block.

        With the study's confidence it is no dearer than the cheapest that truly none beats: to be passed over, that one
        has to lose one of its comparisons, which hold at once. Means alone would name whoever has the most luck.
        """
        crews = self.candidates
        unbeaten = (
            crew for crew in crews if not any(self.on_time_step(other, crew, block).sign > 0 for other in crews)
        )
        return next(unbeaten, crews[-1])

    def equalled_by_less(self, crew: Candidate) -> bool:
        """Whether some crew surely costs less and cannot be told to send less out on time: off the frontier."""
        return any(self.on_time_step(crew, cheaper).sign <= 0 for cheaper in reversed(self._cheaper(crew)))

    def surely_best(self, crew: Candidate) -> bool:
        """Whether a crew surely sends more out on time than every other tried."""
        return all(self.on_time_step(crew, other).sign > 0 for other in self.candidates if other is not crew)

    def as_dear(self, enough: Candidate) -> tuple[Candidate, ...]:
        """Other crews that are not known to miss the target, nor to cost more."""
        return tuple(
            crew for crew in self.candidates
            if crew is not enough and crew.verdicts[WHOLE].meets is not False
            and self.pay_step(crew, enough).sign <= 0
        )  # fmt: skip

    def is_close(self, crew: Candidate) -> bool:
        """Whether its mean's interval holds the target: its verdict may be either, as the tolerance allows."""
        level = crew.found.interval("measures", "on_time_share")
        return level.low is not None and level.high is not None and level.low < self.plan.target < level.high

    def may_do(self, enough: Candidate) -> Candidate | None:
        """The cheapest of the surely cheaper crews too close to the target to be ruled out but by the tolerance."""
        return next((crew for crew in self._cheaper(enough) if self.is_close(crew)), None)

    def next_cheaper(self, enough: Candidate) -> Candidate | None:
        """The dearest of the crews that surely cost less: the one that just misses."""
        cheaper = self._cheaper(enough)
        return cheaper[-1] if cheaper else None

    def _cheaper(self, than: Candidate) -> list[Candidate]:
        before = self.candidates[: self.candidates.index(than)]
        return [crew for crew in before if self.pay_step(crew, than).sign < 0]


def smallest_crew(
    runner: Runner, base: Option, plan: CrewPlan, on_round: Callable[[CrewAnswer], None] | None = None
) -> CrewAnswer:
    """Run crews of the sizes asked for until the cheapest sufficient one is known; `on_round` is given what they tell
    whenever more is to be run.

    The confidence is that of the base's study. Raises InputError for head counts the scenario does not allow
    and if no order is due in a replication, and as `Runner`.
    """
    grid = _grid(plan.sizes)
    options = [_with_heads(base, heads) for heads in grid]
    questions = _questions(plan, base.scenario)
    judge = _Judge(plan, questions, len(options), base.scenario.study.confidence_pct)
    runs = [min(FIRST, plan.at_most)] * len(options)
    rows = runner.run([Ask(option, runs[0]) for option in options])
    if any(math.isnan(value(row)) for given in rows for row in given for value in questions.values()):
        raise InputError([Problem("", None, None, "study", "no order is due in the weeks studied of some replication")])
    # Once and for all: no crew changes its place while others are looked at.
    order = sorted(range(len(grid)), key=lambda i: (round(_pay(rows[i]), 6), sum(grid[i].values())))
    crews, rows = [(grid[i], options[i]) for i in order], [rows[i] for i in order]
    while True:
        undecided = judge.worth_more(rows)
        go_on = [i for i in undecided if runs[i] < plan.at_most]
        if not go_on:
            break
        if on_round is not None:
            on_round(_answer(plan, questions, crews, rows, judge))
        more = {i: min(math.ceil(runs[i] * _GROWTH), plan.at_most) for i in go_on}
        added = runner.run([Ask(crews[i][1], more[i] - runs[i], runs[i]) for i in go_on])
        for i, new in zip(go_on, added, strict=True):
            rows[i] = rows[i] + new
            runs[i] = more[i]
    return _answer(plan, questions, crews, rows, judge)


def _answer(
    plan: CrewPlan, questions: dict[str, Question], cheapest_first: Sequence[tuple[dict[str, int], Option]],
    rows: list[tuple[Replication, ...]], judge: _Judge,
) -> CrewAnswer:  # fmt: skip
    crews = [
        Candidate(heads, Replications(option.scenario, given), judge.verdicts(given))
        for (heads, option), given in zip(cheapest_first, rows, strict=True)
    ]
    enough: dict[str, Candidate | None] = {}
    likely: dict[str, tuple[Candidate, int]] = {}
    for question, value in questions.items():
        cheaper = list(takewhile(lambda crew, q=question: not crew.verdicts[q].meets, crews))  # type: ignore[misc]
        unclear = [crew for crew in cheaper if crew.verdicts[question].meets is None]
        enough[question] = crews[len(cheaper)] if not unclear and len(cheaper) < len(crews) else None
        if unclear:
            seems = [crew for crew in unclear if crew.verdicts[question].mean >= plan.target]
            crew = seems[0] if seems else max(unclear, key=lambda crew: crew.verdicts[question].mean)
            likely[question] = crew, judge.replications_to_tell([value(row) for row in crew.found.rows])
    return CrewAnswer(plan, tuple(crews), enough, likely)


def _pay(rows: Sequence[Replication]) -> float:
    return fmean(row.pay_per_week for row in rows)


Question = Callable[[Replication], float]


class _Judge:
    """Verdicts on crews from their rows; which of the undecided ones are worth more replications."""

    def __init__(self, plan: CrewPlan, questions: dict[str, Question], crews: int, confidence_pct: float) -> None:
        self._plan = plan
        self._questions = questions
        self._asked = crews * len(questions)
        self._confidence_pct = confidence_pct

    def verdicts(self, rows: Sequence[Replication]) -> dict[str, Verdict]:
        plan, first = self._plan, min(FIRST, len(rows))
        return {
            name: judged((value(row) for row in rows), plan.target, plan.tolerance, self._confidence_pct,
                         self._asked, first)
            for name, value in self._questions.items()
        }  # fmt: skip

    def replications_to_tell(self, values: list[float]) -> int:
        plan = self._plan
        return replications_to_tell(values, plan.target, plan.tolerance, self._confidence_pct, self._asked,
                                    min(FIRST, len(values)))  # fmt: skip

    def worth_more(self, rows: Sequence[Sequence[Replication]]) -> list[int]:
        """For each question the cheapest crew likely to be enough, and the cheaper ones not settled yet.

        `rows` has the cheapest first.
        """
        verdicts = [self.verdicts(given) for given in rows]
        chosen: set[int] = set()
        for question in self._questions:
            for i, crew in enumerate(verdicts):
                verdict = crew[question]
                if verdict.meets is None:
                    chosen.add(i)
                if verdict.meets or (verdict.meets is None and verdict.mean >= self._plan.target):
                    break
        return sorted(chosen)


def _questions(plan: CrewPlan, scenario: Scenario) -> dict[str, Question]:
    questions: dict[str, Question] = {WHOLE: lambda row: row.measures["on_time_share"]}
    if plan.block_weeks is not None:
        weeks = math.ceil(scenario.study.weeks)
        for first in range(0, weeks, plan.block_weeks):
            last = min(first + plan.block_weeks, weeks)
            name = f"weeks {first + 1} to {last}" if last > first + 1 else f"week {first + 1}"
            questions[name] = _on_time_of(first, last)
    return questions


def _on_time_of(first: int, last: int) -> Question:
    def share(row: Replication) -> float:
        due = sum(row.due_by_week[first:last])
        # Where nothing is due nothing is late.
        return sum(row.on_time_by_week[first:last]) / due if due else 1.0

    return share


def _grid(sizes: Sequence[Sizes]) -> list[dict[str, int]]:
    names = [one.crew for one in sizes]
    ranges = [range(one.low, one.high + 1) for one in sizes]
    return [dict(zip(names, heads, strict=True)) for heads in itertools.product(*ranges)]


def _with_heads(base: Option, heads: dict[str, int]) -> Option:
    values = scenario_values(base.scenario)
    for crew, count in heads.items():
        values = changed_values(values, Change("set", f"crews.{crew}.count", count))
    name = ", ".join(f"{count} {crew}" for crew, count in heads.items())
    return replace(base, name=name, scenario=check_values(values, name))
