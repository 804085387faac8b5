"""`shopsim read`: an export of other software into our own columns, every row accounted for."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from shopsim import __version__
from shopsim.doors.writing import TO_STDOUT, cannot_write, console, note, write_file, write_json
from shopsim.errors import ExportError, InputError, Problem
from shopsim.sentences import Answer
from shopsim.sentences.reading import rows_read
from shopsim.shop.exports.clean_file import write_clean
from shopsim.shop.exports.mapping import Mapping, dump_mapping, load_mapping, mapping_schema
from shopsim.shop.exports.reading import Reading, ReadRow, read_export
from shopsim.shop.exports.suggestion import suggest_mapping
from shopsim.shop.scenario_file import load_scenario
from shopsim.terminal.reading_page import print_reading


def run(arguments: argparse.Namespace) -> None:
    """Read an export, or propose a mapping for it. Raises InputError for bad files and when no row is usable."""
    if arguments.schema:
        write_json(mapping_schema(), arguments.schema)
    if arguments.suggest:
        mapping = _suggested(arguments)
        if arguments.out is None and arguments.json is None:
            return
    elif arguments.map:
        mapping = load_mapping(arguments.map)
    else:
        raise InputError([Problem("", None, None, "--map", "give a mapping file, or --suggest one")])
    reading = read_export(arguments.file, mapping)
    answer = rows_read(reading)
    if arguments.json:
        write_json(as_json(reading, answer), arguments.json)
    if arguments.json != TO_STDOUT:
        print_reading(console(), reading, answer)
    if not reading.usable:
        raise ExportError([Problem(arguments.file, None, None, "", "no row can be used")])
    if arguments.out:
        try:
            write_clean(arguments.out, mapping.kind, reading.usable)
        except OSError as fault:
            raise cannot_write(arguments.out, fault) from None


def _suggested(arguments: argparse.Namespace) -> Mapping:
    """The proposal: into the file of --map, which must not be there yet, or to standard output."""
    products = {}
    if arguments.scenario:
        products = {product.id: product.name for product in load_scenario(arguments.scenario).products}
    found = suggest_mapping(arguments.file, arguments.table, products)
    doubts = "".join(f"# To settle: {doubt}\n" for doubt in found.doubts)
    text = f"# Proposed from headings and values; look through it before use.\n{doubts}{dump_mapping(found.mapping)}"
    if arguments.map is None:
        if arguments.json != TO_STDOUT:
            sys.stdout.write(text)
        return found.mapping
    if Path(arguments.map).exists():
        raise InputError(
            [Problem(arguments.map, None, None, "--map", "is there already; a proposal never replaces it")]
        )
    write_file(arguments.map, text)
    note(f"proposal written to {arguments.map}\n{doubts}".rstrip())
    return found.mapping


def as_json(reading: Reading, answer: Answer) -> dict[str, Any]:
    """The answer for programs: counts that add up, and every row that was repaired or rejected."""
    counts = reading.counts
    return {
        "file": reading.file,
        "version": __version__,
        "table": reading.mapping.table,
        "sentence": answer.sentence,
        "below": answer.below,
        "counts": {**counts._asdict(), "total": counts.total},
        "columns_not_read": list(reading.unread),
        "sheets_not_read": list(reading.other_sheets),
        "repaired": _rows(row for row in reading.rows if row.outcome == "repaired"),
        "rejected": _rows(row for row in reading.rows if row.outcome == "rejected"),
    }


def _rows(rows: Any) -> list[dict[str, Any]]:
    listed: Sequence[ReadRow] = list(rows)
    return [
        {"sheet": row.sheet or None, "line": row.line, "notes": row.notes, "reasons": row.reasons} for row in listed
    ]
