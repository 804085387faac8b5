"""What became of an export's rows, on a terminal."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console

from shopsim.sentences import Answer
from shopsim.shop.exports.reading import Reading, ReadRow
from shopsim.terminal.tables import print_table, print_text

_SHOWN = 20


def print_reading(console: Console, reading: Reading, answer: Answer) -> None:
    """The sentence, the counts, and the first repaired and rejected rows; all of them stand in the JSON."""
    print_text(console, answer.sentence)
    print_text(console, answer.below)
    if reading.unread:
        print_text(console, f"Columns not read: {', '.join(reading.unread)}.")
    if reading.other_sheets:
        print_text(console, f"Sheets not read: {', '.join(reading.other_sheets)}.")
    rejected = [row for row in reading.rows if row.outcome == "rejected"]
    repaired = [row for row in reading.rows if row.outcome == "repaired"]
    _print_rows(console, "Rejected rows", rejected, [row.reasons for row in rejected])
    _print_rows(console, "Repaired rows", repaired, [row.notes for row in repaired])


def _print_rows(console: Console, title: str, rows: Sequence[ReadRow], texts: Sequence[Sequence[str]]) -> None:
    if not rows:
        return
    shown = [(row.place, "; ".join(told)) for row, told in zip(rows[:_SHOWN], texts, strict=False)]
    more = f"and {len(rows) - _SHOWN:,} more, see --json" if len(rows) > _SHOWN else ""
    print_table(console, title, ("where", "what"), shown, note=more, texts=(0, 1), wraps=(1,))
