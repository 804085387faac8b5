"""Does a change help, by how much, how sure."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, ClassVar, Self

from rich.console import Console

from shopsim import __version__
from shopsim.answers.by_run import ByRun, measures_by_run
from shopsim.answers.drawn import Drawn, of_comparison
from shopsim.answers.plain import bounds, held_back_by, typed_pct
from shopsim.answers.question import (
    AS_IT_STANDS,
    FIRST_SHOWN,
    Changed,
    Document,
    FilesOf,
    Found,
    Question,
    notes_of,
    option_of,
)
from shopsim.measures.measure_names import is_share, scale_of, unit_of
from shopsim.sentences import Answer
from shopsim.sentences.comparison import compared, unit_words
from shopsim.shop.what_if import differences_in_words
from shopsim.studies.compare import PairedDifference
from shopsim.studies.comparison import Comparison, Plan, compare_options
from shopsim.studies.runner import Runner
from shopsim.terminal.compare_page import print_compare

# Half-widths aimed at unless told: of a share, and as a share of the base for all else.
_POINTS = 0.02
_SHARE_OF_BASE = 0.05


def usual_plan(measure: str, at_most: int = 400) -> Plan:
    """How long to run unless told: until shares are known to 2 points, all else to 5 % of the base."""
    if is_share(measure):
        return Plan("precision", half_width=_POINTS, at_most=at_most)
    return Plan("precision", share_of_base=_SHARE_OF_BASE, at_most=at_most)


@dataclass(frozen=True, kw_only=True)
class Compared(Question[Found]):
    """What the questions that set options beside the base share."""

    changed: tuple[Changed, ...]
    plan: Plan
    measure: str = "on_time_share"

    @property
    def in_rounds(self) -> bool:
        return self.plan.stop != "count"

    def options(self) -> tuple[Changed, ...]:
        return self.changed

    def command(self, files: FilesOf) -> list[str]:
        named = [files(one.what_ifs) for one in self.changed]
        ends = _plan_arguments(self.plan, self.measure)
        return [self.kind, self.scenario_file, *named, "--measure", self.measure, *ends]

    def compared(self, runner: Runner, on_round: Callable[[Comparison], None] | None = None) -> Comparison:
        """Base and options, run on the same orders; `on_round` as in `compare_options`."""
        options = [one.option for one in self.changed]
        return compare_options(runner, option_of(AS_IT_STANDS, self.shop), options, self.plan, self.measure, on_round)

    def at_first(self) -> Self | None:
        few = self.plan.stop == "count" and self.plan.count <= FIRST_SHOWN
        return None if few else replace(self, plan=Plan("count", FIRST_SHOWN))

    def runs_in_all(self) -> int:
        different = {option_of(AS_IT_STANDS, self.shop).key, *(one.option.key for one in self.changed)}
        return 0 if self.in_rounds else self.plan.count * len(different)

    def enough(self) -> str:
        return _enough(self.plan, self.measure)

    def comparison_by_run(self, found: Comparison) -> ByRun:
        """The numbers of each replication of base and options."""
        return {name: measures_by_run(rows) for name, rows in {AS_IT_STANDS: found.base, **found.options}.items()}

    def differs(self) -> dict[str, list[str]]:
        """For each option, in words, what it changes."""
        base = self.shop.scenario
        return {one.name: differences_in_words(base, one.shop.scenario, one.what_ifs) for one in self.changed}

    def notes(self) -> dict[str, list[str]]:
        """For each option what its files note and its shop asks to be careful about."""
        return {one.name: notes_of(self.shop, one) for one in self.changed}

    def comparison_document(self, found: Comparison, answer: Answer) -> Document:
        """The answer of a comparison as plain values."""
        study = found.base.scenario.study
        differs, notes = self.differs(), self.notes()
        return {
            "scenario": self.scenario,
            "scenario_hash": found.base.scenario.content_hash,
            "version": __version__,
            "seed": study.seed,
            "replications": found.runs,
            "confidence": study.confidence_pct / 100,
            "sentence": answer.sentence,
            "below": answer.below,
            "settled": found.settled,
            "decided_by": found.measure,
            "options": {
                option: {
                    "scenario_hash": rows.scenario.content_hash,
                    "differs": differs.get(option, []),
                    "notes": notes.get(option, []),
                    "measures": {
                        str(key): {**bounds(rows.interval("measures", key)), "unit": unit_of(str(key))}
                        for key in rows.keys("measures")
                    },
                    "replications": len(rows.rows),
                    "constraint": held_back_by(rows.constraint()),
                }
                for option, rows in {AS_IT_STANDS: found.base, **found.options}.items()
            },
            "differences": _differences(found),
            "deciding": {
                option: _difference(difference) | {"confidence": found.levels[option] / 100}
                for option, difference in found.deciding.items()
            },
        }


@dataclass(frozen=True, kw_only=True)
class WhatIfHelps(Compared[Comparison]):
    """Does each change help."""

    kind: ClassVar = "compare"

    def in_words(self) -> str:
        one = len(self.changed) == 1
        whether = f"Does “{self.changed[0].name}” help" if one else f"Which of {len(self.changed)} changes helps"
        return f"{whether}, by how much, and how sure is that?"

    def study(self, runner: Runner) -> Comparison:
        return self.compared(runner)

    def study_in_rounds(self, runner: Runner, on_round: Callable[[Comparison], None] | None = None) -> Comparison:
        return self.compared(runner, on_round)

    def answer(self, found: Comparison) -> Answer:
        return compared(found)

    def show(self, console: Console, found: Comparison) -> None:
        print_compare(console, found, self.answer(found), self.differs(), self.notes())

    def pictures(self, found: Comparison) -> Iterator[Drawn]:
        return of_comparison(self.document(found), self.shop.scenario.money.currency)

    def by_run(self, found: Comparison) -> ByRun:
        return self.comparison_by_run(found)

    def settled(self, found: Comparison) -> bool:
        return found.settled

    def document(self, found: Comparison) -> Document:
        return self.comparison_document(found, self.answer(found))


def _enough(plan: Plan, measure: str) -> str:
    if plan.stop == "count":
        return "as many as were asked for"
    at_most = f"at most {plan.at_most}"
    if plan.stop == "clear":
        return f"until every difference in what decides is clear, {at_most}"
    unit = "points" if is_share(measure) else unit_words(measure)
    width = f"{plan.half_width * scale_of(measure):g} {unit}".rstrip()
    known = width if plan.half_width else f"{plan.share_of_base * 100:g} % of the shop as it stands"
    return f"until every difference in what decides is known to ±{known}, {at_most}"


def _plan_arguments(plan: Plan, measure: str) -> list[str]:
    if plan.stop == "count":
        return ["--replications", str(plan.count)]
    at_most = ["--at-most", str(plan.at_most)]
    if plan.stop == "clear":
        return ["--until-clear", *at_most]
    return [*(["--precision", typed_pct(plan.half_width, scale_of(measure))] if plan.half_width else []), *at_most]


def _differences(found: Comparison) -> dict[str, dict[str, Any]]:
    measures: Sequence[str] = [str(key) for key in found.base.keys("measures")]
    each = {measure: found.differences(measure) for measure in measures}
    return {
        option: {measure: _difference(each[measure][option]) | {"unit": unit_of(measure)} for measure in measures}
        for option in found.options
    }


def _difference(difference: PairedDifference) -> dict[str, Any]:
    low, high = difference.reduction_between or (None, None)
    saved = {"variance_reduction_low": low, "variance_reduction_high": high}
    return {**bounds(difference.interval), "variance_reduction": difference.variance_reduction, **saved}
