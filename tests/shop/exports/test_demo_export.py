"""The office's order list beside the demos, and the schema of mapping files."""

from __future__ import annotations

import json
from pathlib import Path

from shopsim.shop.exports.clean_file import write_clean
from shopsim.shop.exports.mapping import load_mapping, mapping_schema
from shopsim.shop.exports.reading import read_export
from shopsim.shop.order_book import load_order_book
from shopsim.shop.scenario_file import load_scenario

DEMOS = Path(__file__).resolve().parents[3] / "demo_scenarios"
LIST = DEMOS / "exports" / "frame_fabric_list.csv"


def test_the_schema_beside_the_demos_is_the_one_the_models_give() -> None:
    assert json.loads((DEMOS / "mapping.schema.json").read_text(encoding="utf-8")) == mapping_schema()


def test_the_list_becomes_the_order_book_it_was_written_from(tmp_path: Path) -> None:
    mapping = load_mapping(LIST.with_suffix(".map.yaml"))
    found = read_export(LIST, mapping)
    # Five rows are no orders: three sums of pages, one of all, and who printed it.
    assert found.counts == (3, 1, 0, 404, 17, 5)
    clean = tmp_path / "orders.csv"
    write_clean(clean, mapping.kind, found.usable)
    scenario = load_scenario(DEMOS / "frame_fabric_shop.yaml")
    lines = load_order_book(clean, scenario)
    written = load_order_book(DEMOS / "frame_fabric_orders.csv", scenario)
    # The office entered one line twice, right below itself.
    double = 201
    assert lines[double] == lines[double - 1]
    again = [line for i, line in enumerate(lines) if i != double]
    same = ("order_id", "received", "due", "product", "pieces", "rush", "repeat", "approved")
    assert [[getattr(line, name) for name in same] for line in again] == [
        [getattr(line, name) for name in same] for line in written[: len(again)]
    ]
