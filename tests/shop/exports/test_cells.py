"""Single cells of an export: dates, times, quantities and sizes as people and spreadsheets write them."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook

from shopsim.shop.exports.dates import DateRules, read_moment
from shopsim.shop.exports.mapping import parse_mapping
from shopsim.shop.exports.quantities import read_quantity, read_size
from shopsim.shop.exports.reading import Reading, read_export

DAY = datetime.date(2026, 1, 25)


@pytest.mark.parametrize(
    ("cell", "day", "clock"),
    [
        (DAY, DAY, None),
        (datetime.time(8, 15, 0, 400), None, datetime.time(8, 15)),
        (20260125, DAY, None),
        ("20260125", DAY, None),
        ("01/25/2026", DAY, None),
        ("25/01/2026", DAY, None),
        ("25 Jan 2026 12:05 am", DAY, datetime.time(0, 5)),
        ("25 Jan 2026 12:05 p.m.", DAY, datetime.time(12, 5)),
    ],
)
def test_days_and_clocks_that_can_be_only_one(cell: Any, day: datetime.date, clock: datetime.time) -> None:
    found = read_moment(cell, DateRules())
    assert (found.day, found.clock, found.note) == (day, clock, None)


@pytest.mark.parametrize(
    ("cell", "message"),
    [
        (True, "must be a date, found true"),
        (19999, "must be a date, found 19999"),
        (100001, "must be a date, found 100001"),
        (20261301, "there is no such day: '20261301', read as day 1, month 13"),
        ("03/04/2026", "'03/04/2026' could be day or month first; give `date_order`"),
        ("25 Jam 2026", "must be a date, found '25 Jam 2026'"),
        ("2026-01-25 13:05 pm", "must be a date, found '2026-01-25 13:05 pm'"),
        ("2026-01-25 0:05 am", "must be a date, found '2026-01-25 0:05 am'"),
    ],
)
def test_cells_that_are_no_day(cell: Any, message: str) -> None:
    with pytest.raises(ValueError) as caught:
        read_moment(cell, DateRules())
    assert str(caught.value) == message


@pytest.mark.parametrize(
    ("cell", "unit", "minutes", "note"),
    [
        (datetime.timedelta(hours=1, seconds=30), None, 60.5, None),
        (datetime.time(1, 30, 15), None, 90.25, None),
        ("1 h 30 min", None, 90, "'1 h 30 min' read as 90 min"),
        ("2 Std. 5", None, 125, "'2 Std. 5' read as 125 min"),
        ("1:30", "h", 90, None),
        ("1:30", "min", 1.5, None),
        ("1:30:30", None, 90.5, None),
    ],
)
def test_times_as_clocks_and_in_words(cell: Any, unit: str | None, minutes: float, note: str | None) -> None:
    assert read_quantity(cell, "minutes", unit, None) == (pytest.approx(minutes), note)


@pytest.mark.parametrize(
    ("cell", "kind", "unit", "message"),
    [
        (True, "length", "m", "must be a number, found true"),
        (datetime.date(2026, 1, 25), "length", "m", "must be a number, found 2026-01-25"),
        (
            2.5,
            "length",
            "h",
            "'h' is no unit of length; known: m, mtr, metre, metres, meter, meters, lfm, cm, mm, in, ",
        ),
        (2.5, "area", None, "2.5 has no unit; give `unit` in the mapping"),
        ("1:60", "minutes", "h", "must be a time like 1:30, found '1:60'"),
        ("1:30:60", "minutes", "h", "must be a time like 1:30, found '1:30:60'"),
        ("1:30", "minutes", None, "'1:30' could be hours and minutes or minutes and seconds; give `unit`: h or min"),
    ],
)
def test_cells_that_are_no_quantity(cell: Any, kind: str, unit: str | None, message: str) -> None:
    with pytest.raises(ValueError) as caught:
        read_quantity(cell, kind, unit, None)
    assert str(caught.value).startswith(message)


def test_a_size_is_a_text_of_two_lengths() -> None:
    assert read_size("200 x 100 cm", None, None)[0] == (2, 1)
    with pytest.raises(ValueError, match=r"^must be two lengths like 200 x 100 cm, found 200$"):
        read_size(200, None, None)


def sheet(path: Path, mapped: str, *rows: tuple[Any, ...]) -> Reading:
    """The rows of a workbook of order, receipt (day and clock), due, product, pieces and approval."""
    book = Workbook()
    book.active.append(["Order", "Day", "Clock", "Due", "Item", "Qty", "Proof"])
    for row in rows:
        book.active.append(row)
    book.save(path)
    return read_export(path, parse_mapping(
        "table: orders\ncolumns:\n  order_id: Order\n  received: [Day, Clock]\n  due: Due\n  product: Item\n"
        f"  pieces: Qty\n{mapped}", "map"))  # fmt: skip


def test_day_and_clock_of_two_cells_whatever_each_is(tmp_path: Path) -> None:
    at, due, eight = datetime.datetime(2026, 1, 5), datetime.date(2026, 1, 12), datetime.time(8, 30)
    found = sheet(
        tmp_path / "a.xlsx", "",
        (1001.0, at, eight, due, "flag", 1), ("A2", "2026-01-05", eight, due, "flag", 1),
        ("A3", at, "8:30", due, "flag", 1), ("A4", "2026-01-05", "8:30", due, "flag", 1),
        (at, at, eight, due, "flag", 1), (eight, at, eight, due, "flag", 1), (True, at, eight, due, "flag", 1),
    )  # fmt: skip
    assert [(row.values["order_id"], row.values["received"]) for row in found.usable] == [
        (name, datetime.datetime(2026, 1, 5, 8, 30)) for name in ("1001", "A2", "A3", "A4")
    ]
    assert [row.reasons for row in found.rows[4:]] == [
        ["order_id: must be text, found 2026-01-05 00:00:00"], ["order_id: must be text, found 08:30:00"],
        ["order_id: must be text, found true"],
    ]  # fmt: skip


def test_an_approval_on_the_day_of_receipt_without_a_clock(tmp_path: Path) -> None:
    at, due, eight = datetime.datetime(2026, 1, 5), datetime.date(2026, 1, 12), datetime.time(8, 30)
    rows = [("A1", at, eight, due, "flag", 1, at), ("A2", at, eight, due, "flag", 1, datetime.datetime(2026, 1, 4))]
    found = sheet(tmp_path / "a.xlsx", "  approved: Proof\n", *rows)
    received = datetime.datetime(2026, 1, 5, 8, 30)
    assert [(row.values["approved"], row.notes[-1]) for row in found.usable] == [
        (received, "approved: no clock time on the day of receipt: 08:30 taken")
    ]
    assert found.rows[1].reasons == ["approved 2026-01-04 00:00 is before the order was received, 2026-01-05 08:30"]


def test_what_only_a_later_line_of_an_order_says_is_not_taken(tmp_path: Path) -> None:
    at, due, eight = datetime.datetime(2026, 1, 5), datetime.date(2026, 1, 12), datetime.time(8, 30)
    rows = [("A1", at, eight, due, "flag", 1), ("A1", at, eight, due, "banner", 1, datetime.datetime(2026, 1, 6, 9))]
    found = sheet(tmp_path / "a.xlsx", "  approved: Proof\nduplicates: {same_id: keep_first}\n", *rows)
    assert [row.values.get("approved") for row in found.usable] == [None, None]
    assert found.rows[1].notes[-1] == "approved: empty of line 2 of the same order taken"


def test_a_number_that_is_always_meant_is_a_name_without_a_point(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text("Received,Due,Item,Qty\n2026-01-05,2026-01-12,flag,1\n", encoding="utf-8")
    columns = "{order_id: {always: 12.0}, received: Received, due: Due, product: Item, pieces: Qty}"
    found = read_export(path, parse_mapping(f"table: orders\ncolumns: {columns}\n", "map"))
    assert found.usable[0].values["order_id"] == "12"
