"""What happened against the runs of the model, on a terminal."""

from __future__ import annotations

from rich.console import Console

from shopsim.figures import ALIKE, NOTHING, decimals, figure, percent, plain
from shopsim.measures.lead_times import LEAD_SHARES
from shopsim.sentences import Answer
from shopsim.sentences.matching import (
    difference_text,
    figure_unit,
    figure_words,
    level_text,
    moved_text,
    short_words,
)
from shopsim.studies.match import Match
from shopsim.studies.match_figures import LEAD_CURVE, ON_TIME
from shopsim.studies.match_luck import Level, Shape, weeks_to_tell
from shopsim.studies.precision import Interval
from shopsim.terminal.tables import print_table, print_text

_OUTCOMES = {"agrees": "agrees", "differs": "DIFFERS", "cannot tell": "cannot tell"}


def print_match(console: Console, found: Match, answer: Answer) -> None:
    """The sentence, every figure with its interval and outcome, lead times and weeks, causes, and what was left out."""
    print_text(console, answer.sentence)
    print_text(console, answer.below)
    judged = found.judged
    sure = f"{judged.confidence_pct:g} % interval"
    print_table(
        console, "What happened against the runs",
        ("", "happened", "runs", "difference", sure, "enough", "outcome", "weeks"),
        [_level(each, found.record.weeks) for each in judged.levels],
        "difference: what happened less the mean of the runs, in points for shares; its interval allows for the luck "
        "of the weeks on record. enough: good enough if it surely lies within this. weeks: about so many on record "
        "would tell.",
        texts=(0, 6), wraps=(0,),
    )  # fmt: skip
    print_table(
        console, "Shapes: how far off on average", ("", "off", "by luck up to", "enough", "outcome"),
        [_shape(each) for each in judged.shapes], texts=(0, 4), wraps=(0,),
    )  # fmt: skip
    for shape in judged.shapes:
        _print_shape(console, shape)
    _print_causes(console, found)
    for note in found.record.notes:
        console.print()
        print_text(console, f"Note: {note}.")


def _level(one: Level, weeks: int) -> tuple[str, ...]:
    share = one.name == ON_TIME
    text = difference_text(one)
    between = NOTHING if text.between in ("", ALIKE) else text.between
    happened, mean = (level_text(one.name, value) for value in (one.record, one.mean))
    good = f"±{plain(one.tolerance * (100 if share else 1))}"
    needed = weeks_to_tell(one, weeks) if one.outcome == "cannot tell" else None
    told = NOTHING if needed is None else plain(float(needed))
    return short_words(one.name), happened, mean, text.mean, between, good, _OUTCOMES[one.outcome], told


def _shape(one: Shape) -> tuple[str, ...]:
    good = f"±{plain(one.tolerance)}"
    return short_words(one.name), plain(one.distance), plain(one.luck), good, _OUTCOMES[one.outcome]


def _print_shape(console: Console, one: Shape) -> None:
    lead = one.name == LEAD_CURVE
    rows = []
    for i, happened in enumerate(one.record.tolist()):
        runs = Interval(
            float(one.mean[i]), float(one.low[i]), float(one.high[i]), float(one.high[i] - one.low[i]) / 2, 2
        )
        text = figure(runs, least=0, digits_least=min(1, decimals(plain(happened))))
        # Every other share says as much on half the paper.
        if lead and i % 2 == 0:
            continue
        point = f"{percent(Interval(LEAD_SHARES[i], None, None, None, 1)).mean} %" if lead else str(i + 1)
        outside = "" if runs.low is not None and runs.low <= happened <= (runs.high or 0.0) else "outside"
        rows.append((point, plain(happened), text.mean, text.between, outside))
    name = figure_words(one.name)
    print_table(
        console, f"{name[0].upper()}{name[1:]}, {figure_unit(one.name)}",
        ("orders" if lead else "week", "happened", "runs", "19 of 20 runs", ""), rows, texts=(0, 4),
    )  # fmt: skip


def _print_causes(console: Console, found: Match) -> None:
    causes = found.causes
    if causes is None or not causes.found:
        return
    likely = {cause.name for cause in causes.likeliest}
    rows = [
        (
            moved_text(each),
            f"{causes.differ - each.still_differ} of {causes.differ}",
            "likely" if each.name in likely else "",
        )
        for each in causes.found
    ]
    print_table(
        console, "Inputs moved to where the gap closes best", ("input", "no longer differ", ""), rows,
        f"{causes.tried} inputs were moved one at a time; these close the gap best, the best first. Others that were "
        "not moved, or several together, may be the cause.", texts=(0, 2), wraps=(0,),
    )  # fmt: skip
