"""The smallest crew that meets the on-time target, what it costs, and what holds the shop back then."""

from __future__ import annotations

from shopsim.figures import ALIKE, figure, percent
from shopsim.sentences.words import Answer, opening, spoken, weeks_text
from shopsim.shop.scenario import Scenario
from shopsim.studies.crew import WHOLE, Candidate, CrewAnswer


def crew_found(found: CrewAnswer) -> Answer:
    """The sentence about all weeks together; the table tells about blocks of them."""
    scenario = found.candidates[0].found.scenario
    return Answer(f"{_sentence(found, scenario)}.", _below(found, scenario))


def _sentence(found: CrewAnswer, scenario: Scenario) -> str:
    target = f"{found.plan.target * 100:g} % of orders out on time"
    enough = found.enough[WHOLE]
    if enough is not None:
        smaller = _next_smaller(found, enough)
        short = f"; {heads_text(smaller.heads)} would reach {_level(smaller)}" if smaller else ""
        reached = f"{_level_and_interval(enough)}{short}"
        return (
            f"{heads_text(enough.heads)} is the cheapest crew that sends {target} ({reached}), at "
            f"{_pay(enough, scenario)} a week in pay{_held_back(enough)}"
        )
    if WHOLE in found.likely:
        crew, runs = found.likely[WHOLE]
        seems = "may be the cheapest crew that sends" if crew.verdicts[WHOLE].mean >= found.plan.target else "may send"
        sure = next((crew for crew in found.candidates if crew.verdicts[WHOLE].meets), None)
        surely = f"; {heads_text(sure.heads)} is enough" if sure else ""
        return (
            f"{heads_text(crew.heads)} {seems} {target} ({_level_and_interval(crew)}), but that cannot be told from "
            f"{len(crew.found.rows)} replications; about {runs:,} would tell{surely}{_held_back(crew)}"
        )
    best = max(found.candidates, key=lambda crew: crew.found.interval("measures", "on_time_share").mean)
    return (
        f"No crew tried sends {target}; {heads_text(best.heads)} does best with "
        f"{_level_and_interval(best)}{_held_back(best)}"
    )


def _next_smaller(found: CrewAnswer, enough: Candidate) -> Candidate | None:
    """The dearest of the crews that cost less: the one that just misses."""
    at = found.candidates.index(enough)
    return found.candidates[at - 1] if at else None


def heads_text(heads: dict[str, int]) -> str:
    """`5 in sewers`, or for a grid `5 in sewers and 2 in packers`."""
    return " and ".join(f"{count} in {crew.replace('_', ' ')}" for crew, count in heads.items())


def _level(crew: Candidate) -> str:
    return f"{percent(crew.found.interval('measures', 'on_time_share')).mean} %"


def _level_and_interval(crew: Candidate) -> str:
    text = percent(crew.found.interval("measures", "on_time_share"))
    confidence = f"{crew.found.scenario.study.confidence_pct:g} % interval"
    return f"{text.mean} %" + (f", {confidence} {text.between}" if text.between not in ("", ALIKE) else "")


def _pay(crew: Candidate, scenario: Scenario) -> str:
    names = ("wages", "overtime_pay")
    pay = crew.found.each(lambda row: sum(row.money_per_week.get(name, 0.0) for name in names))
    return f"{figure(pay).mean} {scenario.money.currency}"


def _held_back(crew: Candidate) -> str:
    top = crew.found.constraint()
    if top is None:
        return ""
    name = spoken(crew.found.scenario, top[0])
    return f"; the shop is then held back most by {name} ({percent(top[1]).mean} % of the time)"


def _below(found: CrewAnswer, scenario: Scenario) -> str:
    study = scenario.study
    runs = sum(len(crew.found.rows) for crew in found.candidates)
    return (
        f"All {len(found.candidates)} crews are told rightly at once with {study.confidence_pct:g} % confidence, but "
        f"for those within {_points(found.plan.tolerance)} of the target; {runs} replications of "
        f"{weeks_text(study.weeks)} in all, {opening(scenario)}."
    )


def _points(share: float) -> str:
    return f"{share * 100:g} point{'s' if share != 0.01 else ''}"
