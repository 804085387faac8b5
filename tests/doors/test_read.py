"""`shopsim read` from the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from openpyxl import Workbook

from shopsim.cli import main
from shopsim.shop.exports.mapping import mapping_schema
from tests.doors.tiny import write_shop

UGLY = Path(__file__).parents[1] / "shop" / "exports" / "ugly"


def test_reading_writes_the_usable_rows_and_tells_the_others(tmp_path: Path, capsys) -> None:
    out, told = tmp_path / "clean.csv", tmp_path / "told.json"
    name = "02_title_and_totals"
    code = main(["read", str(UGLY / f"{name}.csv"), "--map", str(UGLY / f"{name}.map.yaml"), "--out", str(out),
                 "--json", str(told)])  # fmt: skip
    assert code == 0
    shown = capsys.readouterr().out
    assert shown.startswith("2 of 5 rows can be used as order lines, none of them repaired; 3 are rejected.\n")
    assert out.read_text(encoding="utf-8").startswith(
        "order_id,received,due,product,pieces,width_m,height_m,rush,repeat,approved,cancelled,priority\n"
        "A1,2026-01-05 09:00,2026-01-12,flag,3,,,,,,,\n"
    )
    answer = json.loads(told.read_text(encoding="utf-8"))
    assert answer["counts"] == {
        "above": 3, "headings": 1, "empty": 0, "accepted": 2, "repaired": 0, "rejected": 3, "total": 9
    }  # fmt: skip
    assert [row["line"] for row in answer["rejected"]] == [7, 8, 9]


def test_nothing_usable_is_bad_input(tmp_path: Path, capsys) -> None:
    export = tmp_path / "none.csv"
    export.write_text("Order,Received,Due,Item,Qty\nA1,never,never,flag,1\n", encoding="utf-8")
    assert main(["read", str(export), "--map", str(UGLY / "02_title_and_totals.map.yaml")]) == 2
    shown = capsys.readouterr()
    assert shown.out.startswith("The only row cannot be used as order lines.")
    assert shown.err == f"{export}: no row can be used\n"


def test_a_proposal_never_replaces_a_mapping(tmp_path: Path, capsys) -> None:
    export, mapping = UGLY / "02_title_and_totals.csv", tmp_path / "map.yaml"
    assert main(["read", str(export), "--suggest", "--map", str(mapping)]) == 0
    assert mapping.read_text(encoding="utf-8").startswith("# Proposed from headings and values")
    assert main(["read", str(export), "--suggest", "--map", str(mapping)]) == 2
    assert "is there already" in capsys.readouterr().err


def test_a_proposal_is_shown_with_what_it_leaves_open(tmp_path: Path, capsys) -> None:
    export = tmp_path / "list.csv"
    export.write_text("Order no,Order date,Due date,Item,Qty\nA1,2026-01-05,2026-01-12,Flags,1\n", encoding="utf-8")
    assert main(["read", str(export), "--suggest"]) == 0
    shown = capsys.readouterr().out
    assert shown.startswith(
        "# Proposed from headings and values; look through it before use.\n"
        "# To settle: products without an id of ours, translate them under `values`: 'Flags'\ntable: orders\n"
    )
    # With a scenario its products are known; as JSON it is the rows read by the proposal.
    scenario = ["--scenario", str(write_shop(tmp_path))]
    assert main(["read", str(export), "--suggest", *scenario]) == 0
    assert "product: {heading: Item, values: {Flags: flag}}" in capsys.readouterr().out
    told = tmp_path / "told.json"
    assert main(["read", str(export), "--suggest", *scenario, "--json", str(told)]) == 0
    assert "1 of 1 rows can be used as order lines, 1 of them repaired" in capsys.readouterr().out
    assert main(["read", str(export), "--suggest", *scenario, "--json", "-"]) == 0
    assert json.loads(capsys.readouterr().out) == json.loads(told.read_text(encoding="utf-8"))
    assert json.loads(told.read_text(encoding="utf-8"))["counts"]["repaired"] == 1


def test_what_no_column_of_the_mapping_reads_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    export, mapping = tmp_path / "list.xlsx", tmp_path / "map.yaml"
    book = Workbook()
    book.active.title = "June"
    for row in (
        ("Order", "Received", "Due", "Item", "Qty", "Who", "Colour"),
        *[("A1", "2026-01-05", "2026-01-12", "x", 1)],
    ):
        book.active.append(row)
    book.create_sheet("Notes").append(["Hello"])
    book.save(export)
    mapping.write_text(
        "table: orders\ncolumns: {order_id: Order, received: Received, due: Due, product: Item, pieces: Qty}\n",
        encoding="utf-8",
    )
    assert main(["read", str(export), "--map", str(mapping)]) == 0
    shown = capsys.readouterr().out
    assert "\nColumns not read: Who, Colour.\nSheets not read: Notes.\n" in shown


def test_a_list_of_headings_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    export = tmp_path / "none.csv"
    export.write_text("Order,Received,Due,Item,Qty\n", encoding="utf-8")
    assert main(["read", str(export), "--map", str(UGLY / "02_title_and_totals.map.yaml")]) == 2
    assert capsys.readouterr().out.startswith(
        "There is no row below the headings.\n1 row in the file: 0 above the headings, 1 of headings, 0 empty, "
    )


def test_without_a_mapping_nothing_is_read_but_its_schema_is_told(tmp_path: Path, capsys) -> None:
    schema = tmp_path / "schema.json"
    assert main(["read", str(UGLY / "02_title_and_totals.csv"), "--schema", str(schema)]) == 2
    assert capsys.readouterr().err == "--map: give a mapping file, or --suggest one\n"
    assert json.loads(schema.read_text(encoding="utf-8")) == mapping_schema()
