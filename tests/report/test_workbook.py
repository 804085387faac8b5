"""The workbook: numbers as numbers, text as text, every column explained."""

from __future__ import annotations

import io
import shlex
import zipfile
from typing import Any

import pytest
from openpyxl import load_workbook

from shopsim.report.handbook_rows import BASES, handbook_rows
from shopsim.report.sheets import sheets_of
from shopsim.report.workbook import workbook_of
from tests.report.made import contents

NAME = "=A faster sewer<img src=x onerror=alert(1)>"


@pytest.fixture(scope="module")
def book() -> Any:
    return load_workbook(io.BytesIO(workbook_of(contents())))


def rows_of(book: Any, name: str) -> list[dict[str, Any]]:
    heads, *rows = book[name].iter_rows(values_only=True)
    return [dict(zip(heads, row, strict=True)) for row in rows]


def test_sheets_in_order_with_frozen_headings(book: Any) -> None:
    assert book.sheetnames == [
        "Read me", "Columns", "Answers", "Options", "Measures", "Differences",
        "Replications", "Hours", "Crews", "Demand", "Breaks",
        "Worth", "Cash", "Doubts", "Rest times", "Inputs", "Usual values", "Cautions", "Reporting list",
        "Measure names",
    ]  # fmt: skip
    assert {sheet.freeze_panes for sheet in book} == {"A2"}


def test_nothing_in_it_is_a_formula_and_text_stays_as_it_was(book: Any) -> None:
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row if cell.value is not None]
    assert {cell.data_type for cell in cells} <= {"s", "n"}
    assert all(cell.quotePrefix for cell in cells if cell.data_type == "s")
    assert {row["option"] for row in rows_of(book, "Options")} == {NAME, "A second sewer"}
    assert "@SUM(1) </script><script>alert(2)</script>" in {row["change"] for row in rows_of(book, "Options")}
    with zipfile.ZipFile(io.BytesIO(workbook_of(contents()))) as parts:
        assert not [name for name in parts.namelist() if b"<f>" in parts.read(name)]
        assert not [name for name in parts.namelist() if "externalLink" in name or "vba" in name.lower()]


def test_signs_that_cannot_be_seen_are_shown(book: Any) -> None:
    told = {row["what"]: row["is"] for row in rows_of(book, "Read me")}
    assert told["shop"] == "<script>alert('a')</script>�\"&=1+1"


def test_numbers_are_numbers_with_their_unit(book: Any) -> None:
    found = [row for row in rows_of(book, "Measures") if row["measure"] == "on_time_share" and row["question [1]"] == 1]
    (row,) = found
    assert (row["option"], row["unit"], row["replications [1]"]) == ("as it stands", "1", 2)
    assert row["mean"] == pytest.approx(2 / 3)
    crews = rows_of(book, "Crews")
    assert [row["heads"] for row in crews] == ["1 sewer", "2 sewer"]
    assert crews[1]["pay [CU/week]"] > crews[0]["pay [CU/week]"] > 0
    flows = [row["flow [CU]"] for row in rows_of(book, "Cash")]
    assert flows[0] == -1000
    assert len(flows) == 5


def test_differences_have_their_intervals(book: Any) -> None:
    mine = [
        row for row in rows_of(book, "Differences") if (row["question [1]"], row["option"]) == (2, "A second sewer")
    ]
    (row,) = [row for row in mine if row["measure"] == "cost_per_week"]
    # Five days of 7.5 hours at 20 an hour, in every run.
    assert (row["mean"], row["low"], row["high"]) == (pytest.approx(750), pytest.approx(750), pytest.approx(750))
    assert row["unit"] == "CU/week"


