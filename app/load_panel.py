"""Load against capacity beside what is being edited, by the shop as it is at this moment."""

from __future__ import annotations

import streamlit as st

from app import state
from app.fault_list import fault_list
from app.say import picture, table
from shopsim.pictures.load import load_against_capacity, load_against_capacity_in_words
from shopsim.pictures.run_tables import load_table
from shopsim.shop.load_rows import LoadRow, load_rows

_NOTE = (
    "Hours a week, on paper: remakes, breaks, sickness and breakdowns are in, waits and changes are not. Tight: over "
    "85 % in the worst week. What keeps up on paper may still be late; what cannot never will."
)


def load_panel() -> None:
    """A picture and the hours behind it, or what keeps the shop from having one."""
    st.header("Load against capacity", divider="gray")
    shop = state.shop()
    if shop is None:
        st.caption("It is shown again once the shop is sound.")
        draft = state.required()
        fault_list(draft.text(), draft.name, state.faults(), links=False)
        return
    rows = load_rows(shop.scenario, shop.order_lines)
    if not rows:
        st.caption("Nothing is asked of any place.")
        return
    loads = load_table(rows)
    picture(load_against_capacity(loads), load_against_capacity_in_words(loads), key="load")
    st.caption(_NOTE)
    with st.expander("Hours", icon=":material/table_rows:"):
        _hours(rows)


def _hours(rows: list[LoadRow]) -> None:
    columns = ("Place", "Verdict", "Load, %", "Worst week, %", "Week of", "Asked, h", "There, h", "Short of")
    table(columns, map(_cells, rows), left=(0, 1, 4, 7))


def _cells(row: LoadRow) -> tuple[str, ...]:
    loads = ("nobody there" if pct is None else f"{pct:.0f}" for pct in (row.load_pct, row.worst_pct))
    week = f"{row.worst_week:%d %b}"
    return row.name, row.verdict, *loads, week, f"{row.asked_h:.1f}", f"{row.there_h:.1f}", row.limit
