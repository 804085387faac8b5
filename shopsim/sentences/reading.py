"""What became of an export's rows, in one sentence."""

from __future__ import annotations

from shopsim.sentences.words import Answer
from shopsim.shop.exports.reading import Reading

TABLE_WORDS = {
    "orders": "order lines", "printer_log": "rows of a printer log", "work_log": "rows of a work log",
    "time_stamps": "time stamps",
}  # fmt: skip


def rows_read(reading: Reading) -> Answer:
    """How many rows can be used, how many of them were repaired, how many were rejected and what for most."""
    counts = reading.counts
    rows = len(reading.rows)
    what = TABLE_WORDS[reading.mapping.table]
    if not rows:
        sentence = "There is no row below the headings."
    elif not counts.usable:
        none = f"Not one of {rows:,} rows can" if rows > 1 else "The only row cannot"
        sentence = f"{none} be used as {what}."
    else:
        repaired = f", {counts.repaired:,} of them repaired" if counts.repaired else ", none of them repaired"
        sentence = f"{counts.usable:,} of {rows:,} rows can be used as {what}{repaired}; "
        sentence += f"{counts.rejected:,} {'is' if counts.rejected == 1 else 'are'} rejected."
    below = (
        f"{counts.total:,} row{'s' if counts.total != 1 else ''} in the file: {counts.above:,} above the headings, "
        f"{counts.headings:,} of headings, {counts.empty:,} empty, {counts.accepted:,} accepted, "
        f"{counts.repaired:,} repaired, {counts.rejected:,} rejected."
    )
    return Answer(sentence, below)
