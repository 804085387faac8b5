"""What an investment is worth, on a terminal: the sentence, cash year by year, the gain's parts, spreads, tornado."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from rich.console import Console

from shopsim.figures import figure, money
from shopsim.sentences import Answer
from shopsim.sentences.paying_words import INPUT_WORDS, PART_WORDS, quantile
from shopsim.shop.names import quoted
from shopsim.studies.cash_flow import PARTS, Floats
from shopsim.studies.payback import Payback
from shopsim.studies.precision import interval
from shopsim.studies.worth import Worth
from shopsim.terminal.tables import print_notes, print_table, print_text

_SHARES = (0.1, 0.5, 0.9)
_BAR = 24


def print_payback(console: Console, found: Payback, answer: Answer, notes: Sequence[str] = ()) -> None:
    """Print the whole page to a console; `notes` tells what to be careful about."""
    print_text(console, answer.sentence)
    print_text(console, answer.below)
    _print_gain(console, found)
    _print_flows(console, found)
    _print_spreads(console, found)
    _print_tornado(console, found)
    print_notes(console, {found.option.name: notes})


def _print_gain(console: Console, found: Payback) -> None:
    same, won = found.curves.parts(found.plan.won)
    confidence_pct = found.base.scenario.study.confidence_pct
    rows = []
    for i, name in enumerate(PARTS):
        if same[:, i].any() or won[:, i].any():
            text = figure(interval((same + won)[:, i].tolist(), confidence_pct))
            rows.append((PART_WORDS[name], text.mean, text.between, *_of_it(won[:, i], found)))
    total = figure(found.gain_per_year)
    rows.append(("Gain in all", total.mean, total.between, *_of_it(won.sum(axis=1), found)))
    currency = found.base.scenario.money.currency
    demand = "today's demand and the orders won" if found.plan.won else "today's demand"
    print_table(
        console, f"What {quoted(found.option.name)} leaves over a year at {demand}, {currency}",
        ("", "mean", f"{confidence_pct:g} % interval", "of it orders won")[: 4 if found.plan.won else 3], rows,
        "What costs more is negative. Write-off is no cash.",
    )  # fmt: skip


def _of_it(won: Floats, found: Payback) -> tuple[str, ...]:
    """The mean that orders won bring, where any are."""
    return (figure(interval(won.tolist(), found.base.scenario.study.confidence_pct)).mean,) if found.plan.won else ()


def _print_flows(console: Console, found: Payback) -> None:
    flows = found.runs.flows_cu.mean(axis=0)
    gathered = flows.cumsum()
    discounted = (flows / (1 + found.plan.discount_pct / 100) ** np.arange(len(flows))).cumsum()
    rows = [
        (f"year {year}" if year else "start", *(money(float(x[year])) for x in (flows, gathered, discounted)))
        for year in range(len(flows))
    ]
    print_table(console, "Cash, mean of the runs", ("", "in the year", "gathered", "discounted"), rows)


def _print_spreads(console: Console, found: Payback) -> None:
    kinds = [("luck", found.luck)]
    if found.plan.ranges:
        kinds += [("doubt", found.doubt), ("both", found.with_doubt)]
    rows = [row for spread in zip(*(_spread_rows(*each) for each in kinds), strict=True) for row in spread]
    columns = ("", *(f"{share * 100:.0f} % below" for share in _SHARES))
    back = ", ".join(f"{worth.share_paid_back * 100:.0f} % ({kind})" for kind, worth in kinds)
    print_table(
        console, "How cases spread: by luck from year to year, by doubt about the inputs, by both", columns, rows,
        f"Has paid back within its life in {back} of cases.",
    )  # fmt: skip


def _spread_rows(kind: str, worth: Worth) -> list[tuple[str, ...]]:
    named = [("net present value", worth.npv_cu, money), ("payback, years", worth.payback_years, _years),
             ("discounted payback, years", worth.discounted_payback_years, _years),
             ("internal rate, %", worth.irr_pct, _rate),
             ("pays from demand, % of today's", [100 * each for each in worth.breaks_even_at], _demand),
             ("pays from orders won, %", worth.orders_won_needed_pct, _demand)]  # fmt: skip
    return [
        (f"{words}, {kind}", *(text(quantile(values, share)) for share in _SHARES)) for words, values, text in named
    ]  # fmt: skip


def _years(value: float) -> str:
    return f"{value:.1f}" if math.isfinite(value) else "never"


def _rate(value: float) -> str:
    """Below 0 the money does not come back, whatever the number."""
    if value < 0:
        return "below 0"
    return f"{value:.1f}" if math.isfinite(value) else "any"


def _demand(value: float) -> str:
    """What lies outside the demands that were run has no number."""
    return f"{value:.0f}" if math.isfinite(value) else ("more than run" if value > 0 else "any run")


def _print_tornado(console: Console, found: Payback) -> None:
    if not found.tornado:
        return
    ends = [end for bar in found.tornado for end in (bar.at_low_cu, bar.at_high_cu)]
    least, most = min(ends), max(ends)
    rows = [
        (
            INPUT_WORDS[bar.doubt.name], f"{_plain(bar.doubt.low)} to {_plain(bar.doubt.high)}", money(bar.at_low_cu),
            money(bar.at_high_cu), _drawn((bar.at_low_cu, bar.at_high_cu), least, most),
        )
        for bar in found.tornado
    ]  # fmt: skip
    print_table(
        console, "What drives the mean net present value, one input at a time", ("", "range", "at low", "at high", ""),
        rows, texts=(4,), bars=f"The bar runs from {money(least)} to {money(most)}.",
    )  # fmt: skip


def _plain(value: float) -> str:
    return (f"{value:,.0f}" if abs(value) >= 1000 else f"{value:.3g}").replace("-", "−")


def _drawn(ends: Sequence[float], least: float, most: float) -> str:
    """A bar as text, as wide as its share of the longest span there is."""
    width = (most - least) or 1.0
    first, last = sorted(round((end - least) / width * _BAR) for end in ends)
    return "." * first + "=" * max(1, last - first) + "." * max(0, _BAR - max(last, first + 1))
