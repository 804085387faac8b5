"""Records given on the command line: order histories and logs, by their mappings or in our own columns."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from typing import Any

from shopsim.errors import InputError, Problem
from shopsim.sentences.reading import rows_read
from shopsim.shop.exports.mapping import Mapping, load_mapping
from shopsim.shop.exports.own_files import mapping_of_own_file
from shopsim.shop.exports.reading import read_export

TABLES = ("orders", "printer_log", "work_log")


def records_given(arguments: argparse.Namespace) -> dict[str, list[dict[str, Any]]]:
    """The usable rows by table; what was repaired or rejected is told on standard error.

    Raises InputError for bad files, and where no table is given.
    """
    maps = [load_mapping(path) for path in arguments.maps]
    files: dict[str, Sequence[str]] = {name: getattr(arguments, name) for name in TABLES}
    if not any(files.values()):
        raise InputError([Problem("", None, None, "--orders", "give --orders, --printer-log or --work-log")])
    return {name: _rows(name, listed, maps) for name, listed in files.items()}


def _rows(table: str, files: Sequence[str], maps: Sequence[Mapping]) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = []
    for file in files:
        mapping = next((each for each in maps if each.table == table), None) or mapping_of_own_file(table, file)
        reading = read_export(file, mapping)
        sys.stderr.write(f"{file}: {rows_read(reading).sentence}\n")
        rows += [row.values for row in reading.usable]
    return rows