def test_intervals_follow_from_the_numbers_of_each_replication(book: Any) -> None:
    found = [
        row["value"]
        for row in rows_of(book, "Replications")
        if (row["question [1]"], row["option"], row["measure"]) == (2, "A second sewer", "cost_per_week")
    ]
    (told,) = [
        row for row in rows_of(book, "Measures")
        if (row["question [1]"], row["option"], row["measure"]) == (2, "A second sewer", "cost_per_week")
    ]  # fmt: skip
    assert len(found) == told["replications [1]"] == 2
    assert sum(found) / 2 == pytest.approx(told["mean"])
    worth = {row["measure"]: row for row in rows_of(book, "Replications") if row["question [1]"] == 6}
    assert worth["npv_cu"]["unit"] == "CU"


def test_rest_times_say_whose_they_are_and_what_is_asked(book: Any) -> None:
    """Eight hours without a break, five days a week, of two crews of one; the what-if changes none of it."""
    rows = rows_of(book, "Rest times")
    assert len(rows) == 2 * 2 * 5
    assert list(rows[1].values())[2:] == [
        "2026-01-05", "day", "packer", 1, "rule", "LAW-02", "break: 8 h without a break, one is due above 6 h", 0, None,
    ]  # fmt: skip


def test_inputs_tell_where_they_come_from(book: Any) -> None:
    inputs = {row["path"]: row for row in rows_of(book, "Inputs")}
    assert inputs["crews.sewer.wage_per_h"]["number"] == 20
    assert inputs["crews.sewer.wage_per_h"]["origin"] == "file"
    energy = inputs["money.energy_per_kwh"]
    assert (energy["origin"], energy["row"], energy["basis"]) == ("handbook", "CST-05", "published")


def test_rows_that_values_cite_have_their_range_and_what_they_stand_on(book: Any) -> None:
    rows = {row["row"]: row for row in rows_of(book, "Usual values")}
    cited = {row["row"] for row in rows_of(book, "Inputs") if row["row"]}
    assert cited <= set(rows)
    assert (rows["QUA-13"]["usual"], rows["QUA-13"]["about"]) == ("5 to 30 %", handbook_rows()["QUA-13"].quantity)
    assert rows["FIX-16"]["usual"] == "power, power running 5 to 15 kW; power, standby 2 to 8 kW"
    assert {row["basis"] for row in rows.values()} <= set(BASES)


def test_every_column_is_explained(book: Any) -> None:
    told = {(row["sheet"], row["column"]): (row["unit"], row["meaning"]) for row in rows_of(book, "Columns")}
    for sheet in sheets_of(contents())[2:]:
        for column in sheet.columns:
            assert told[sheet.name, column.name] == (column.unit, column.meaning)
            assert len(column.meaning) > 3
    assert {sheet for sheet, _ in told} == set(book.sheetnames[2:])


def test_doubts_and_worth_have_their_units_and_spreads_their_shares(book: Any) -> None:
    (doubt,) = rows_of(book, "Doubts")
    assert (doubt["input"], doubt["unit"], doubt["low"], doubt["high"]) == (
        "crews.sewer.efficiency_pct", "%", 80, 120,
    )  # fmt: skip
    assert doubt["effect_unit"] == "1"
    spread = {row["share_below [1]"]: row for row in rows_of(book, "Worth")
              if (row["quantity"], row["of"]) == ("npv_cu", "luck")}  # fmt: skip
    assert set(spread) == {0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95}
    assert spread[0.5]["unit"] == "CU"
    given = {row["quantity"]: row["mean"] for row in rows_of(book, "Worth") if row["of"] == "input"}
    assert (given["once_cu"], given["life_years"]) == (1000, 4)


def test_it_says_what_to_open_first_and_commands_can_be_typed(book: Any) -> None:
    assert rows_of(book, "Read me")[0]["what"] == "open first"
    asked = [row["command"] for row in rows_of(book, "Answers")]
    assert asked == [shlex.join(answer.about["command"]) for answer in contents().answers]


def test_what_is_open_in_the_reporting_list(book: Any) -> None:
    found = {row["item"]: row["open"] for row in rows_of(book, "Reporting list")}
    assert len(found) == 24
    assert found["6.1"] == "Where readers find the program and these files, and who may use the shop's data."
    assert found["5.2"] is None
