"""Published values beside those found here, on a terminal: a row or a table a case, a legend, and last the verdict."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence

from rich.console import Console

from shopsim.figures import NOTHING
from shopsim.published.case import Case, Finding, Path, Skipped
from shopsim.published.cases import UNUSED_IDS
from shopsim.terminal.tables import print_table, print_text

Found = Sequence[tuple[Case, Sequence[Finding]]]

_MARK = " ~"
_MARKED = "~: more than 15 % off is allowed, so that only a gross fault would show."
LEGEND_OF_LIST = (
    "Of each case the value furthest off, as a share of what is allowed. `--values` shows every value with its "
    "tolerance, `--only A-01` those of one case. " + _MARKED
)
LEGEND_OF_TABLES = (
    "Allowed: how far found may be from expected; where runs are simulated, the half-width of the 99 % interval of "
    "their mean, which the case limits in turn. Std errors: the difference in standard errors of what was found, where "
    "something is drawn at random. " + _MARKED
)
_PATHS: Mapping[Path, str] = {
    "floor": "on the simulation engine",
    "commands": "by other code that the commands use",
    "library": "also by functions that no command uses yet",
}
# Texts longer than this are cut in the list.
_LONGEST_TEXT = 10


def print_verify(console: Console, found: Found, skipped: Sequence[Skipped], full: bool, each_value: bool) -> None:
    """Print the whole page to a console: with `each_value` a table a case, else a row a case and tables of those that
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
    if not each_value:
        console.print()
        print_text(console, f"No case has the ids {', '.join(UNUSED_IDS)}.")
    for case, values in found:
        for value in values:
            if value.at_first is not None:
                console.print()
                print_text(console, _drawn_again(case, value))
    console.print()
    print_text(console, verdict(found, full))


def verdict(found: Found, full: bool) -> str:
    """The sentence that ends the page. A value that stands beside two sources' digits is counted once."""
    if not found:
        return "Nothing was worked out."
    wrong = [case.id for case, values in found if not _within(values)]
    runs = "full runs" if full else "quick runs; `--full` makes them long"
    if wrong:
        return f"Not as published: {', '.join(wrong)}. {_counted(found)} were worked out ({runs})."
    by_path = {path: [each for each in found if each[0].path == path] for path in _PATHS}
    ways = [f"{_counted(cases)} {_PATHS[path]}" for path, cases in by_path.items() if cases]
    loose = sum(value.loose and not value.again for _, each in found for value in each)
    coarse = f" {loose:,} of them may be more than 15 % off, which only a gross fault would be." if loose else ""
    return f"All {_counted(found)} are found as published or derived ({runs}): {', '.join(ways)}.{coarse}"


def _drawn_again(case: Case, value: Finding) -> str:
    first, now = (_text(each) if isinstance(each, float) else str(each) for each in (value.at_first, value.found))
    return (
        f"Drawn twice: {case.id}, {value.what}: {first} at first, outside the 99 % interval, as one value in a hundred "
        f"is by chance; {now} of other draws is what counts, and one in ten thousand is outside both times."
    )


def _counted(found: Found) -> str:
    values = sum(not value.again for _, each in found for value in each)
    return f"{values:,} value{'s' if values != 1 else ''} of {len(found)} case{'s' if len(found) != 1 else ''}"


def _within(values: Sequence[Finding]) -> bool:
    return all(value.within for value in values)


def _list(console: Console, found: Found, skipped: Sequence[Skipped]) -> None:
    for path, way in _PATHS.items():
        rows = [_row(case, values) for case, values in found if case.path == path]
        if rows:
            columns = ("case", "value furthest off", "source", "expected", "found", "within")
            print_table(console, f"Published values found {way}", columns, rows, texts=(0,), wraps=(1, 2))
    if found:
        print_text(console, LEGEND_OF_LIST)
    if skipped:
        rows = [(each.id, each.title, _short(each.source)) for each in skipped]
        print_table(console, "Not worked out", ("case", "what", "source"), rows, texts=(0,), wraps=(1, 2))


def _row(case: Case, values: Sequence[Finding]) -> tuple[str, ...]:
    worst = max(values, key=lambda value: value.share_of_allowed)
    expected, _, found = _cells(worst)
    if isinstance(worst.expected, str):
        expected, found = _cut(expected, _LONGEST_TEXT), _cut(found, _LONGEST_TEXT)
    expected += _MARK if worst.loose else ""
    return case.id, f"{case.title}: {worst.what}", _short(case.source), expected, found, _yes(_within(values))


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
    """Expected, allowed and found, in the digits that tell."""
    if isinstance(value.expected, str) or isinstance(value.found, str):
        return str(value.expected), "", str(value.found)
    digits = 6
    if value.allowed and _text(value.expected) != _text(value.found):
        # Enough of them that what is allowed can be seen.
        digits = min(12, max(digits, math.ceil(math.log10((abs(value.expected) or 1.0) / value.allowed)) + 1))
    least = "≥ " if value.at_least else ""
    return f"{least}{_text(value.expected, digits)}", _band(value), _text(value.found, digits)


def _band(value: Finding) -> str:
    """How far found may lie from expected."""
    if not value.allowed:
        return "equal"
    size = f"{value.allowed:.0f}" if value.allowed >= 10 else f"{value.allowed:.2g}"
    too_wide, mark = ", too wide" if value.too_wide else "", _MARK if value.loose else ""
    return f"{'−' if value.at_least else '±'}{size}{too_wide}{mark}"


def _apart(value: Finding) -> str:
    return "" if value.errors_apart is None else f"{value.errors_apart:+.1f}"


def _yes(within: bool) -> str:
    return "yes" if within else "NO"


def _short(source: str) -> str:
    """The first name or work of a source, without initials, and its year."""
    first = re.split(r"[,;(]|: ", re.sub(r"^(method|rule): ", "", source))[0]
    name = re.sub(r"\b(?:[A-ZÉ]\.[- ]?)+", "", first).strip()
    year = re.search(r"(?:[(,] ?|ed\. )((?:17|18|19|20)\d\d)\b", source)
    return f"{name} {year[1]}" if year and year[1] not in name else name


def _cut(text: str, width: int) -> str:
    return text if len(text) <= width else f"{text[: width - 1].rstrip()}…"


def _text(value: float, digits: int = 6) -> str:
    """A number with so many digits that count; all digits before its point are printed."""
    if math.isnan(value):
        return NOTHING
    if value == round(value):
        return f"{value:.0f}"
    return f"{value:.2f}" if abs(value) >= 10.0 ** (digits - 1) else f"{value:.{digits}g}"
