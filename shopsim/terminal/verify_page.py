"""Published values beside those found here, on a terminal: the verdict, then one table a case."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console

from shopsim.published.case import Case, Finding
from shopsim.terminal.tables import print_table, print_text

Found = Sequence[tuple[Case, Sequence[Finding]]]


def print_verify(console: Console, found: Found) -> None:
    """Print the whole page to a console."""
    print_text(console, verdict(found))
    for case, values in found:
        rows = [
            (
                value.what, _text(value.expected), _text(value.found),
                "" if value.errors_apart is None else f"{value.errors_apart:+.1f}",
                "yes" if value.within else "NO",
            )
            for value in values
        ]  # fmt: skip
        columns = ("", "expected", "found", "std errors", "within")
        print_table(console, f"{case.id}  {case.title}", columns, rows, f"Source: {case.source}. {_first_up(case)}.")


def verdict(found: Found) -> str:
    """The sentence that heads the page."""
    values = [value for _, values in found for value in values]
    wrong = [case.id for case, values in found if not all(value.within for value in values)]
    cases = f"{len(found)} case{'s' if len(found) != 1 else ''}"
    if wrong:
        return f"Not as published: {', '.join(wrong)}. {len(values)} values of {cases} were worked out."
    return f"All {len(values)} values of {cases} are found as published or derived."


def _first_up(case: Case) -> str:
    return f"{case.tolerance[:1].upper()}{case.tolerance[1:]}"


def _text(value: float | str) -> str:
    return value if isinstance(value, str) else f"{value:.6g}"
