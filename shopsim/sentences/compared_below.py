"""What stands below the sentence of a comparison: what would settle an open question, how many runs, how they began."""

from __future__ import annotations

from shopsim.measures.measure_names import wanted
from shopsim.sentences.turning_away import most_turned_away
from shopsim.sentences.words import called, opening, weeks_text
from shopsim.studies.comparison import Comparison
from shopsim.studies.precision import LEAST_PLANNED, more_to_settle


def below(found: Comparison) -> str:
    """The line below the sentence."""
    return " ".join(part for part in (_open_question(found), _runs(found)) if part)


def called_in(found: Comparison, name: str) -> str:
    """A change by its name, with what decides first where it lets printers run alone."""
    return called(name, found.options[name].scenario, found.base.scenario)


def _open_question(found: Comparison) -> str:
    """What would settle a difference that the runs cannot tell from none; nothing is planned from few runs."""
    texts = []
    for name, difference in found.deciding.items():
        step = difference.interval
        if step.sign or not step.half_width:
            continue
        if step.n < LEAST_PLANNED:
            few = f"{step.n} replications are too few to plan from; {3 * LEAST_PLANNED} are a start"
            texts.append(f"{called_in(found, name)}: {few}.")
            continue
        needed = more_to_settle(found.steps(name), found.each_pct(name))
        settle = f"about {needed:,} more replications would" if needed else "no number of runs worth doing would"
        texts.append(f"{called_in(found, name)}: {settle} settle whether it differs from the base.")
    return " ".join(texts)


def _runs(found: Comparison) -> str:
    study = found.base.scenario.study
    weeks = weeks_text(study.weeks)
    least = min(len(option.rows) for option in found.options.values())
    several = f"{found.runs}" if least == found.runs else f"{least} to {found.runs}"
    count = f"{several} replications of {weeks} each" if found.runs > 1 else f"One replication of {weeks}"
    # From few runs the factor is luck.
    factor = _least_saved(found) if least >= LEAST_PLANNED else ""
    # Which is best, what it does and what it leaves over each spend the whole chance of error.
    at_once = (
        " Intervals of each kind hold at once for all changes, what is said together does not."
        if (len(found.options) > 1 and found.runs > 1)
        else ""
    )
    # Runs that look calm by luck end such a study early (DEVELOPERS.md, studies: what trials with drawn values lost).
    until = (
        " They ended when the wanted precision was reached: such intervals hold less often than told, in "
        "trials 85 to 93 instead of 95 times in 100."
        if found.plan.stop == "precision" and found.settled
        else ""
    )
    away = most_turned_away([found.base, *found.options.values()])
    return f"{count}, {opening(found.base.scenario)}{factor}.{until}{at_once}{_judged_by(found, least)}{away}"


def _judged_by(found: Comparison, least: int) -> str:
    """By which runs the best of several is judged, where some have more than others and the table tells them all."""
    if least == found.runs or not wanted(found.measure):
        return ""
    return f" Which of them does best is judged by the first {least} replications, which all have."


def _least_saved(found: Comparison) -> str:
    """How many times as many runs the worst known difference would take with orders of its own, if surely more."""
    steps = found.deciding.values()
    known = [(each.variance_reduction, *each.reduction_between) for each in steps
             if each.variance_reduction is not None and each.reduction_between is not None]  # fmt: skip
    if not known:
        return ""
    factor, low, high = min(known)
    if low <= 1:
        return ""
    roughly, least, most = (f"{float(f'{each:.2g}'):g}" for each in (factor, low, high))
    return f"; the same orders for all saved a factor of {roughly} ({least} to {most})"
