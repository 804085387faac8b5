"""The review of a shop on a terminal: a numbered list, worst first, a paragraph each, no column to squeeze."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from rich.console import Console
from rich.text import Text

from shopsim.shop.review.finding import Finding
from shopsim.terminal.tables import print_text

_INDENT = "    "


def print_review(console: Console, findings: Sequence[Finding]) -> None:
    """Print what to look at: where, the id in brackets, what was found, what to do, and the row behind it."""
    if not findings:
        return
    console.print()
    console.print(Text("What to look at, worst first", style="bold"))
    numbered = enumerate(findings, 1)
    for grade, group in groupby(numbered, key=lambda each: each[1].grade_text):
        console.print()
        print_text(console, f"{grade[0].upper()}{grade[1:]}:")
        for number, each in group:
            print_text(console, f"{number:>2}. {each.headline} [{each.id}]", hang=_INDENT)
            end = "" if each.found.endswith("?") else "."
            print_text(console, f"Found: {each.found}{end}", indent=_INDENT)
            print_text(console, f"To do: {each.do}. ({each.basis})", indent=_INDENT)
