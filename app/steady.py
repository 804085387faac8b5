"""Rows for a grid of cells, kept as they are while it shows what the file holds.

A grid that is given other rows loses the cell that is open. So it keeps the rows it was first given; only when
something else than its own edits has changed them is it drawn anew, under another key.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import streamlit as st

Rows = Sequence[Mapping[str, Any]]
Edited = dict[int, dict[str, Any]]


def new_edits(name: str) -> Edited:
    """Cells edited in the grid `name` since this was last asked, by row and column."""
    kept = st.session_state.get(f"{name}.kept")
    if kept is None:
        return {}
    before, kept["taken"] = kept["taken"], _edited_cells(name, kept)
    new = {row: {key: cell for key, cell in cells.items() if key not in before.get(row, {}) or before[row][key] != cell}
           for row, cells in kept["taken"].items()}  # fmt: skip
    return {row: cells for row, cells in new.items() if cells}


def steady_rows(name: str, rows: Rows, alike: Callable[[Rows, Rows], bool], beside: Any = None) -> tuple[str, Rows]:
    """The key and the rows to give to the grid `name`, whose rows in the file are now `rows`.

    `alike` tells whether what the grid shows is what the file holds; `beside` is what it shows besides, and draws it
    anew when it differs.
    """
    start = {"version": 0, "rows": rows, "beside": beside, "taken": {}}
    kept = st.session_state.setdefault(f"{name}.kept", start)
    edited = _edited_cells(name, kept)
    shown = [{**row, **edited.get(place, {})} for place, row in enumerate(kept["rows"])]
    if len(shown) != len(rows) or not alike(shown, rows) or kept["beside"] != beside:
        kept.update({**start, "version": kept["version"] + 1})
    return f"{name}.{kept['version']}", kept["rows"]


def _edited_cells(name: str, kept: Mapping[str, Any]) -> Edited:
    delta = st.session_state.get(f"{name}.{kept['version']}") or {}
    return {int(row): dict(cells) for row, cells in delta.get("edited_rows", {}).items()}
