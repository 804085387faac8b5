"""How the shop does as it stands."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from rich.console import Console

from shopsim import __version__
from shopsim.answers.by_run import ByRun, measures_by_run
from shopsim.answers.drawn import Drawn, of_run
from shopsim.answers.plain import bounds, held_back_by
from shopsim.answers.question import AS_IT_STANDS, FIRST_SHOWN, Document, FilesOf, Question, option_of
from shopsim.measures.measure_names import unit_of
from shopsim.sentences import Answer, as_we_are, opening
from shopsim.studies.replicate import Replications
from shopsim.studies.replication import Replication
from shopsim.studies.runner import Ask, Runner
from shopsim.terminal.run_page import print_run

# Three times as many replications narrow an interval worth looking again.
_NEXT_SHOWN = 3


@dataclass(frozen=True, kw_only=True)
class AsWeAre(Question[Replications]):
    """How the shop does; `count` replications, those of the scenario's study if None."""

    kind: ClassVar = "as_we_are"
    count: int | None = None

    def in_words(self) -> str:
        return "How does the shop do as it stands?"

    def command(self, files: FilesOf) -> list[str]:
        count = self.count or self.shop.scenario.study.replications
        return ["run", self.scenario_file, "--replications", str(count)]

    def study(self, runner: Runner) -> Replications:
        return self.study_showing(runner, lambda _: None)

    def study_showing(self, runner: Runner, show: Callable[[Replications], None]) -> Replications:
        option = option_of("as we are", self.shop)
        count, shown = self.count or self.shop.scenario.study.replications, FIRST_SHOWN

        def look(found: Mapping[tuple[str, int], Replication]) -> None:
            nonlocal shown
            numbers = range(shown)
            if shown < count and all((option.key, number) in found for number in numbers):
                shown *= _NEXT_SHOWN
                show(Replications(self.shop.scenario, tuple(found[option.key, number] for number in numbers)))

        (rows,) = runner.run([Ask(option, count)], look)
        return Replications(self.shop.scenario, rows)

    def answer(self, found: Replications) -> Answer:
        return as_we_are(found)

    def show(self, console: Console, found: Replications) -> None:
        print_run(console, found, self.answer(found))

    def pictures(self, found: Replications) -> Iterator[Drawn]:
        return of_run(found)

    def by_run(self, found: Replications) -> ByRun:
        return {AS_IT_STANDS: measures_by_run(found)}

    def settled(self, found: Replications) -> bool:
        return True

    def document(self, found: Replications) -> Document:
        study, answer = found.scenario.study, self.answer(found)
        return {
            "scenario": self.scenario,
            "scenario_hash": found.scenario.content_hash,
            "version": __version__,
            "seed": study.seed,
            "replications": len(found.rows),
            "confidence": study.confidence_pct / 100,
            "sentence": answer.sentence,
            "below": answer.below,
            "settled": self.settled(found),
            "opening": opening(found.scenario),
            "measures": {
                str(key): {**bounds(found.interval("measures", key)), "unit": unit_of(str(key))}
                for key in found.keys("measures")
            },
            "resources": _resources(found),
            "constraint": held_back_by(found.constraint()),
        }


def _resources(found: Replications) -> list[dict[str, Any]]:
    states: dict[tuple[str, str], dict[str, float]] = {}
    for kind, name, state in {key: None for row in found.rows for key in row.states}:
        states.setdefault((kind, name), {})[state] = found.interval("states", (kind, name, state)).mean
    return [{"id": name, "kind": kind, "states": shares} for (kind, name), shares in states.items()]
