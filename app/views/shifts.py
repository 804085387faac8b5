"""When people are there: patterns painted on a grid, what rest-time rules say of them, and patterns side by side."""

import streamlit as st

from app import edits, state
from app.compare_patterns import compare_patterns
from app.panel import what_to_ask
from app.parts import edit_part
from app.say import plain
from app.shift_painter import paint_shift
from shopsim.shop.forms.cell_faults import place_faults
from shopsim.shop.forms.layout import HOURS

st.title("Shifts")
state.required()
editing = edits.current()
found = place_faults(editing.values, editing.faults)
with what_to_ask("shifts", "Hours, shifts and closed days"):
    st.button("Undo", icon=":material/undo:", key="shifts.undo", on_click=edits.undo, disabled=not edits.can_undo())

    st.header("Hours", divider="gray")
    paint_shift()

    st.header("Shifts and closed days", divider="gray")
    edit_part((HOURS,), found, "shifts")
    for each in found:
        if each.part != HOURS.key:
            st.error(plain(each), icon=":material/error:")

st.header("Patterns side by side", divider="gray")
compare_patterns()
