"""Records given on the command line: order histories and logs, by their mappings or in our own columns."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import Any

from shopsim.doors.writing import note
from shopsim.errors import InputError, Problem
from shopsim.sentences.reading import rows_read
from shopsim.shop.exports.mapping import Mapping, load_mapping
from shopsim.shop.exports.own_files import mapping_of_own_file
from shopsim.shop.exports.reading import read_export
from shopsim.shop.exports.several_files import reject_overlaps
from shopsim.shop.exports.stamps import work_of_stamps
from shopsim.shop.scenario import Scenario

TABLES = ("orders", "printer_log", "work_log", "time_stamps")
Rows = list[dict[str, Any]]


def records_given(arguments: argparse.Namespace, scenario: Scenario) -> dict[str, Rows]:
    """The usable rows by table, time stamps as rows of the work log; what became of others is told on standard error.

    Raises InputError for bad files, two mappings of one table, and where no table is given.
    """
    maps = _by_table(arguments.maps)
    files: dict[str, Sequence[str]] = {name: getattr(arguments, name) for name in TABLES}
    if not any(files.values()):
        given = "give --orders, --printer-log, --work-log or --time-stamps"
        raise InputError([Problem("", None, None, "--orders", given)])
    rows = {name: _rows(name, listed, maps.get(name)) for name, listed in files.items()}
    stamps = rows.pop("time_stamps")
    if stamps:
        work, told = work_of_stamps(stamps, rows["orders"], scenario)
        rows["work_log"] += work
        for line in told:
            note(line)
    return rows


def _by_table(paths: Sequence[str]) -> dict[str, Mapping]:
    found: dict[str, tuple[str, Mapping]] = {}
    for path in paths:
        mapping = load_mapping(path)
        before, _ = found.setdefault(mapping.table, (path, mapping))
        if before != path:
            text = (
                f"{before} and {path} are both for the table {mapping.table}; give one, and read files of another form "
                "with `read --out` before"
            )
            raise InputError([Problem(path, None, None, "--map", text)])
    return {table: mapping for table, (_, mapping) in found.items()}


def _rows(table: str, files: Sequence[str], mapping: Mapping | None) -> Rows:
    readings = [read_export(file, mapping or mapping_of_own_file(table, file)) for file in files]
    reject_overlaps(readings)
    for reading in readings:
        note(f"{reading.file}: {rows_read(reading).sentence}")
    return [row.values for reading in readings for row in reading.usable]
