"""Exports that are not read at all, each with the one thing that is wrong with it."""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import Workbook

from shopsim.errors import ExportError, MappingError
from shopsim.shop.exports import sheets
from shopsim.shop.exports.mapping import Mapping, parse_mapping
from shopsim.shop.exports.reading import read_export

HEADINGS = ("Order", "Received", "Due", "Item", "Qty")
MAP = "table: orders\n{}columns: {{order_id: Order, received: Received, due: Due, product: Item, pieces: Qty}}\n"


def workbook(path: Path, **by_sheet: list[tuple[str, ...]]) -> Path:
    book = Workbook()
    book.remove(book.active)
    for name, rows in by_sheet.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(row)
    book.save(path)
    return path


def refusal(path: Path, more: str = "") -> str:
    with pytest.raises(ExportError) as told:
        read_export(path, parse_mapping(MAP.format(more), "map"))
    return str(told.value).replace(str(path), path.name)


def text(path: Path, content: str) -> Path:
    path.write_text(content, encoding="utf-8")
    return path


def test_files_of_another_kind_and_without_rows(tmp_path: Path) -> None:
    assert refusal(text(tmp_path / "a.ods", "x")) == (
        "a.ods: must be a .csv, .txt, .tsv or .xlsx file; save other workbooks as .xlsx"
    )
    assert refusal(text(tmp_path / "a.csv", "")) == "a.csv: the file is empty"


def test_sheets_that_are_not_there_or_have_no_headings(tmp_path: Path) -> None:
    named = "sheets: [July]\n"
    assert refusal(text(tmp_path / "a.csv", "Order\n"), named) == "a.csv: is a text file and has no sheet 'July'"
    both = workbook(tmp_path / "a.xlsx", June=[("Order", "Item")], Notes=[])
    assert refusal(both, named) == "a.xlsx: has no sheet 'July'; there are: June, Notes"
    # Without a name the first sheet with all headings is taken: here neither has them.
    assert refusal(both).splitlines() == [
        (
            "a.xlsx:1: sheet 'June': no row holds all headings of the mapping; nearest is this one: no column "
            "'Received'; no column 'Due'; no column 'Qty'; there are: Order, Item"
        ),
        "a.xlsx: sheet 'Notes': has no row of headings",
    ]


def test_more_rows_than_are_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sheets, "MAX_ROWS", 3)
    rows = [HEADINGS, *[(f"A{i}", "2026-01-05", "2026-01-12", "flag", "1") for i in range(4)]]
    lines = [",".join(row) + "\n" for row in rows]
    assert refusal(text(tmp_path / "a.csv", "".join(lines))) == "a.csv:5: an export holds at most 3 rows"
    assert refusal(workbook(tmp_path / "a.xlsx", June=rows)) == (
        "a.xlsx: an export holds at most 3 rows, sheet 'June' has more"
    )


@pytest.mark.parametrize(
    ("columns", "message"),
    [
        ("order_id: {unit: m}", "columns.order_id: give either `heading` or `always`"),
        ("order_id: {heading: A, always: B}", "columns.order_id: give either `heading` or `always`"),
        ("order_id: {heading: []}", "columns.order_id: `heading` must name at least one column"),
        ("order_id: {heading: A, unit: m}", "columns.order_id.unit: order_id has no unit"),
        ("due: {heading: A, clock: '09:00'}", "columns.due.clock: due has no clock time"),
        ("size: {heading: A, unit: cm}\n  width_m: {heading: B, unit: m}",
         "columns.size: give either `size`, or `width_m` and `height_m`"),
    ],
)  # fmt: skip
def test_columns_that_cannot_be(columns: str, message: str) -> None:
    mapped = {"order_id": "Order", "received": "Received", "due": "Due", "product": "Item", "pieces": "Qty"}
    mapped.pop(columns.split(":")[0], None)
    others = "".join(f"  {name}: {heading}\n" for name, heading in mapped.items())
    with pytest.raises(MappingError) as told:
        parse_mapping(f"table: orders\ncolumns:\n  {columns}\n{others}", "map")
    assert [problem.split(" ", 1)[1] for problem in str(told.value).splitlines()] == [message]


def test_a_log_needs_an_end_or_minutes_however_its_mapping_was_made(tmp_path: Path) -> None:
    mapping = Mapping.model_validate(
        {"table": "printer_log", "columns": {"printer": "Machine", "start": "Start", "metres": {"heading": "m"}}}
    )
    with pytest.raises(MappingError, match=r"^mapping: columns: give `end` or `minutes`$"):
        read_export(text(tmp_path / "a.csv", "Machine,Start,m\np1,2026-01-05 07:00,3\n"), mapping)
