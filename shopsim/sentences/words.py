"""Words that several sentences share."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from shopsim.figures import ALIKE, percent, signed
from shopsim.measures.active_periods import PEOPLE
from shopsim.shop.names import in_words, names_of, quoted, told
from shopsim.shop.scenario import Scenario
from shopsim.studies.order_weeks import OrderWeeks
from shopsim.studies.precision import LEAST_PLANNED, Interval, interval, more_to_settle
from shopsim.studies.replicate import Replications

OR_OTHERS = "joined by “or” where the runs cannot tell which."
"""What `constraints_told` means, for the note below a table."""


class Answer(NamedTuple):
    """The sentence itself, and the line below it: target, opening state, how many runs."""

    sentence: str
    below: str


def would_settle(values: Sequence[float], confidence_pct: float, what: str, away_from: float = 0.0) -> str:
    """How many more replications would settle a question that these leave open."""
    if len(values) < LEAST_PLANNED:
        return f"{len(values)} replications are too few to plan from; {3 * LEAST_PLANNED} are a start. "
    needed = more_to_settle(values, confidence_pct, away_from)
    runs = f"About {needed:,} more replications would" if needed else "No number of replications worth doing would"
    return f"{runs} settle {what}. "


def opening(scenario: Scenario) -> str:
    """How the shop stood when the weeks that count began."""
    if scenario.warm_up_min == 0:
        return "started empty: no order in work on the first day"
    return f"after a warm-up of {weeks_text(scenario.study.warm_up_weeks)}, which does not count"


def weeks_text(weeks: float) -> str:
    """`1 week`, `2.5 weeks`."""
    return f"{weeks:g} week{'s' if weeks != 1 else ''}"


def no_new_orders(weeks: OrderWeeks) -> str:
    """`the study ends with 3 weeks without new orders`; empty where orders come in all the time."""
    ends = [
        f"{word} with {weeks_text(idle)}" for word, idle in (("begins", weeks.before), ("ends", weeks.after)) if idle
    ]
    return f"the study {listed(ends)} without new orders" if ends else ""


def listed(names: Sequence[str]) -> str:
    """`a`, `a and b`, `a, b and c`."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def called(name: str, changed: Scenario, base: Scenario) -> str:
    """The name of a change; one that lets printers run alone is never named without what decides first."""
    alone, before = ({p.id for p in each.printers if p.unattended_running} for each in (changed, base))
    caution = " (a hot machine with nobody there: SAF-08 decides first)" if alone - before else ""
    return f"{quoted(name)}{caution}"


def spoken(scenario: Scenario, name: str) -> str:
    """A place, a machine, or people as said in a sentence: by name, else the id in words; people by their crews."""
    skill = name.removesuffix(PEOPLE)
    if skill != name:
        crews = [told(scenario, crew.id) for crew in scenario.crews if crew.home_skill == skill]
        return f"the people of crew{'s' if len(crews) > 1 else ''} {listed(crews)}"
    alone = name in scenario.by_id("printers") or name in names_of(scenario)
    return told(scenario, name) if alone else f"the {in_words(name)}"


def surely_most(found: Replications, one: str) -> bool:
    """Whether one resource surely is the constraint for more of the time than any other."""
    return all(surely_more(found, one, str(other)) for other in found.keys("constraint") if other != one)


def held_back(found: Replications, name: str, then: bool = True) -> str:
    """`is then held back most by printer 1`, or that it may be where the runs cannot tell it from another."""
    sure = len(found.rows) > 1 and surely_most(found, name)
    after = " then" if then else ""
    return f"{f'is{after}' if sure else f'may{after} be'} held back most by {spoken(found.scenario, name)}"


def constraints_told(found: Replications, with_share: bool = False) -> str:
    """What holds the shop back most, for a cell of a table; both of two that the runs cannot tell apart.

    `printer 1 or the people of crew sewers`, `printer 1, 40 % or …` with how much of the time, `printer 1 or 2 others`.
    Empty where nothing ever did.
    """
    top = found.constraint()
    if top is None:
        return ""
    shares = {name: found.interval("constraint", name) for name in map(str, found.keys("constraint"))}
    rivals = [name for name, share in shares.items()
              if name != top[0] and share.mean > 0 and not surely_more(found, top[0], name)]  # fmt: skip
    rivals.sort(key=lambda name: -shares[name].mean)
    named = [
        f"{spoken(found.scenario, name)}{f', {percent(shares[name]).mean} %' if with_share else ''}"
        for name in (top[0], *(rivals if len(rivals) == 1 else ()))
    ]
    others = [f"{len(rivals)} others"] if len(rivals) > 1 else []
    return " or ".join(named + others)


def often(share: Interval) -> str:
    """`40 % of the time, 35 to 45`."""
    text = percent(share)
    return f"{text.mean} % of the time" + (f", {text.between}" if text.between not in ("", ALIKE) else "")


def surely_more(found: Replications, one: str, other: str) -> bool:
    """Whether one resource surely is the constraint for more of the time than another."""
    pairs = zip(found.values("constraint", one), found.values("constraint", other), strict=True)
    return interval([a - b for a, b in pairs], found.scenario.study.confidence_pct).sign > 0


def more_or_less(step: Interval, unit: str = "") -> str:
    """`102 CU more` or `102 CU less`; empty where the runs cannot tell the step from none."""
    if not step.sign:
        return ""
    amount = signed(step).mean.lstrip("+−")
    return " ".join(word for word in (amount, unit, "more" if step.sign > 0 else "less") if word)
