"""What the answer hangs on, on a terminal: the sentence, then inputs from the one that matters most."""

from __future__ import annotations

import math

from rich.console import Console

from shopsim.figures import ALIKE, figure, with_sign
from shopsim.measures.measure_names import scale_of
from shopsim.sentences import Answer
from shopsim.sentences.comparison import measure_words
from shopsim.sentences.doubting import level, step, unit_of_steps
from shopsim.studies.morris import Screened
from shopsim.studies.sensitivity import Sensitivity
from shopsim.studies.sobol import Index
from shopsim.terminal.tables import print_table, print_text

_BAR = 20
# Narrower consoles have no room for bars beside the names.
_WIDE = 110


def print_sensitivity(console: Console, found: Sensitivity, answer: Answer) -> None:
    """Print the whole page to a console."""
    print_text(console, answer.sentence)
    print_text(console, answer.below)
    if found.bars:
        _print_bars(console, found)
    if found.screened:
        _print_screened(console, found)
    if found.shares:
        _print_shares(console, found)
    _print_doubt(console, found)


def _names(found: Sensitivity, i: int) -> tuple[str, str, str]:
    one = found.ranges[i]
    # Long paths are broken at their points.
    return one.given.path.replace(".", ". "), f"{one.now:g}", f"{one.given.low:g} to {one.given.high:g}"


def _print_bars(console: Console, found: Sensitivity) -> None:
    measure = found.plan.measure
    ends = [end.mean for bar in found.bars for end in (bar.at_low, bar.at_high)]
    most = max((abs(end) for end in ends if not math.isnan(end)), default=0.0) or 1.0
    wide = console.width >= _WIDE
    rows = []
    for i in found.ranking():
        bar = found.bars[i]
        texts = [step(end, measure) for end in (bar.at_low, bar.at_high, bar.swing)]
        between = "" if texts[2].between == ALIKE else texts[2].between
        drawn = [_drawn(bar.at_low.mean / most, bar.at_high.mean / most)] if wide else []
        rows.append((*_names(found, i), texts[0].mean, texts[1].mean, between, *drawn))
    confidence = f"high less low, {found.base.scenario.study.confidence_pct:g} %"
    print_table(
        console, f"Change of {measure_words(measure)} against today, {unit_of_steps(measure)}, one input at a time",
        ("", "now", "range", "at low", "at high", confidence, "")[: 7 if wide else 6], rows,
        _untold(found).strip(), texts=(6,), bars="The bar: - at low, = at high, | today." if wide else "",
    )  # fmt: skip


def _drawn(low: float, high: float) -> str:
    """Both ends of an input as a bar around today, as shares of the longest."""
    half = _BAR // 2
    low, high = (0.0 if math.isnan(end) else end for end in (low, high))
    cells = [" "] * (2 * half + 1)
    for end, mark in ((low, "-"), (high, "=")):
        reach = round(abs(end) * half)
        for cell in range(1, reach + 1):
            cells[half + cell if end > 0 else half - cell] = mark
    cells[half] = "|"
    return "".join(cells).rstrip()


def _print_screened(console: Console, found: Sensitivity) -> None:
    scale = scale_of(found.plan.measure)
    rows = []
    for i in found.ranking():
        one = found.screened[i]
        text = figure(one.mean_absolute, scale, least=0)
        between = "" if text.between == ALIKE else text.between
        told = "" if math.isnan(one.luck) else f"{one.luck * scale:.2g}"
        rows.append((*_names(found, i), text.mean, between, told, with_sign(f"{one.mean * scale:.3g}"),
                     f"{_spread(one) * scale:.3g}"))  # fmt: skip
    measure, confidence_pct = found.plan.measure, found.base.scenario.study.confidence_pct
    print_table(
        console, f"Effects on {measure_words(measure)} over a whole range, {unit_of_steps(measure)}",
        ("", "now", "range", "mean size", f"{confidence_pct:g} %", "luck", "mean", "deviation"), rows,
        "luck: the mean size that luck alone would show. deviation: how much the effect depends on where inputs stand."
        f"{_untold(found)}",
    )  # fmt: skip


def _spread(one: Screened) -> float:
    """The deviation of effects, without what rounding leaves of 0."""
    return 0.0 if one.deviation <= 1e-9 * one.mean_absolute.mean else one.deviation


def _print_shares(console: Console, found: Sensitivity) -> None:
    rows = []
    for i in found.ranking():
        one = found.shares[i]
        rows.append((*_names(found, i), *_share(one.first), *_share(one.total)))
    print_table(
        console, f"Shares of the variance of {measure_words(found.plan.measure)}, %",
        ("", "now", "range", "alone", "interval", "with others", "interval"), rows,
        f"Shares with others may add up to more than 100.{_untold(found)}",
    )  # fmt: skip


def _share(index: Index) -> tuple[str, str]:
    low, middle, high = (f"{min(1.0, max(0.0, x)) * 100:.0f}" for x in (index.low, index.estimate, index.high))
    return middle, f"{low} to {high}"


def _untold(found: Sensitivity) -> str:
    count = sum(not found.matters(i) for i in range(len(found.ranges)))
    if count == 1:
        return " The last one cannot be told from luck and is not ranked."
    return f" The last {count} cannot be told from luck and are not ranked." if count else ""


def _print_doubt(console: Console, found: Sensitivity) -> None:
    texts = [level(each, found.plan.measure) for each in (found.without_doubt, found.with_doubt)]
    rows = [
        (words, text.mean, "" if text.between == ALIKE else text.between)
        for words, text in zip(("luck of the runs alone", "and doubt about the inputs"), texts, strict=True)
    ]
    confidence = f"{found.base.scenario.study.confidence_pct:g} % interval"
    print_table(console, f"What is known of {measure_words(found.plan.measure)}", ("", "mean", confidence), rows)
