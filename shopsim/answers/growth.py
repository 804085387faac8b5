"""How much more the shop can take on, as it stands and with each change."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, ClassVar, Self

from rich.console import Console

from shopsim import __version__
from shopsim.answers.by_run import ByRun, measures_by_run
from shopsim.answers.care import caution_line, cautions_added
from shopsim.answers.drawn import Drawn, of_growth
from shopsim.answers.plain import bounds, typed, typed_pct
from shopsim.answers.question import (
    AS_IT_STANDS,
    FIRST_SHOWN,
    Changed,
    Document,
    FilesOf,
    Question,
    notes_of,
    option_of,
)
from shopsim.sentences import Answer
from shopsim.sentences.growing import grown
from shopsim.shop.shop_file import Shop
from shopsim.studies.demand_scaling import scaled
from shopsim.studies.growth import Growth, GrowthPlan, OptionGrowth, growth
from shopsim.studies.runner import Runner
from shopsim.terminal.growth_page import print_growth

_MEASURES = ("on_time_share", "lead_time_p50_h", "lead_time_p90_h", "dispatched_m2_per_week")


def more_demand_notes(shop: Shop, factor: float) -> list[str]:
    """What a shop asks to be careful about on top at a multiple of today's demand; nothing where that is no more.

    Raises ScenarioError for a demand that cannot be multiplied.
    """
    if factor <= 1:
        return []
    more = scaled(option_of(AS_IT_STANDS, shop), factor)
    found = cautions_added(shop, Shop(more.scenario, more.order_lines))
    return [f"At {factor * 100:g} % of today's demand: {caution_line(each)}" for each in found]


@dataclass(frozen=True, kw_only=True)
class RoomToGrow(Question[Growth]):
    """At which demand base and changes break; settled where every break is known."""

    kind: ClassVar = "growth"
    changed: tuple[Changed, ...] = ()
    plan: GrowthPlan

    @property
    def in_rounds(self) -> bool:
        return True

    def options(self) -> tuple[Changed, ...]:
        return self.changed

    def in_words(self) -> str:
        beside = f", and with each of {len(self.changed)} changes" if self.changed else ""
        return f"How much more can the shop take on before it breaks, as it stands{beside}?"

    def command(self, files: FilesOf) -> list[str]:
        plan = self.plan
        precision = ["--precision", typed(plan.precision_pct)] if plan.precision_pct else []
        return [
            "growth", self.scenario_file, *(files(one.what_ifs) for one in self.changed),
            "--demand", ",".join(typed_pct(factor) for factor in plan.factors),
            "--replications", str(plan.count), *precision, "--at-most", str(plan.at_most),
        ]  # fmt: skip

    def study(self, runner: Runner) -> Growth:
        return growth(runner, option_of(AS_IT_STANDS, self.shop), [one.option for one in self.changed], self.plan)

    def at_first(self) -> Self | None:
        few = self.plan.count <= FIRST_SHOWN
        return None if few else replace(self, plan=replace(self.plan, count=FIRST_SHOWN, precision_pct=None))

    def answer(self, found: Growth) -> Answer:
        return grown(found)

    def show(self, console: Console, found: Growth) -> None:
        print_growth(console, found, self.answer(found), self.notes())

    def notes(self) -> dict[str, list[str]]:
        """For each option what its files note and its shop asks to be careful about; of the base, at most demand."""
        return {AS_IT_STANDS: self._own_notes} | {one.name: notes_of(self.shop, one) for one in self.changed}

    @cached_property
    def _own_notes(self) -> list[str]:
        return more_demand_notes(self.shop, max(self.plan.factors))

    def pictures(self, found: Growth) -> Iterator[Drawn]:
        return of_growth(self.document(found))

    def by_run(self, found: Growth) -> ByRun:
        return {
            f"{each.name}, {factor * 100:g} % of today's demand": measures_by_run(rows, _MEASURES)
            for each in found.all
            for factor, rows in each.by_factor.items()
        }

    def enough(self) -> str:
        plan = self.plan
        if plan.precision_pct is None:
            return "as many as were asked for, at each demand"
        return f"until every break is known to ±{plan.precision_pct:g} % of today's demand, at most {plan.at_most}"

    def settled(self, found: Growth) -> bool:
        return found.settled

    def document(self, found: Growth) -> Document:
        """Demands are shares of today's."""
        study, answer, notes = self.shop.scenario.study, self.answer(found), self.notes()
        return {
            "scenario": self.scenario,
            "version": __version__,
            "seed": study.seed,
            "confidence": found.confidence_pct / 100,
            "sentence": answer.sentence,
            "below": answer.below,
            "settled": found.settled,
            "target": found.target_pct / 100,
            "options": {each.name: _option(each) | {"notes": notes.get(each.name, [])} for each in found.all},
        }


def _option(each: OptionGrowth) -> dict[str, Any]:
    root = each.breaks_at
    ends = {"mean": root.estimate, "low": root.low, "high": root.high}
    return {
        "today": each.today._asdict(),
        "order_weeks": each.weeks._asdict(),
        "breaks_at": {**ends, "replications": root.n},
        "headroom_pct": {end: each.headroom_pct(x) for end, x in ends.items()},
        "headroom_m2_per_week": {end: each.headroom_m2_per_week(x) for end, x in ends.items()},
        "later_than_base": None if each.later is None else bounds(each.later),
        "tried": list(root.tried),
        "held_back_by": each.held_back_by(),
        "curve": [
            {"demand": factor, "replications": len(rows.rows),
             **{name: bounds(rows.interval("measures", name)) for name in _MEASURES}}
            for factor, rows in each.by_factor.items()
        ],
    }  # fmt: skip
