"""What a fit found, on a terminal."""

from __future__ import annotations

from rich.console import Console

from shopsim.figures import plain
from shopsim.sentences import Answer
from shopsim.sentences.fitting import interval_text
from shopsim.studies.fit_found import Fitted
from shopsim.studies.fit_shop import ShopFit
from shopsim.terminal.tables import print_table, print_text

_COLUMNS = ("what", "found", "interval", "from", "how")


def print_fit(console: Console, fit: ShopFit, answer: Answer) -> None:
    """The sentence, every value with its interval and sample, and what could not be fitted."""
    print_text(console, answer.sentence)
    print_text(console, answer.below)
    print_table(console, "Fitted", _COLUMNS, [_row(one) for one in fit.written], texts=(0, 4), wraps=(0, 4))
    told = [one for one in fit.fitted if not one.path]
    if told:
        print_table(console, "Told, not written", _COLUMNS, [_row(one) for one in told], texts=(0, 4), wraps=(0, 4))
    if fit.left:
        print_table(console, "Not fitted, or changed on the way", ("what",), [(line,) for line in fit.left], texts=(0,))


def _row(one: Fitted) -> tuple[str, ...]:
    estimate = one.estimate
    return one.about, plain(estimate.value), interval_text(one), f"{estimate.n:,} {one.of}", one.how
