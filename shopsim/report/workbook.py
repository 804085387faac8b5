"""The workbook (XLSX): tidy sheets with frozen headings; text stays text, whatever it begins with."""

from __future__ import annotations

import datetime
import io
import math
import unicodedata
from typing import TYPE_CHECKING, Any

from openpyxl import Workbook
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter

from shopsim.report.contents import Contents
from shopsim.report.sheet import Sheet, Value
from shopsim.report.sheets import sheets_of

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

_WIDEST, _NARROWEST, _LOOKED_AT = 60, 8, 200
# The most a cell of a workbook holds.
_LONGEST = 32_000


def workbook_of(contents: Contents) -> bytes:
    """The workbook as a file."""
    book = Workbook()
    book.properties.created = book.properties.modified = datetime.datetime.combine(contents.made_on, datetime.time())
    book.properties.creator = "shopsim"
    book.properties.title = _text(contents.name)
    first = True
    for sheet in sheets_of(contents):
        page = book.active if first else book.create_sheet()
        first = False
        _write(page, sheet)
    made = io.BytesIO()
    book.save(made)
    return made.getvalue()


def _write(page: Worksheet, sheet: Sheet) -> None:
    page.title = sheet.name
    for column, one in enumerate(sheet.columns, start=1):
        cell = page.cell(1, column)
        _put(cell, one.heading)
        cell.font = Font(bold=True)
        cell.alignment = Alignment(vertical="top", wrap_text=True)
    for number, row in enumerate(sheet.rows, start=2):
        for column, value in enumerate(row, start=1):
            if value is not None and value != "":
                _put(page.cell(number, column), value)
    page.freeze_panes = "A2"
    page.auto_filter.ref = f"A1:{get_column_letter(len(sheet.columns))}{len(sheet.rows) + 1}"
    for column, one in enumerate(sheet.columns, start=1):
        page.column_dimensions[get_column_letter(column)].width = _width(
            [one.heading, *(row[column - 1] for row in sheet.rows[:_LOOKED_AT])]
        )


def _put(cell: Any, value: Value) -> None:
    """A number as a number, yes or no as words, all else as text that no spreadsheet runs."""
    if isinstance(value, bool):
        value = "yes" if value else "no"
    if isinstance(value, int | float):
        cell.value = value if math.isfinite(value) else None
        return
    cell.value = _text(value)
    # openpyxl takes a leading = for a formula and #N/A for an error; the quote keeps a spreadsheet from doing so later.
    cell.data_type = "s"
    cell.quotePrefix = True


def _text(value: object) -> str:
    """Text without control characters, which a workbook must not hold."""
    return "".join("�" if unicodedata.category(sign) in ("Cc", "Cf", "Cs", "Co", "Cn") else sign
                   for sign in " ".join(str(value).split()))[:_LONGEST]  # fmt: skip


def _width(values: list[Value]) -> float:
    longest = max(len(str(value)) for value in values if value is not None)
    return float(min(_WIDEST, max(_NARROWEST, longest + 2)))
