"""Thirty invented exports as ugly as real ones: what becomes of every single row is written down beside them."""

from __future__ import annotations

from pathlib import Path

import pytest
from ruamel.yaml import YAML

from shopsim.shop.exports.clean_file import write_clean
from shopsim.shop.exports.mapping import load_mapping, own_mapping
from shopsim.shop.exports.reading import Reading, read_export
from shopsim.shop.order_rows import cell_text

UGLY = Path(__file__).parent / "ugly"
EXPECTED = YAML(typ="safe").load((UGLY / "expected.yaml").read_text(encoding="utf-8"))


def read(name: str) -> Reading:
    return read_export(UGLY / name, load_mapping(UGLY / f"{name.rsplit('.', 1)[0]}.map.yaml"))


def lines_of(found: Reading, outcome: str) -> dict[str, list[str]]:
    rows = [row for row in found.rows if row.outcome == outcome]
    told = {f"{row.sheet}:{row.line}".lstrip(":"): row for row in rows}
    assert len(told) == len(rows)
    return {place: row.reasons if outcome == "rejected" else row.notes for place, row in told.items()}


def test_there_are_thirty_files() -> None:
    files = {path.name for path in UGLY.iterdir()} - {"expected.yaml"}
    assert {name for name in files if not name.endswith(".map.yaml")} == set(EXPECTED)
    assert len(EXPECTED) == 30


@pytest.mark.parametrize("name", EXPECTED)
def test_every_row_is_accounted_for(name: str) -> None:
    found, expected = read(name), EXPECTED[name]
    assert lines_of(found, "rejected") == expected.get("rejected", {})
    assert lines_of(found, "repaired") == expected.get("repaired", {})
    assert list(found.counts) == expected["counts"]
    if "first" in expected:
        first = found.usable[0].values
        assert {column: cell_text(first.get(column)) for column in expected["first"]} == expected["first"]


@pytest.mark.parametrize("name", EXPECTED)
def test_clean_rows_read_again_are_the_same_and_need_no_repair(name: str, tmp_path: Path) -> None:
    found = read(name)
    clean = tmp_path / "clean.csv"
    write_clean(clean, found.mapping.kind, found.usable)
    headings = clean.read_text(encoding="utf-8").split("\n", 1)[0].split(",")
    again = read_export(clean, own_mapping(found.mapping.kind, headings))
    assert again.counts.accepted == len(again.rows) == len(found.usable)
    assert [row.values for row in again.rows] == [row.values for row in found.usable]
