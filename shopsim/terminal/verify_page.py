"""Published values beside those found here, on a terminal: a line or a table a case, a legend, and last the verdict."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from rich.console import Console

from shopsim.figures import NOTHING
from shopsim.published.case import Case, Finding, Skipped
from shopsim.terminal.tables import print_table, print_text

Found = Sequence[tuple[Case, Sequence[Finding]]]

LEGEND_OF_LIST = (
    "Worst: the largest difference between found and published in the case, in % of what is allowed there. `--only "
    "A-01` shows that case whole: each value, the source and the tolerance."
)
LEGEND_OF_TABLES = (
    "Allowed: how far found may be from expected; where runs are simulated, the half-width of the 99 % interval of "
    "their mean, which the case limits in turn. Std errors: the difference in standard errors of what was found, where "
    "something is drawn at random."
)
_SOURCE_WIDTH = 19
_LEAST_WHAT = 20
# The other columns of the list with the spaces between.
_BESIDE_WHAT = 4 + _SOURCE_WIDTH + len("values") + len("worst") + len("within") + 5 * 2


def print_verify(console: Console, found: Found, skipped: Sequence[Skipped], full: bool, each_value: bool) -> None:
    """Print the whole page to a console: with `each_value` a table a case, else a line a case and tables of those that
    fail."""
    if each_value:
        _tables(console, found)
        if found:
            console.print()
            print_text(console, LEGEND_OF_TABLES)
    else:
        _list(console, found, skipped)
        failing = [(case, values) for case, values in found if not _within(values)]
        _tables(console, failing)
        if failing:
            print_text(console, LEGEND_OF_TABLES)
    for reason in dict.fromkeys(each.reason for each in skipped):
        console.print()
        print_text(console, f"Skipped: {', '.join(each.id for each in skipped if each.reason == reason)}: {reason}.")
    console.print()
    print_text(console, verdict(found, full))


def verdict(found: Found, full: bool) -> str:
    """The sentence that ends the page."""
    values = [value for _, values in found for value in values]
    wrong = [case.id for case, values in found if not _within(values)]
    runs = "full runs" if full else "quick runs; `--full` makes them long"
    cases = f"{len(found)} case{'s' if len(found) != 1 else ''}"
    if not found:
        return "Nothing was worked out."
    if wrong:
        return f"Not as published: {', '.join(wrong)}. {len(values):,} values of {cases} were worked out ({runs})."
    return f"All {len(values):,} values of {cases} are found as published or derived ({runs})."


def _within(values: Sequence[Finding]) -> bool:
    return all(value.within for value in values)


def _list(console: Console, found: Found, skipped: Sequence[Skipped]) -> None:
    room = max(_LEAST_WHAT, console.width - _BESIDE_WHAT)
    rows = [
        (case.id, _cut(case.title, room), _short(case.source), str(len(values)), _worst(values), _yes(_within(values)))
        for case, values in found
    ]
    rows += [(each.id, _cut(each.title, room), _short(each.source), "", "", NOTHING) for each in skipped]
    columns = ("case", "what", "source", "values", "worst", "within")
    print_table(console, "Published values against this installation", columns, sorted(rows), LEGEND_OF_LIST,
                texts=(0, 1, 2), wraps=())  # fmt: skip


def _tables(console: Console, found: Found) -> None:
    for case, values in found:
        drawn = any(value.errors_apart is not None for value in values)
        rows = [
            (value.what, *_cells(value), *([_apart(value)] if drawn else []), _yes(value.within)) for value in values
        ]
        columns = ("", "expected", "allowed", "found", *(["std errors"] if drawn else []), "within")
        note = f"Source: {case.source}. Tolerance: {_first_up(case.tolerance)}."
        note += f" Left out: {_first_up(case.left_out)}." if case.left_out else ""
        print_table(console, f"{case.id}  {case.title}", columns, rows, note)


def _first_up(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def _cells(value: Finding) -> tuple[str, str, str]:
    """Expected, allowed and found."""
    if isinstance(value.expected, str) or isinstance(value.found, str):
        return str(value.expected), "", str(value.found)
    digits = 6
    if value.allowed and _text(value.expected) != _text(value.found):
        # Enough of them that what is allowed can be seen.
        digits = min(12, max(digits, math.ceil(math.log10((abs(value.expected) or 1.0) / value.allowed)) + 1))
    band = f"±{value.allowed:.0f}" if value.allowed >= 10 else f"±{value.allowed:.2g}"
    allowed = f"{band}{', too wide' if value.too_wide else ''}" if value.allowed else "equal"
    return _text(value.expected, digits), allowed, _text(value.found, digits)


def _apart(value: Finding) -> str:
    return "" if value.errors_apart is None else f"{value.errors_apart:+.1f}"


def _yes(within: bool) -> str:
    return "yes" if within else "NO"


def _short(source: str) -> str:
    """The first name or work of a source, without initials, as much as fits."""
    first = re.split(r"[,;(]|: ", re.sub(r"^(method|rule): ", "", source))[0]
    return _cut(re.sub(r"\b(?:[A-ZÉ]\.[- ]?)+", "", first).strip(), _SOURCE_WIDTH)


def _cut(text: str, width: int) -> str:
    return text if len(text) <= width else f"{text[: width - 1].rstrip()}…"


def _worst(values: Sequence[Finding]) -> str:
    worst = max((value.share_of_allowed for value in values), default=0.0)
    return "∞ %" if math.isinf(worst) else f"{100 * worst:.0f} %"


def _text(value: float, digits: int = 6) -> str:
    """A number with so many digits that count; all digits before its point are printed."""
    if math.isnan(value):
        return NOTHING
    if value == round(value):
        return f"{value:.0f}"
    return f"{value:.2f}" if abs(value) >= 10.0 ** (digits - 1) else f"{value:.{digits}g}"
