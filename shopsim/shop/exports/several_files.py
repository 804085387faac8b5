"""Exports overlap: what stands in several files of one table counts as the last of them has it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from shopsim.shop.exports.reading import Reading, ReadRow


def reject_overlaps(readings: Sequence[Reading]) -> None:
    """Gives rows of a table's files their reason where a later file has the same order, or the same row of a log.

    A whole order goes by the last file, for that knows what became of it.
    """
    last: dict[tuple[Any, ...], int] = {}
    for number, reading in enumerate(readings):
        last |= {_key(reading, row): number for row in reading.usable}
    for number, reading in enumerate(readings):
        for row in reading.usable:
            later = last[_key(reading, row)]
            if later > number:
                row.reasons.append(f"stands in {readings[later].file} too, which is given later")


def _key(reading: Reading, row: ReadRow) -> tuple[Any, ...]:
    """What tells a row from others; all of it where its key has a hole."""
    names = reading.mapping.kind.key
    if all(name in row.values for name in names):
        return tuple(row.values[name] for name in names)
    return tuple(sorted((name, str(value)) for name, value in row.values.items()))
