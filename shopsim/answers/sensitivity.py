"""What the answer hangs on among the inputs somebody is unsure of."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, ClassVar

from rich.console import Console

from shopsim import __version__
from shopsim.answers.by_run import ByRun, measures_by_run
from shopsim.answers.drawn import Drawn, of_sensitivity
from shopsim.answers.plain import bounds
from shopsim.answers.question import AS_IT_STANDS, Document, FilesOf, Question, option_of
from shopsim.sentences import Answer
from shopsim.sentences.doubting import hangs_on
from shopsim.shop.ranges_file import Unsure
from shopsim.shop.scenario_dump import plain
from shopsim.shop.yaml_writing import block
from shopsim.studies.runner import Runner
from shopsim.studies.sensitivity import Sensitivity, SensitivityPlan, sensitivity
from shopsim.terminal.sensitivity_page import print_sensitivity

_RANGES_FILE = "ranges.yaml"


@dataclass(frozen=True, kw_only=True)
class HangsOn(Question[Sensitivity]):
    """Which of the ranges matter; settled where at least one can be told to."""

    kind: ClassVar = "sensitivity"
    ranges: tuple[Unsure, ...]
    plan: SensitivityPlan

    def files(self) -> dict[str, str]:
        ranges = {"ranges": [plain(one.given) for one in self.ranges]}
        return {_RANGES_FILE: "\n".join(block(ranges, 0)) + "\n"}

    def in_words(self) -> str:
        if len(self.ranges) == 1:
            return "Does the answer hang on the one input that nobody is sure of?"
        return f"Which of {len(self.ranges)} inputs that nobody is sure of does the answer hang on?"

    def command(self, files: FilesOf) -> list[str]:
        plan = self.plan
        more = {"bars": [], "morris": ["--trajectories", str(plan.trajectories)],
                "sobol": ["--samples", str(plan.base_samples)]}[plan.method]  # fmt: skip
        return [
            "sensitivity", self.scenario_file, _RANGES_FILE, "--measure", plan.measure,
            "--method", plan.method, "--replications", str(plan.count), *more,
        ]  # fmt: skip

    def study(self, runner: Runner) -> Sensitivity:
        return sensitivity(runner, option_of(AS_IT_STANDS, self.shop), self.ranges, self.plan)

    def answer(self, found: Sensitivity) -> Answer:
        return hangs_on(found)

    def show(self, console: Console, found: Sensitivity) -> None:
        print_sensitivity(console, found, self.answer(found))

    def pictures(self, found: Sensitivity) -> Iterator[Drawn]:
        return of_sensitivity(self.document(found))

    def by_run(self, found: Sensitivity) -> ByRun:
        return {AS_IT_STANDS: measures_by_run(found.base, (found.plan.measure,))}

    def settled(self, found: Sensitivity) -> bool:
        return found.settled

    def document(self, found: Sensitivity) -> Document:
        study, answer = found.base.scenario.study, self.answer(found)
        return {
            "scenario": self.scenario,
            "scenario_hash": found.base.scenario.content_hash,
            "version": __version__,
            "seed": study.seed,
            "replications": found.plan.count,
            "points": found.plan.points(len(found.ranges)),
            "confidence": study.confidence_pct / 100,
            "sentence": answer.sentence,
            "below": answer.below,
            "settled": found.settled,
            "measure": found.plan.measure,
            "method": found.plan.method,
            "without_doubt": bounds(found.without_doubt),
            "with_doubt": bounds(found.with_doubt),
            "inputs": [_input(found, i) for i in found.ranking()],
        }


def _input(found: Sensitivity, i: int) -> dict[str, Any]:
    one = found.ranges[i]
    about: dict[str, Any] = {**one.given.model_dump(), "now": one.now, "matters": found.matters(i)}
    if found.bars:
        bar = found.bars[i]
        about |= {"at_low": bounds(bar.at_low), "at_high": bounds(bar.at_high), "swing": bounds(bar.swing)}
    if found.screened:
        screened = found.screened[i]
        about |= {
            "mean_absolute_effect": bounds(screened.mean_absolute), "mean_effect": screened.mean,
            "deviation_of_effects": screened.deviation, "mean_absolute_effect_of_luck": screened.luck,
        }  # fmt: skip
    if found.shares:
        for kind in ("first", "total"):
            index = getattr(found.shares[i], kind)
            about[f"{kind}_order"] = {"mean": index.estimate, "low": index.low, "high": index.high}
    return about
