"""The smallest crew that sends the orders out on time."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, ClassVar

from rich.console import Console

from shopsim import __version__
from shopsim.answers.by_run import ByRun, measures_by_run
from shopsim.answers.crew_notes import crew_notes
from shopsim.answers.drawn import Drawn, of_crews
from shopsim.answers.plain import bounds, held_back_by, typed_pct
from shopsim.answers.question import Changed, Document, FilesOf, Question, option_of
from shopsim.answers.ready_made import crew_of
from shopsim.sentences import Answer
from shopsim.sentences.crews import crew_found
from shopsim.shop.names import told
from shopsim.shop.scenario import Scenario
from shopsim.studies.crew import Candidate, CrewAnswer, CrewPlan, Sizes, smallest_crew
from shopsim.studies.runner import Runner
from shopsim.terminal.crew_page import print_crew

MOST_CREWS = 100


def size_faults(sizes: Sequence[Sizes], scenario: Scenario) -> list[str]:
    """Why the head counts cannot be tried in a shop; empty if they can."""
    known = [crew.id for crew in scenario.crews]
    faults = [
        f"there is no crew {one.crew!r}; the file has {', '.join(known)}" for one in sizes if one.crew not in known
    ]
    if len({one.crew for one in sizes}) < len(sizes):
        faults.append("names a crew twice")
    count = math.prod(one.high - one.low + 1 for one in sizes)
    if count > MOST_CREWS:
        faults.append(f"asks for {count} crews, at most {MOST_CREWS} can be tried at once")
    return faults


@dataclass(frozen=True, kw_only=True)
class SmallestCrew(Question[CrewAnswer]):
    """The cheapest crew that meets the target, in the shop with `changed` made in it where there is such."""

    kind: ClassVar = "crew"
    plan: CrewPlan
    changed: Changed | None = None

    @property
    def in_rounds(self) -> bool:
        return True

    def options(self) -> tuple[Changed, ...]:
        return (self.changed,) if self.changed else ()

    def in_words(self) -> str:
        scenario = (self.changed.shop if self.changed else self.shop).scenario
        tried = " and ".join(
            f"{one.low} to {one.high} people in crew {told(scenario, one.crew)}" for one in self.plan.sizes
        )
        return f"Which is the smallest crew, of {tried}, that sends {self.plan.target * 100:g} % of orders out on time?"

    def command(self, files: FilesOf) -> list[str]:
        plan = self.plan
        sizes = [part for one in plan.sizes for part in ("--crew", f"{one.crew}={one.low}..{one.high}")]
        before = [part for what_if in (self.changed.what_ifs if self.changed else ())
                  for part in ("--what-if", files([what_if]))]  # fmt: skip
        blocks = ["--by-weeks", str(plan.block_weeks)] if plan.block_weeks else []
        return [
            "crew", self.scenario_file, *sizes, *before, "--target", typed_pct(plan.target),
            "--tolerance", typed_pct(plan.tolerance), *blocks, "--at-most", str(plan.at_most),
        ]  # fmt: skip

    def study(self, runner: Runner) -> CrewAnswer:
        return self.study_in_rounds(runner)

    def study_in_rounds(self, runner: Runner, on_round: Callable[[CrewAnswer], None] | None = None) -> CrewAnswer:
        shop = self.changed.shop if self.changed else self.shop
        return smallest_crew(runner, option_of("crews", shop), self.plan, on_round)

    def answer(self, found: CrewAnswer) -> Answer:
        return crew_found(found)

    def show(self, console: Console, found: CrewAnswer) -> None:
        print_crew(console, found, self.answer(found))

    def pictures(self, found: CrewAnswer) -> Iterator[Drawn]:
        return of_crews(self.document(found), self.shop.scenario)

    def by_run(self, found: CrewAnswer) -> ByRun:
        return {heads_listed(crew.heads): measures_by_run(crew.found, ("on_time_share",)) for crew in found.candidates}

    def enough(self) -> str:
        return f"until it is clear which crew is the cheapest that meets the target, at most {self.plan.at_most} a crew"

    def settled(self, found: CrewAnswer) -> bool:
        return not found.likely

    @cached_property
    def _known_notes(self) -> dict[str, list[str]]:
        """Notes by crew, once they were asked for: a look at a large shop on paper takes a second."""
        return {}

    def notes(self, found: CrewAnswer) -> dict[str, list[str]]:
        """For each crew that the answer names, what it asks to be careful about."""
        shop = self.changed.shop if self.changed else self.shop
        crews = [crew for crew in found.enough.values() if crew] + [crew for crew, _ in found.likely.values()]
        heads = {crew_of(shop.scenario, one.heads, self.scenario_file).name: one.heads for one in crews}
        for name in heads.keys() - self._known_notes.keys():
            self._known_notes[name] = crew_notes(shop, heads[name])
        return {name: self._known_notes[name] for name in heads}

    def document(self, found: CrewAnswer) -> Document:
        study, answer = found.candidates[0].found.scenario.study, self.answer(found)
        return {
            "scenario": self.scenario,
            "version": __version__,
            "seed": study.seed,
            "confidence": study.confidence_pct / 100,
            "target": found.plan.target,
            "tolerance": found.plan.tolerance,
            "sentence": answer.sentence,
            "below": answer.below,
            "settled": self.settled(found),
            "enough": {block: None if crew is None else crew.heads for block, crew in found.enough.items()},
            "likely": {
                block: {"heads": crew.heads, "replications_to_tell": runs}
                for block, (crew, runs) in found.likely.items()
            },
            "blocks": {
                block: {"heads": crew.heads, "on_time_share": bounds(found.on_time_in(crew, block))}
                for block, crew in ((block, found.told_of(block)) for block in found.enough)
            },
            "notes": self.notes(found),
            "crews": [_crew(crew) for crew in found.candidates],
        }


def heads_listed(heads: Mapping[str, int]) -> str:
    """`2 sewers, 1 packer`, by the ids of the crews."""
    return ", ".join(f"{count} {crew}" for crew, count in heads.items())


def _crew(crew: Candidate) -> dict[str, Any]:
    return {
        "heads": crew.heads,
        "pay_per_week": crew.pay_per_week,
        "margin_per_week": bounds(crew.found.interval("measures", "margin_per_week")),
        "seats_missing": [
            {"crews": list(short.crews), "places": list(short.places), "people": short.people, "seats": short.seats,
             "price": short.price}
            for short in crew.short_of_seats
        ],
        "on_time_share": bounds(crew.found.interval("measures", "on_time_share")),
        "replications": len(crew.found.rows),
        "meets": {block: verdict.meets for block, verdict in crew.verdicts.items()},
        "constraint": held_back_by(crew.found.constraint()),
    }  # fmt: skip
