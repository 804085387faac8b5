"""Words of the flow of a shop: who works where, how lines are ranked, what a route is."""

from __future__ import annotations

from shopsim.shop.printers import OfflineFixation
from shopsim.shop.products import Cut, Eyelets, FrameFit, Inspect, Iron, Pack, Print, Product, Rest, Rods, Sew, Work
from shopsim.shop.route_times import printers_for
from shopsim.shop.scenario import Scenario

AtPlace = Cut | Sew | Eyelets | Iron | Rods | FrameFit | Inspect | Pack | Work
"""A step that people do at a place."""
_QUEUES = {
    "first_come": "first come", "due_date": "by due date", "shortest": "shortest first", "longest": "longest first",
    "same_set_up": "same set-up first",
}  # fmt: skip


def name_of(own_id: str) -> str:
    """An id in words."""
    return own_id.replace("_", " ")


def size_words(count: int, one: str) -> str:
    """`1 seat`, `4 seats`."""
    return f"{count} {one}{'s' if count != 1 else ''}"


def queue_words(rule: str) -> str:
    """How a place ranks what waits."""
    return _QUEUES[rule]


def print_queue(scenario: Scenario) -> str:
    """How work comes to the printers."""
    return f"ganged by cloth, {_QUEUES[scenario.policies.printing.queue_rule]}"


def hands_of(scenario: Scenario, skill: str) -> tuple[str, ...]:
    """Crews able to work with a skill, those first whose home it is: `3 sewers`."""
    able = [crew for crew in scenario.crews if skill in crew.skills and crew.count]
    ranked = sorted(able, key=lambda crew: list(crew.skills).index(skill))
    return tuple(f"{crew.count} {name_of(crew.id)}" for crew in ranked)


def step_name(step: AtPlace) -> str:
    """What is done at a step."""
    if isinstance(step, Work):
        return step.name or "work"
    return step.op.replace("_", " ")


def route_words(scenario: Scenario, product: Product) -> str:
    """A route in words: `print in mode flag at printer 1, cut at hot knife, ...`."""
    told = []
    for step in product.route:
        if isinstance(step, Print):
            printers = printers_for(scenario, product)
            told.append(f"print in mode {name_of(step.mode)} at {' or '.join(name_of(each.id) for each in printers)}")
            drums = [each.fixation.calender for each in printers if isinstance(each.fixation, OfflineFixation)]
            told += [f"fix at {name_of(drum)}" for drum in dict.fromkeys(drums)]
        elif isinstance(step, Rest):
            told.append(f"rest, {step.minutes.describe()} min")
        else:
            share_pct = getattr(step, "share_pct", 100)
            part = f", {share_pct:g} % of pieces" if share_pct < 100 else ""
            told.append(f"{step_name(step)} at {name_of(step.at)}{part}")
    return "; ".join(told)
