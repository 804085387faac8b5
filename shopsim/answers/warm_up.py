"""How long the shop takes to settle from empty."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from rich.console import Console

from shopsim import __version__
from shopsim.answers.drawn import Drawn, of_settling
from shopsim.answers.question import Document, FilesOf, Question, option_of
from shopsim.sentences import Answer
from shopsim.sentences.settled import settled
from shopsim.studies.runner import Runner
from shopsim.studies.settling import Settling, settling
from shopsim.terminal.settling_page import print_settling


@dataclass(frozen=True, kw_only=True)
class Settles(Question[Settling]):
    """After how many weeks; settled where the shop settles in those simulated."""

    kind: ClassVar = "warm_up"
    count: int = 10

    def in_words(self) -> str:
        return "How long does the shop take to settle from empty?"

    def command(self, files: FilesOf) -> list[str]:
        return ["warm-up", self.scenario_file, "--replications", str(self.count)]

    def study(self, runner: Runner) -> Settling:
        return settling(runner, option_of("from empty", self.shop), self.count)

    def answer(self, found: Settling) -> Answer:
        return settled(found, self.shop.scenario)

    def show(self, console: Console, found: Settling) -> None:
        print_settling(console, found, self.answer(found))

    def pictures(self, found: Settling) -> Iterator[Drawn]:
        return of_settling(self.document(found))

    def settled(self, found: Settling) -> bool:
        return found.weeks is not None

    def document(self, found: Settling) -> Document:
        answer = self.answer(found)
        return {
            "scenario": self.scenario, "version": __version__, "seed": self.shop.scenario.study.seed,
            "replications": found.replications, "sentence": answer.sentence, "below": answer.below,
            "settled": self.settled(found), "warm_up_weeks": found.weeks, "orders_in_shop_by_day": list(found.by_day),
            "smoothed": list(found.smoothed),
        }  # fmt: skip
