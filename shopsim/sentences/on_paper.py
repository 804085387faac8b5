"""What `check` finds without running the shop."""

from __future__ import annotations

import math

from shopsim.sentences.words import Answer, spoken
from shopsim.shop.rough_cut import FULL, TIGHT, Load, RoughCut
from shopsim.shop.scenario import Scenario


def sound(scenario: Scenario, cut: RoughCut, warnings: int) -> Answer:
    """What `check` says first: the file is sound, and what the orders ask most of."""
    unusual = f", with {warnings} unusual value{'s' if warnings != 1 else ''}" if warnings else ""
    return Answer(f"The file is sound{unusual}; {_most_asked(scenario, cut)}.", _keeps_up(scenario, cut))


def _most_asked(scenario: Scenario, cut: RoughCut) -> str:
    if not cut.loads:
        return "no work is asked of anybody in the weeks studied"
    most = max(cut.loads, key=lambda load: load.share)
    if math.isinf(most.share):
        return f"work is asked of {_of(scenario, most)}, but nobody is ever there for it"
    peak = max(most.by_week)
    text = f"the orders ask most of {_of(scenario, most)}: {most.share * 100:.0f} % of the time there is"
    if len(cut.mondays) == 1:
        return text
    # A week in which nobody is there has no share; its orders wait for the next.
    size = f"{peak * 100:.0f} %" if math.isfinite(peak) else "work but nobody there"
    return f"{text}, {size} in the week of {cut.mondays[most.peak].isoformat()}"


def _keeps_up(scenario: Scenario, cut: RoughCut) -> str:
    if cut.hopeless:
        names = ", ".join(_of(scenario, load) for load in cut.hopeless)
        return f"Can never keep up on paper: {names}."
    full = [load for load in cut.loads if max(load.by_week) > FULL]
    tight = [load for load in cut.loads if load not in full and max(load.by_week) > TIGHT]
    parts = []
    if full:
        parts.append(f"More than full in the worst week: {', '.join(_of(scenario, load) for load in full)}.")
    if tight:
        parts.append(f"Over 85 % in the worst week: {', '.join(_of(scenario, load) for load in tight)}.")
    return " ".join(parts) or "Every place keeps up on paper, with at least 15 % to spare in its worst week."


def _of(scenario: Scenario, load: Load) -> str:
    if load.kind == "people":
        places = [spoken(scenario, place) for place in load.places]
        return f"the people of {', '.join(places[:-1])} and {places[-1]} together"
    if load.kind == "print_room":
        return "the people watching the printers"
    name = spoken(scenario, load.id)
    return f"the people at {name}" if load.limit == "people" else name
