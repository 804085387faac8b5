"""Shift patterns side by side."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from typing import ClassVar

from rich.console import Console

from shopsim.answers.by_run import ByRun
from shopsim.answers.comparison import Compared
from shopsim.answers.drawn import Drawn, of_patterns
from shopsim.answers.question import Document
from shopsim.sentences import Answer
from shopsim.sentences.shifts import patterns_weighed
from shopsim.studies.runner import Runner
from shopsim.studies.shift_patterns import PatternAnswer, judge_patterns
from shopsim.terminal.shifts_page import print_shifts


@dataclass(frozen=True, kw_only=True)
class ShiftPatterns(Compared[PatternAnswer]):
    """Which of the patterns, each given as a changed shop; settled where one can be recommended."""

    kind: ClassVar = "shifts"

    def in_words(self) -> str:
        return f"Which of {len(self.changed) + 1} shift patterns, today's among them?"

    def study(self, runner: Runner) -> PatternAnswer:
        # Patterns are told from one another, not only from the base, so all need as many replications.
        return judge_patterns(replace(self, plan=replace(self.plan, together=True)).compared(runner))

    def answer(self, found: PatternAnswer) -> Answer:
        return patterns_weighed(found)

    def show(self, console: Console, found: PatternAnswer) -> None:
        print_shifts(console, found, self.answer(found), self.notes())

    def pictures(self, found: PatternAnswer) -> Iterator[Drawn]:
        return of_patterns(
            self.document(found), self.shop.scenario.study.on_time_target_pct / 100, self.shop.scenario.money.currency
        )

    def by_run(self, found: PatternAnswer) -> ByRun:
        return self.comparison_by_run(found.comparison)

    def settled(self, found: PatternAnswer) -> bool:
        return found.recommended is not None

    def document(self, found: PatternAnswer) -> Document:
        return {
            **self.comparison_document(found.comparison, self.answer(found)),
            "settled": self.settled(found),
            "recommended": found.recommended,
            "meets_target": list(found.meets),
            "may_meet_target": list(found.may_meet),
            "may_be_best_on_time": list(found.best_dates),
            "may_leave_most_over": list(found.best_money),
            "surely_leave_more_over": list(found.leave_more),
            "not_judged": {pattern.name: list(pattern.not_judged) for pattern in found.patterns},
            "kept_by_the_file_alone": {pattern.name: list(pattern.by_the_file_alone) for pattern in found.patterns},
            "unattended": {pattern.name: list(pattern.unattended) for pattern in found.patterns},
            "alone_with_hot_machine_h_per_week_more": {pattern.name: pattern.lone_hot_h for pattern in found.patterns},
            "rest_times": {
                pattern.name: [{**asdict(each), "date": each.date.isoformat()} for each in pattern.findings]
                for pattern in found.patterns
            },
        }
