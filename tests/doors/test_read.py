"""`shopsim read` from the command line."""

from __future__ import annotations

import json
from pathlib import Path

from shopsim.cli import main

UGLY = Path(__file__).parents[1] / "shop" / "exports" / "ugly"


def test_reading_writes_the_usable_rows_and_tells_the_others(tmp_path: Path, capsys) -> None:
    out, told = tmp_path / "clean.csv", tmp_path / "told.json"
    name = "02_title_and_totals"
    code = main(["read", str(UGLY / f"{name}.csv"), "--map", str(UGLY / f"{name}.map.yaml"), "--out", str(out),
                 "--json", str(told)])  # fmt: skip
    assert code == 0
    shown = capsys.readouterr().out
    assert shown.startswith("2 of 4 rows can be used as order lines, none of them repaired; 2 are rejected.\n")
    assert out.read_text(encoding="utf-8").startswith(
        "order_id,received,due,product,pieces,width_m,height_m,rush,repeat,approved,cancelled,priority\n"
        "A1,2026-01-05 09:00,2026-01-12,flag,3,,,,,,,\n"
    )
    answer = json.loads(told.read_text(encoding="utf-8"))
    assert answer["counts"] == {
        "above": 3, "headings": 1, "empty": 0, "accepted": 2, "repaired": 0, "rejected": 2, "total": 8
    }  # fmt: skip
    assert [row["line"] for row in answer["rejected"]] == [7, 8]


def test_nothing_usable_is_bad_input(tmp_path: Path, capsys) -> None:
    export = tmp_path / "none.csv"
    export.write_text("Order,Received,Due,Item,Qty\nA1,never,never,flag,1\n", encoding="utf-8")
    assert main(["read", str(export), "--map", str(UGLY / "02_title_and_totals.map.yaml")]) == 2
    shown = capsys.readouterr()
    assert shown.out.startswith("Not one of 1 rows can be used as order lines.")
    assert shown.err == f"{export}: no row can be used\n"


def test_a_proposal_never_replaces_a_mapping(tmp_path: Path, capsys) -> None:
    export, mapping = UGLY / "02_title_and_totals.csv", tmp_path / "map.yaml"
    assert main(["read", str(export), "--suggest", "--map", str(mapping)]) == 0
    assert mapping.read_text(encoding="utf-8").startswith("# Proposed from headings and values")
    assert main(["read", str(export), "--suggest", "--map", str(mapping)]) == 2
    assert "is there already" in capsys.readouterr().err
