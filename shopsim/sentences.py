"""The answer in plain words, first thing a reader sees, never claiming more than the runs can tell."""

from __future__ import annotations

import math
from typing import NamedTuple

from shopsim.figures import ALIKE, figure, percent
from shopsim.shop.rough_cut import FULL, TIGHT, Load, RoughCut
from shopsim.shop.scenario import Scenario
from shopsim.studies.precision import interval, replications_for
from shopsim.studies.replicate import Replications

# A resource that is the constraint for less than this share of the time holds nothing back for long.
_OFTEN = 0.25


class Answer(NamedTuple):
    """The sentence itself, and the line below it: target, opening state, how many runs."""

    sentence: str
    below: str


def as_we_are(found: Replications) -> Answer:
    """How the shop does as it stands: on time, time to dispatch, what holds it back; then target and opening state."""
    sentence = f"{_on_time(found)}{_lead_time(found)}{_constraint(found)}."
    return Answer(sentence, " ".join(part for part in (_target(found), _runs(found)) if part))


def _on_time(found: Replications) -> str:
    share = found.interval("measures", "on_time_share")
    if share.n == 0:
        return "No order was due in the weeks studied"
    text = percent(share)
    if text.between == ALIKE:
        return f"On time {text.mean} % of orders in every run"
    return f"On time {text.mean} % of orders" + (f" ({_confidence(found)} {text.between})" if text.between else "")


def _lead_time(found: Replications) -> str:
    hours = found.interval("measures", "lead_time_p50_h")
    if hours.n == 0:
        return ", none was dispatched"
    in_days = hours.mean >= 24
    text = figure(hours, 1 / 24 if in_days else 1, least=0, digits_alone=1 if in_days else 0)
    between = f" ({text.between})" if text.between not in ("", ALIKE) else ""
    return f", half of them out within {text.mean} {'days' if in_days else 'hours'}{between}"


def _constraint(found: Replications) -> str:
    top = found.constraint()
    if top is None:
        return "; nothing was ever busy"
    name, share = top
    text = percent(share)
    often = f"constraint {text.mean} % of the time" + (f", {text.between}" if text.between not in ("", ALIKE) else "")
    if share.mean < _OFTEN:
        return f"; nothing holds the shop back for long (most often {spoken(found.scenario, name)}, {often})"
    rivals = [str(key) for key in found.keys("constraint") if found.interval("constraint", key).mean >= _OFTEN]
    rivals = [other for other in rivals if other != name and not _surely_more(found, name, other)]
    others = "".join(f" or {spoken(found.scenario, other)}" for other in rivals if len(found.rows) > 1)
    doubt = f"{others}, the runs cannot tell which" if others else ""
    return f"; the shop is held back most by {spoken(found.scenario, name)} ({often}){doubt}"


def _surely_more(found: Replications, one: str, other: str) -> bool:
    pairs = zip(found.values("constraint", one), found.values("constraint", other), strict=True)
    low = interval([a - b for a, b in pairs], found.scenario.study.confidence_pct).low
    return low is not None and low > 0


def _target(found: Replications) -> str:
    target_pct = found.scenario.study.on_time_target_pct
    values = found.values("measures", "on_time_share")
    share = found.interval("measures", "on_time_share")
    if share.n == 0:
        return ""
    goal = f"The target of {target_pct:g} % on time"
    if share.low is None or share.high is None:
        return f"Whether the target of {target_pct:g} % on time is met cannot be told from one replication."
    if share.low * 100 >= target_pct:
        return f"{goal} is met."
    if share.high * 100 < target_pct:
        return f"{goal} is missed."
    gap = abs(share.mean - target_pct / 100)
    needed = replications_for(values, gap, found.scenario.study.confidence_pct) if gap else None
    settle = f"; about {needed:,} would settle it" if needed else "; it lies too close to settle by more of them"
    return f"Whether the target of {target_pct:g} % on time is met cannot be told from {share.n} replications{settle}."


def _runs(found: Replications) -> str:
    count = len(found.rows)
    study = found.scenario.study
    runs = f"{count} replications" if count > 1 else "One replication, so there is no interval,"
    left_out = found.interval("measures", "on_time_share").left_out
    nothing = f" ({left_out} with no order due left out of the share)" if 0 < left_out < count else ""
    return f"{runs}{nothing} of {weeks_text(study.weeks)}, {opening(found.scenario)}."


def opening(scenario: Scenario) -> str:
    """How the shop stood when the weeks that count began."""
    if scenario.warm_up_min == 0:
        return "started empty: no order in work on the first day"
    return f"after a warm-up of {weeks_text(scenario.study.warm_up_weeks)}, which does not count"


def weeks_text(weeks: float) -> str:
    """`1 week`, `2.5 weeks`."""
    return f"{weeks:g} week{'s' if weeks != 1 else ''}"


def _confidence(found: Replications) -> str:
    return f"{found.scenario.study.confidence_pct:g} % interval"


def spoken(scenario: Scenario, name: str) -> str:
    """A place, machine or the people of a skill as said in a sentence: the id in words."""
    words = name.replace("_", " ").replace("-", " ")
    return words if name in scenario.by_id("printers") else f"the {words}"


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
    return " ".join(parts) or "Every place keeps up on paper, with 15 % to spare in its worst week."


def _of(scenario: Scenario, load: Load) -> str:
    if load.kind == "people":
        places = [spoken(scenario, place) for place in load.places]
        return f"the people of {', '.join(places[:-1])} and {places[-1]} together"
    if load.kind == "print_room":
        return "the people watching the printers"
    name = spoken(scenario, load.id)
    return f"the people at {name}" if load.limit == "people" else name
