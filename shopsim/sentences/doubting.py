"""Which of the inputs somebody is unsure of the answer hangs on, and what doubt about them makes of it."""

from __future__ import annotations

import math

from shopsim.figures import ALIKE, Figure, figure, measured, signed
from shopsim.measures.measure_names import is_share, scale_of
from shopsim.sentences.comparison import measure_words, unit_words
from shopsim.sentences.words import Answer, listed, opening, weeks_text
from shopsim.studies.precision import Interval
from shopsim.studies.sensitivity import DOUBT_POINTS, Sensitivity
from shopsim.studies.sobol import Index

_METHODS = {
    "bars": "each input alone at both ends of its range",
    "morris": "{0} trajectories through all ranges (Morris), an effect is the change over a whole range, and {1} "
    "points that lie in the ranges as the inputs do, for the interval with doubt (Latin hypercube)",
    "sobol": "{0} base samples of all ranges (Sobol); intervals by bootstrap",
}
# So many inputs are named that may all matter most.
_MOST_NAMED = 2


def hangs_on(found: Sensitivity) -> Answer:
    """The input that matters most, as far as the runs can tell, and the answer with doubt beside the one without."""
    return Answer(f"{_most(found)}{_nothing(found)}. {_with_doubt(found)}.", _below(found))


def level(number: Interval, measure: str) -> Figure:
    """A value of a measure in words, without its unit."""
    return measured(number, measure, 1)


def step(number: Interval, measure: str) -> Figure:
    """A difference in a measure in words, without its unit."""
    return signed(number, scale_of(measure))


def unit_of_levels(measure: str) -> str:
    """`%` for shares; empty for counts."""
    return "%" if is_share(measure) else unit_words(measure)


def unit_of_steps(measure: str) -> str:
    """`points` for shares."""
    return "points" if is_share(measure) else unit_words(measure)


def _most(found: Sensitivity) -> str:
    what = _opening_word(measure_words(found.plan.measure))
    if not found.settled:
        return f"{what}: none of the inputs in doubt can be told from the luck of the runs"
    first = found.ranking()[0]
    names = [found.ranges[i].given.path for i in (first, *found.rivals())]
    if len(names) == 1:
        return f"{what} hangs most on {names[0]}{_how(found, first)}"
    more = len(names) - _MOST_NAMED
    last = f"{more} others" if more > 1 else names[-1]
    others = ", ".join(names[:_MOST_NAMED] if more > 1 else names[:-1])
    return f"{what} hangs most on {others} or {last}, the runs cannot tell which{_how(found, first)}"


def _opening_word(words: str) -> str:
    return words[0].upper() + words[1:]


def _how(found: Sensitivity, i: int) -> str:
    """What the first input does, in the words of the method."""
    measure, given = found.plan.measure, found.ranges[i].given
    unit, scale = unit_of_steps(measure), scale_of(measure)
    about = f"{given.path} " if found.rivals() else ""
    if found.bars:
        text = step(found.bars[i].swing, measure)
        moved = f"from {given.low:g} to {given.high:g}: {text.mean} {unit}".rstrip()
        return f" ({about}{moved}{_sure(found, text)})"
    if found.screened:
        text = figure(found.screened[i].mean_absolute, scale, least=0)
        moved = f"moves it by {text.mean} {unit}".rstrip()
        luck = "" if math.isnan(found.screened[i].luck) else f"; luck alone would show {_luck(found, i)}"
        return f" ({about or 'which '}{moved} over its range{_sure(found, text)}{luck})"
    low, share, high = (max(0.0, min(1.0, x)) * 100 for x in _ends(found.shares[i].total))
    confidence = f"{found.base.scenario.study.confidence_pct:g} % interval"
    return f" ({about}{share:.0f} % of its variance, {confidence} {low:.0f} to {high:.0f})"


def _luck(found: Sensitivity, i: int) -> str:
    return f"{found.screened[i].luck * scale_of(found.plan.measure):.2g}"


def _ends(index: Index) -> tuple[float, float, float]:
    return index.low, index.estimate, index.high


def _sure(found: Sensitivity, text: Figure) -> str:
    confidence = f"{found.base.scenario.study.confidence_pct:g} % interval"
    return f", {confidence} {text.between}" if text.between not in ("", ALIKE) else ""


def _nothing(found: Sensitivity) -> str:
    if not found.settled:
        return ""
    names = [one.given.path for i, one in enumerate(found.ranges) if not found.matters(i)]
    if not names:
        return ""
    which = listed(names) if len(names) <= _MOST_NAMED else f"{len(names)} of {len(found.ranges)} inputs"
    return f"; {which} cannot be told from luck"


def _with_doubt(found: Sensitivity) -> str:
    measure = found.plan.measure
    confidence = f"{found.base.scenario.study.confidence_pct:g} % interval"
    sure, doubt = level(found.without_doubt, measure), level(found.with_doubt, measure)
    unit = " %" if is_share(measure) else f" {unit_words(measure)}".rstrip()
    first = f" ({confidence} {sure.between})" if sure.between not in ("", ALIKE) else ""
    then = f" ({doubt.between})" if doubt.between not in ("", ALIKE) else ""
    return f"As the file has it, it is {sure.mean}{unit}{first}; with doubt about the inputs {doubt.mean}{unit}{then}"


def _below(found: Sensitivity) -> str:
    plan, study = found.plan, found.base.scenario.study
    size = {"bars": 0, "morris": plan.trajectories, "sobol": plan.base_samples}[plan.method]
    points, how = plan.points(len(found.ranges)), _METHODS[plan.method].format(size, DOUBT_POINTS)
    which = "the same" if plan.method == "bars" else "for each of these its own"
    same = f"{which} {plan.count} replication{'s' if plan.count > 1 else ''}"
    alone = "" if plan.count > 1 else (
        " With one replication at a point luck cannot be told from inputs, and the interval with doubt holds both."
    )  # fmt: skip
    return (
        f"Found with {how}: {points} shops, {same} of {weeks_text(study.weeks)}, {opening(found.base.scenario)}. What "
        f"is told from luck is told of all inputs at once; intervals hold each on its own.{_no_shares(found)}{alone}"
    )


def _no_shares(found: Sensitivity) -> str:
    """Why there is no table of shares."""
    plan = found.plan
    runs = f"{plan.count} run{'s' if plan.count > 1 else ''}"
    return {
        None: "",
        "unknown": " No shares can be told: some shops had nothing to measure.",
        "alike": " There are no shares to tell: all shops gave the same.",
        "luck": f" No shares can be told: {plan.base_samples} base samples × {runs} are too few; luck makes all of the "
        "scatter.",
    }[found.no_shares]
