"""A group of the shop's fields to edit, one below the other: what a table with a single row would hold."""

from __future__ import annotations

import datetime
import re
from typing import Any

import streamlit as st

from app import edits
from app.say import plain
from app.table_editor import called_in, options_of
from shopsim.shop.forms.cell_faults import CellFault
from shopsim.shop.forms.cells import Cell
from shopsim.shop.forms.columns import Column
from shopsim.shop.forms.tables import Table, Values

_COLUMNS = 3
# So many fit into a field of a line; what is longer gets a field in which it can be read.
_LETTERS = 28
_TWO_LINES_PX = 76
_MARKS = re.compile(r"([\\`*_\[\]<>$~:#])")
_FIRST_DAY, _LAST_DAY = datetime.date(1970, 1, 1), datetime.date(2200, 12, 31)


def edit_sheet(table: Table, found: list[CellFault], currency: str) -> None:
    """Show the fields of a single group, each with its fault below it."""
    values = edits.current().values
    (row,) = table.rows(values)
    told = {each.column: each.message for each in found if each.table == table}
    off = {column.path[:-1] for column in table.layout.columns if column.kind == "group" and not row[column.key]}
    for number, column in enumerate(table.layout.columns):
        if number % _COLUMNS == 0:
            # Row by row, so that a narrow screen keeps the order.
            places = st.columns(_COLUMNS, vertical_alignment="top")
        with places[number % _COLUMNS]:
            _field(table, column, row[column.key], values, currency, column.kind != "group" and column.path[:-1] in off)
            if column.key in told:
                st.error(plain(told[column.key]), icon=":material/error:")
    for each in found:
        if each.table == table and not each.column:
            st.error(plain(each), icon=":material/error:")


def _field(table: Table, column: Column, cell: Cell, values: Values, currency: str, is_off: bool) -> None:
    key = f"sheet.{table.layout.key}.{column.key}"
    # The file is the truth: what undo or another page put there is shown, not what was typed before.
    st.session_state[key] = _shown(column, cell)
    facts: dict[str, Any] = {
        "key": key, "help": column.help() or None, "disabled": is_off, "on_change": _take, "args": (table, column, key),
    }  # fmt: skip
    title, options = _label(column.title(currency)), options_of(column, values)
    if column.kind == "number":
        st.number_input(title, value=None, format="%g", step=_step(cell), **facts)
    elif column.kind == "whole":
        st.number_input(title, value=None, format="%d", step=1, **facts)
    elif column.kind in ("yes_no", "group"):
        st.checkbox(title, **facts)
    elif column.kind == "date":
        st.date_input(title, None, _FIRST_DAY, _LAST_DAY, format="YYYY-MM-DD", **facts)
    elif column.kind == "several":
        there = [str(each) for each in cell] if isinstance(cell, list) else []
        known = list(dict.fromkeys([*options, *there]))
        st.multiselect(title, known, accept_new_options=not options, format_func=called_in(column, values), **facts)
    elif options:
        known = [*options, *([str(cell)] if cell and cell not in options else [])]
        may_be_empty = column.may_be_none or column.required or bool(column.refers) or cell is None
        st.selectbox(title, ["", *known] if may_be_empty else known, format_func=called_in(column, values),
                     **facts)  # fmt: skip
    elif len(str(cell or "")) > _LETTERS:
        st.text_area(title, height=_TWO_LINES_PX, **facts)
    else:
        st.text_input(title, **facts)


def _label(text: str) -> str:
    # Commas and slashes stay as they are: screen readers are given the label without its marks taken off.
    return _MARKS.sub(r"\\\1", text)


def _take(table: Table, column: Column, key: str) -> None:
    edits.make(lambda values: table.edits(values, {0: {column.key: st.session_state[key]}}))


def _shown(column: Column, cell: Cell) -> Any:
    if column.kind == "several":
        return cell or []
    if column.kind in ("yes_no", "group"):
        return bool(cell)
    return "" if cell is None and column.kind in ("text", "spread", "choice", "tag") else cell


def _step(cell: Cell) -> float:
    return 1.0 if not isinstance(cell, float) or cell >= 10 else 0.1 if cell >= 1 else 0.01
