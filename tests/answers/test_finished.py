"""Tables of an answer call parts by name, however the command line sets them."""

from __future__ import annotations

from pathlib import Path

from shopsim.answers.as_we_are import AsWeAre
from shopsim.answers.finished import finished
from shopsim.shop.shop_file import load_shop
from shopsim.studies.engine import LocalEngine
from shopsim.studies.runner import Runner
from tests.doors.tiny import SHOP, write_shop


def test_no_table_has_ids(tmp_path: Path) -> None:
    named = SHOP.replace("- id: p1\n", "- id: printer_1\n    name: Printer by the door\n")
    shop = load_shop(write_shop(tmp_path, named))
    question = AsWeAre(scenario="tiny.yaml", shop=shop, count=2)
    tables = finished(question, question.study(Runner(LocalEngine(1)))).tables
    cells = [cell for table in tables for row in [table["columns"], *table["rows"]] for cell in row]
    assert {"Printer by the door", "sewing table", "people at the printers"} <= {cell.strip() for cell in cells}
    assert not [cell for cell in cells if "_" in cell]
