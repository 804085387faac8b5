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
    target = f"{found.plan.target * 100:g} %"
    enough = found.enough[WHOLE]
    if enough is not None:
        smaller = _next_smaller(found, enough)
        short = f"; {heads_text(smaller.heads, scenario)} would reach {_level(smaller)}" if smaller else ""
        return (
            f"{heads_text(enough.heads, scenario)} {_are(enough)} the cheapest crew that sends {target} of orders out "
            f"on time ({_level_and_interval(enough)}{short}), at {_pay(enough, scenario)} a week in pay"
            f"{_held_back(enough)}"
        )
    if WHOLE in found.open_questions:
        doubtful = next(crew for crew in found.candidates if crew.verdicts[WHOLE].meets is None)
        sure = next((crew for crew in found.candidates if crew.verdicts[WHOLE].meets), None)
        surely = f"; {heads_text(sure.heads, scenario)} {_are(sure)} enough" if sure else ""
        return (
            f"It cannot be told yet whether {heads_text(doubtful.heads, scenario)} send {target} of orders out on time "
            f"({_level_and_interval(doubtful)}){surely}"
        )
    best = max(found.candidates, key=lambda crew: crew.found.interval("measures", "on_time_share").mean)
    return (
        f"No crew tried sends {target} of orders out on time; {heads_text(best.heads, scenario)} do best with "
        f"{_level_and_interval(best)}{_held_back(best)}"
    )


def _next_smaller(found: CrewAnswer, enough: Candidate) -> Candidate | None:
    """The dearest of the crews that cost less: the one that just misses."""
    at = found.candidates.index(enough)
    return found.candidates[at - 1] if at else None


def _are(crew: Candidate) -> str:
    return "is" if sum(crew.heads.values()) == 1 else "are"


def heads_text(heads: dict[str, int], scenario: Scenario) -> str:
    """`5 in crew sewers`, or for a grid `5 in crew sewers and 2 in crew packers`."""
    names = {crew.id: crew.name or crew.id.replace("_", " ") for crew in scenario.crews}
    return " and ".join(f"{count} {names[crew]}" for crew, count in heads.items())


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
    return (
        f"; then {spoken(crew.found.scenario, top[0])} holds the shop back most ({percent(top[1]).mean} % of the time)"
    )


def _below(found: CrewAnswer, scenario: Scenario) -> str:
    study = scenario.study
    runs = sum(len(crew.found.rows) for crew in found.candidates)
    return (
        f"All {len(found.candidates)} crews are told rightly at once with {study.confidence_pct:g} % confidence, but "
        f"for those within {found.plan.tolerance * 100:g} points of the target; {runs} replications of "
        f"{weeks_text(study.weeks)} in all, {opening(scenario)}."
    )
