"""On-time and lead time against demand on a terminal: the sentence, a table of breaks, a curve for each option."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from rich.console import Console

from shopsim.figures import ALIKE, NOTHING, figure, percent, with_sign
from shopsim.sentences import Answer
from shopsim.sentences.words import OR_OTHERS, constraints_told
from shopsim.studies.growth import Growth, OptionGrowth
from shopsim.studies.root_finding import Root
from shopsim.terminal.tables import print_notes, print_table, print_text

_LATER = (
    "later: than as it stands, in % of today's demand, over the runs that both have (pairs). Two intervals of breaks "
    "may overlap where the pairs can tell."
)


def print_growth(
    console: Console, found: Growth, answer: Answer, notes: Mapping[str, Sequence[str]] | None = None
) -> None:
    """Print the whole page to a console; `notes` tells what to be careful about in each option."""
    print_text(console, answer.sentence)
    print_text(console, answer.below)
    _print_breaks(console, found)
    for each in found.all:
        _print_curve(console, each)
    print_notes(console, notes or {})


def _print_breaks(console: Console, found: Growth) -> None:
    rows = []
    for each in found.all:
        root = each.breaks_at
        row = [each.name]
        for size in (100.0, each.today.m2_per_week):
            row += [_signed(root.estimate, size, round), _between(root, size)] if size else ["", ""]
        rows.append([*row, *_later(each)] if found.options else row)
    interval = f"{found.confidence_pct:g} % interval"
    print_table(
        console, f"Demand from which fewer than {found.target_pct:g} % go out on time, against today's",
        ("", "%", interval, "m² a week", interval, *(("later, %", interval) if found.options else ())), rows,
        _LATER if found.options else "", beside=(2, 4, 6),
    )  # fmt: skip


def _later(each: OptionGrowth) -> list[str]:
    """How much later an option breaks than the base, with its interval."""
    later = each.later
    if later is None:
        return ["", ""]
    pct = figure(later, 100)
    between = " to ".join(map(with_sign, pct.between.split(" to "))) if later.half_width else ""
    return [with_sign(pct.mean), between]


def _between(root: Root, size: float) -> str:
    if root.low is None and root.high is None:
        return NOTHING
    if root.high is None:
        return f"from {_signed(root.low, size, math.floor)}"
    if root.low is None:
        return f"up to {_signed(root.high, size, math.ceil)}"
    return f"{_signed(root.low, size, math.floor)} to {_signed(root.high, size, math.ceil)}"


def _signed(factor: float | None, size: float, rounded: Callable[[float], int]) -> str:
    if factor is None:
        return NOTHING
    return f"{rounded(round((factor - 1) * size, 6)):+,d}".replace("-", "−")


def _print_curve(console: Console, each: OptionGrowth) -> None:
    rows = []
    for factor, option in each.by_factor.items():
        share = percent(option.interval("measures", "on_time_share"))
        days = [
            figure(option.interval("measures", name), 1 / 24, least=0).mean
            for name in ("lead_time_p50_h", "lead_time_p90_h")
        ]
        rows.append((
            f"{factor * 100:.0f}", f"{each.today.orders_per_week * factor:,.0f}", share.mean,
            "" if share.between == ALIKE else share.between, *days, constraints_told(option) or NOTHING,
        ))  # fmt: skip
    interval = f"{next(iter(each.by_factor.values())).scenario.study.confidence_pct:g} % interval"
    print_table(
        console, f"{each.name}: demand in % of today's, and what becomes of the orders",
        ("demand", "a week", "on time %", interval, "half, days", "9 in 10", "held back by"), rows,
        "half, 9 in 10: within so many days from receipt to dispatch. Each interval stands for itself alone. "
        f"held back by: most of the time; {OR_OTHERS}",
        texts=(6,), wraps=(6,), beside=(3,),
    )  # fmt: skip
