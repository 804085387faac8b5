"""Orders in the shop from an empty start, week by week on a terminal, with Welch's curve as bars."""

from __future__ import annotations

from statistics import fmean

from rich.console import Console

from shopsim.figures import plain
from shopsim.sentences import Answer
from shopsim.studies.settling import Settling
from shopsim.terminal.tables import print_table, print_text

_BAR = 40


def print_settling(console: Console, found: Settling, answer: Answer) -> None:
    """Print the whole page to a console."""
    print_text(console, answer.sentence)
    print_text(console, answer.below)
    rows = []
    most = max(found.smoothed, default=0.0) or 1.0
    for first in range(0, len(found.by_day), 7):
        days = found.by_day[first : first + 7]
        middle = min(first + 3, len(found.smoothed) - 1)
        smooth = found.smoothed[middle]
        left_out = found.weeks is not None and first // 7 < found.weeks
        rows.append((str(first // 7 + 1), plain(fmean(days)), plain(smooth), "#" * round(_BAR * smooth / most),
                     "left out" if left_out else ""))  # fmt: skip
    print_table(console, "Orders in the shop", ("week", "mean", "smoothed", "", ""), rows,
                "smoothed: Welch's moving average over three weeks.", texts=(3, 4), wraps=())  # fmt: skip
