"""What `check` finds without running the shop."""

from __future__ import annotations

import math
from collections.abc import Sequence

from shopsim.sentences.words import Answer
from shopsim.shop.names import in_words
from shopsim.shop.review.finding import Finding
from shopsim.shop.rough_cut import TIGHT, Load, RoughCut
from shopsim.shop.scenario import Scenario


def sound(scenario: Scenario, cut: RoughCut, findings: Sequence[Finding]) -> Answer:
    """What `check` says first: the file is sound, how much there is to look at; below, what is asked most of."""
    most = _most_asked(scenario, cut)
    return Answer(
        f"The file is sound; {_to_look_at(scenario, findings)}.", f"{most[0].upper()}{most[1:]}.{_keeps_up(cut)}"
    )


def _to_look_at(scenario: Scenario, findings: Sequence[Finding]) -> str:
    if not findings:
        return "on paper nothing in it calls for a second look"
    count = f"{len(findings)} things to look at" if len(findings) > 1 else "one thing to look at"
    first = findings[0]
    places = {**scenario.by_id("work_centres"), **scenario.by_id("calenders")}
    # Paths of values stay as they stand in the file.
    where = first.where if "." in first.where else in_words(first.where)
    where = _by_id(scenario, first.where) if first.where in places else where
    return f"{count}{', the first' if len(findings) > 1 else ''}: {where} {first.says}"


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


def _keeps_up(cut: RoughCut) -> str:
    if not cut.loads or any(max(load.by_week) > TIGHT for load in cut.loads):
        return ""
    return " Every place keeps up on paper, with at least 15 % to spare in its worst week."


def _of(scenario: Scenario, load: Load) -> str:
    if load.kind == "people":
        places = [_by_id(scenario, place) for place in load.places]
        return f"the people of {', '.join(places[:-1])} and {places[-1]} together"
    if load.kind == "print_room":
        return "the people watching the printers"
    name = _by_id(scenario, load.id)
    return f"the people at {name}" if load.limit == "people" else name


def _by_id(scenario: Scenario, place: str) -> str:
    """As the list below the sentence calls it, which says where in the file to look."""
    return in_words(place) if place in scenario.by_id("printers") else f"the {in_words(place)}"
