"""A list of the shop as a grid of cells to edit, its faults in the row and below, and buttons for whole rows."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

import pandas as pd
import streamlit as st

from app import edits
from app.say import plain
from app.steady import Rows, new_edits, steady_rows
from shopsim.shop.changes import Change
from shopsim.shop.forms.cell_faults import CellFault
from shopsim.shop.forms.cells import is_empty, plain_of
from shopsim.shop.forms.columns import Column
from shopsim.shop.forms.editing import Editing
from shopsim.shop.forms.tables import Row, Table, Values

TO_MEND = "to mend"
# What a letter takes in a grid, with the mark of a list to choose from; the most a column may take.
_LETTER_PX, _MARK_PX, _MOST_PX = 7, 40, 420


def edit_table(table: Table, found: list[CellFault], currency: str) -> None:
    """Show a list as a grid, with buttons for rows below and the faults of the table."""
    name = _name(table)
    edited = {row: _cells(cells) for row, cells in new_edits(name).items()}
    if edited and edits.make(lambda values: table.edits(values, edited)):
        st.rerun()
    editing = edits.current()
    rows = table.rows(editing.values)
    told = _told(table, found)
    if rows:
        _grid(table, rows, told, name, currency, editing)
    else:
        st.caption("None yet.")
    if told:
        lines = "\n".join(f"- {plain(each)}" for faults in told.values() for each in faults)
        st.error(lines, icon=":material/error:")
    if table.layout.new is not None:
        _row_buttons(table, name, editing)


def options_of(column: Column, values: Mapping[str, Any]) -> list[str]:
    """What may be chosen in a column: its words, or the ids of the part it refers to."""
    if not column.refers:
        return list(column.choices)
    items = [item for kind in column.refers for item in values.get(kind) or []]
    return [str(item.get("id")) for item in items if isinstance(item, dict)]


def called_in(column: Column, values: Mapping[str, Any]) -> Callable[[str], str]:
    """What a column's choices are called: parts of the shop by their names, words without underscores."""
    items = [item for kind in column.refers for item in values.get(kind) or [] if isinstance(item, dict)]
    names = {item.get("id"): item["name"] for item in items if item.get("name")}
    return lambda word: str(names.get(word) or word.replace("_", " ")) if word else "none"


def _grid(table: Table, rows: list[Row], told: Mapping[int | None, list[CellFault]], name: str, currency: str,
          editing: Editing) -> None:  # fmt: skip
    mend = ["; ".join(each.in_row for each in told.get(row, [])) for row in range(len(rows))]
    key, kept = steady_rows(name, rows, lambda shown, held: _alike(table, shown, held), mend)
    columns = table.layout.columns
    frame = pd.DataFrame({column.key: _series(column, kept) for column in columns})
    config = {column.key: _config(column, kept, editing.values, currency) for column in columns}
    order = [column.key for column in columns]
    if any(mend):
        frame[TO_MEND] = mend
        config[TO_MEND] = st.column_config.TextColumn("To mend", disabled=True, width=_room_px(mend))
        order.insert(1, TO_MEND)
    st.data_editor(
        frame, key=key, hide_index=True, num_rows="fixed", width="stretch", column_config=config, column_order=order,
        placeholder="", alt=f"{table.layout.title}, {len(rows)} rows",
    )  # fmt: skip


def _cells(edited: Mapping[str, Any]) -> dict[str, Any]:
    return {key: cell for key, cell in edited.items() if key != TO_MEND}


def _room_px(texts: Iterable[str]) -> int:
    """How wide a column must be for the longest of its texts to be read."""
    return min(_MOST_PX, _MARK_PX + _LETTER_PX * max(map(len, texts)))


def _row_buttons(table: Table, name: str, editing: Editing) -> None:
    count = table.count(editing.values)
    with st.container(horizontal=True, vertical_alignment="bottom"):
        row = 0
        if count:
            row = st.selectbox(
                f"Row of {table.layout.title.lower()}", range(count), key=f"{name}.row", width=220,
                format_func=lambda at: table.label(editing.values, at) if at < count else "",
            )  # fmt: skip
            row = min(row or 0, count - 1)
        _button("Add", ":material/add:", f"{name}.add", lambda values: [table.added(values)])
        if count:
            _button("Copy", ":material/content_copy:", f"{name}.copy",
                    lambda values: [table.copied(values, row)])  # fmt: skip
            _button("Remove", ":material/delete:", f"{name}.remove", lambda _: [table.removed(row)])
        if count > 1 and table.layout.owner:
            _button("Up", ":material/arrow_upward:", f"{name}.up",
                    lambda values: table.moved(values, row, -1))  # fmt: skip
            _button("Down", ":material/arrow_downward:", f"{name}.down",
                    lambda values: table.moved(values, row, 1))  # fmt: skip


def _button(label: str, icon: str, key: str, changes_to: Callable[[Values], Iterable[Change]]) -> None:
    st.button(label, icon=icon, key=key, on_click=edits.make, args=(changes_to,))


def _name(table: Table) -> str:
    return f"edit.{table.layout.key}.{'' if table.owner is None else table.owner}"


def _told(table: Table, found: list[CellFault]) -> dict[int | None, list[CellFault]]:
    told: dict[int | None, list[CellFault]] = {}
    for each in found:
        if each.table == table:
            told.setdefault(each.row, []).append(each)
    return told


def _alike(table: Table, shown: Rows, rows: Rows) -> bool:
    """Whether the grid shows what the file holds, however it was typed."""
    columns = {column.key: column for column in table.layout.columns}
    return all(
        _plain(columns[key], mine.get(key)) == _plain(columns[key], cell)
        for mine, row in zip(shown, rows, strict=True)
        for key, cell in row.items()
    )


def _plain(column: Column, cell: Any) -> Any:
    return None if is_empty(cell) else plain_of(column, cell)


def _series(column: Column, rows: Rows) -> Any:
    cells = [row[column.key] for row in rows]
    if column.kind in ("number", "whole"):
        return pd.Series(cells, dtype="float64" if column.kind == "number" else "Int64")
    if column.kind in ("yes_no", "group"):
        return pd.Series(cells, dtype="boolean")
    return pd.Series(cells, dtype="object")


def _config(column: Column, rows: Rows, values: Mapping[str, Any], currency: str) -> Any:
    facts: dict[str, Any] = {"help": column.help() or None, "pinned": column.path == ("id",) or None}
    title, kinds = column.title(currency), st.column_config
    if column.kind in ("number", "whole"):
        return kinds.NumberColumn(title, step=1 if column.kind == "whole" else None, **facts)
    if column.kind in ("yes_no", "group"):
        return kinds.CheckboxColumn(title, **facts)
    if column.kind == "date":
        return kinds.DateColumn(title, **facts)
    options = options_of(column, values)
    if options and column.refers:
        called = facts["format_func"] = called_in(column, values)
        together = [", ".join(map(called, row[column.key] or [])) for row in rows] if column.kind == "several" else []
        # Left to itself the grid makes room for ids, not for what they are called.
        facts["width"] = _room_px([title, *map(called, options), *together])
    if column.kind == "several":
        there = [word for row in rows for word in row[column.key] or []]
        return kinds.MultiselectColumn(
            title, options=list(dict.fromkeys([*options, *there])), accept_new_options=not options, **facts
        )
    if options:
        there = [str(row[column.key]) for row in rows if row[column.key]]
        must = column.kind == "tag"
        return kinds.SelectboxColumn(title, options=list(dict.fromkeys([*options, *there])), required=must, **facts)
    return kinds.TextColumn(title, **facts)
