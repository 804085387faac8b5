"""Does the model agree with what really happened."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, ClassVar

from rich.console import Console

from shopsim import __version__
from shopsim.answers.drawn import Drawn, of_match
from shopsim.answers.plain import typed
from shopsim.answers.question import Document, FilesOf, Question
from shopsim.errors import ExportError, Problem
from shopsim.measures.lead_times import LEAD_SHARES
from shopsim.sentences import Answer
from shopsim.sentences.matching import figure_unit, figure_words, matched, moved_text
from shopsim.shop.changes import changed_values
from shopsim.shop.exports.clean_file import clean_text
from shopsim.shop.exports.table_kinds import TABLE_KINDS
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values
from shopsim.studies.fit_shop import fit_shop
from shopsim.studies.match import Match, MatchPlan, match
from shopsim.studies.match_causes import Causes
from shopsim.studies.match_figures import LEAD_CURVE
from shopsim.studies.match_luck import Level, Shape, weeks_to_tell
from shopsim.studies.match_record import PeriodPlan, Record, earlier_rows, held_out_from, read_record
from shopsim.studies.runner import Runner
from shopsim.terminal.match_page import print_match

Rows = tuple[Mapping[str, Any], ...]


@dataclass(frozen=True, kw_only=True)
class MatchesRecord(Question[Match]):
    """The shop run over the weeks on record; rows are those of our own columns, as `read_export` gives them.

    With held-out weeks the shop is fitted to the rows before them first, and only they are compared.
    """

    kind: ClassVar = "match"
    orders: Rows
    printer_log: Rows = ()
    work_log: Rows = ()
    period: PeriodPlan
    plan: MatchPlan

    @cached_property
    def record(self) -> Record:
        """What happened. Raises ExportError for a record that cannot be compared, or fitted."""
        try:
            scenario = self._fitted() if self.period.hold_out_weeks else self.shop.scenario
            return read_record(scenario, self.orders, self.printer_log, self.work_log, self.period)
        except ValueError as fault:
            raise ExportError([Problem("the record", None, None, "", str(fault))]) from None

    def _fitted(self) -> Scenario:
        """The scenario as the weeks before those held out have it."""
        before = held_out_from(self.orders, self.period.hold_out_weeks)
        scenario = self.shop.scenario
        fit = fit_shop(
            scenario, earlier_rows(self.orders, before, "received"), earlier_rows(self.printer_log, before, "start"),
            earlier_rows(self.work_log, before, "start"), scenario.study.confidence_pct,
        )  # fmt: skip
        values = scenario_values(scenario)
        for change in fit.changes:
            values = changed_values(values, change)
        return check_values(values, self.scenario)

    def in_words(self) -> str:
        held = self.period.hold_out_weeks
        return f"Does the model agree with what really happened{f' in the {held} weeks held out' if held else ''}?"

    def files(self) -> dict[str, str]:
        """The tables on record in our own columns."""
        return {_recorded(name): clean_text(TABLE_KINDS[name], rows) for name, rows in self._tables().items() if rows}

    def command(self, files: FilesOf) -> list[str]:
        period, plan = self.period, self.plan
        tables = [(f"--{name.replace('_', '-')}", _recorded(name)) for name, rows in self._tables().items() if rows]
        return [
            "match", self.scenario_file, *(word for table in tables for word in table),
            "--start", period.start, "--run-in", str(period.run_in_weeks),
            *(["--hold-out", str(period.hold_out_weeks)] if period.hold_out_weeks else []),
            "--tolerance", typed(plan.tolerance.pct), "--tolerance-points", typed(plan.tolerance.points),
            "--replications", str(plan.count), *([] if plan.causes else ["--no-causes"]),
        ]  # fmt: skip

    def _tables(self) -> dict[str, Rows]:
        return {"orders": self.orders, "printer_log": self.printer_log, "work_log": self.work_log}

    def study(self, runner: Runner) -> Match:
        return match(runner, self.record, self.plan)

    def answer(self, found: Match) -> Answer:
        return matched(found)

    def show(self, console: Console, found: Match) -> None:
        print_match(console, found, self.answer(found))

    def pictures(self, found: Match) -> Iterator[Drawn]:
        return of_match(self.document(found))

    def settled(self, found: Match) -> bool:
        return found.settled

    def document(self, found: Match) -> Document:
        """Differences are what happened less the mean of the runs; shares from 0 to 1."""
        record, judged, answer = found.record, found.judged, self.answer(found)
        return {
            "scenario": self.scenario,
            "scenario_hash": record.scenario.content_hash,
            "version": __version__,
            "seed": record.scenario.study.seed,
            "replications": len(found.runs.rows),
            "confidence": judged.confidence_pct / 100,
            "sentence": answer.sentence,
            "below": answer.below,
            "settled": found.settled,
            "accepted": judged.accepted,
            "score": judged.score,
            "limit": judged.limit,
            "first": str(record.first),
            "last": str(record.last),
            "run_in_weeks": record.run_in_weeks,
            "held_out_weeks": self.period.hold_out_weeks,
            "orders": int(record.orders.counted.sum()),
            "tolerance": {"pct": found.plan.tolerance.pct, "points": found.plan.tolerance.points},
            "figures": {each.name: _level(each, record.weeks) for each in judged.levels},
            "shapes": {each.name: _shape(each) for each in judged.shapes},
            "causes": None if found.causes is None else _causes(found.causes),
            "notes": list(record.notes),
        }


def _recorded(table: str) -> str:
    # The shop's own order book may be called `orders.csv`.
    return f"recorded_{table}.csv"


def _level(one: Level, weeks: int) -> dict[str, Any]:
    difference = one.difference
    return {
        "about": figure_words(one.name), "unit": "1" if figure_unit(one.name) == "%" else figure_unit(one.name),
        "happened": one.record, "runs": {"mean": one.mean, "low": one.low, "high": one.high},
        "difference": {"mean": difference.mean, "low": difference.low, "high": difference.high},
        "tolerance": one.tolerance, "outcome": one.outcome,
        "weeks_to_tell": weeks_to_tell(one, weeks) if one.outcome == "cannot tell" else None,
    }  # fmt: skip


def _shape(one: Shape) -> dict[str, Any]:
    at = list(LEAD_SHARES) if one.name == LEAD_CURVE else list(range(1, len(one.record) + 1))
    return {
        "about": figure_words(one.name), "unit": figure_unit(one.name), "at": at, "happened": one.record.tolist(),
        "mean": one.mean.tolist(), "low": one.low.tolist(), "high": one.high.tolist(), "distance": one.distance,
        "luck": one.luck, "tolerance": one.tolerance, "outcome": one.outcome,
    }  # fmt: skip


def _causes(causes: Causes) -> dict[str, Any]:
    likely = {cause.name for cause in causes.likeliest}
    return {
        "tried": causes.tried,
        "differ": causes.differ,
        "gap": causes.gap,
        "found": [
            {"input": each.name, "moved": moved_text(each), "amount": each.amount, "unit": each.unit, "gap": each.gap,
             "still_differ": each.still_differ, "likely": each.name in likely}
            for each in causes.found
        ],
    }  # fmt: skip
