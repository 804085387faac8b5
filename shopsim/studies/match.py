"""`match`: does a model agree with what really happened? Start reading at `match`.

The shop is run over the weeks on record with the recorded orders, many times; the record is set against the runs figure
by figure (`match_figures`, `match_luck`), and where it surely lies outside, inputs are moved to see which closes the
gap best (`match_causes`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shopsim.studies.match_causes import Causes, causes_of
from shopsim.studies.match_figures import MAIN, figures_of_record, figures_of_run
from shopsim.studies.match_luck import Judged, Level, Outcome, Shape, Tolerance, judge, least_runs
from shopsim.studies.match_record import Record
from shopsim.studies.option import Option
from shopsim.studies.replicate import Replications
from shopsim.studies.runner import Ask, Runner

USUAL_RUNS = 59
"""With the record 60 in all: at 95 % the limit of luck is the third greatest score."""


USUAL_TOLERANCE = Tolerance()


@dataclass(frozen=True, slots=True)
class MatchPlan:
    """How many runs, what is good enough, and whether to look for the cause of a gap."""

    count: int = USUAL_RUNS
    tolerance: Tolerance = USUAL_TOLERANCE
    causes: bool = True


@dataclass(frozen=True, slots=True, eq=False)
class Match:
    """What came out; `causes` is None where nothing surely differs, or they were not asked for."""

    record: Record
    runs: Replications
    judged: Judged
    causes: Causes | None
    plan: MatchPlan

    @property
    def differs(self) -> bool:
        """Whether something surely differs by more than is good enough."""
        return bool(self.with_outcome("differs"))

    def with_outcome(self, outcome: Outcome) -> list[Level | Shape]:
        """The figures of an outcome, levels first."""
        every: list[Level | Shape] = [*self.judged.levels, *self.judged.shapes]
        return [each for each in every if each.outcome == outcome]

    @property
    def settled(self) -> bool:
        """Whether the question has an answer: something differs, or all that every record has agrees."""
        main = [level for level in self.judged.levels if level.name in MAIN]
        return self.differs or all(level.outcome == "agrees" for level in main)


def runs_needed(plan: MatchPlan, confidence_pct: float) -> int:
    """How many runs a plan takes at a confidence: at least as many as give it a limit."""
    return max(plan.count, least_runs(confidence_pct), 3)


def match(runner: Runner, record: Record, plan: MatchPlan) -> Match:
    """Run the record's scenario and compare. Raises as `Runner`."""
    scenario = record.scenario
    confidence_pct = scenario.study.confidence_pct
    count = runs_needed(plan, confidence_pct)
    (rows,) = runner.run([Ask(Option("as it stands", scenario, record.lines, in_detail=True), count)])
    runs = Replications(scenario, rows)
    own, figures = figures_of_record(record), [figures_of_run(record, row) for row in rows]
    judged = judge(own, figures, plan.tolerance, confidence_pct)
    found = Match(record, runs, judged, None, plan)
    if not plan.causes or not found.differs:
        return found
    busy = {name: _mean(runs, f"busy_share.{name}") for name in (*_ids(record, "crews"), *_ids(record, "printers"))}
    return Match(record, runs, judged, causes_of(runner, record, own, figures, busy, judged), plan)


def _ids(record: Record, kind: str) -> list[str]:
    return list(record.scenario.by_id(kind))


def _mean(runs: Replications, measure: str) -> float:
    known = [value for value in runs.values("measures", measure) if math.isfinite(value)]
    return math.fsum(known) / len(known) if known else 0.0
