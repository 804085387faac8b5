"""The shop itself: every part in tables, faults beside the cell, the load as one edits."""

import streamlit as st

from app import edits, state
from app.care_panel import care_of_edits
from app.load_panel import load_panel
from app.parts import edit_part
from app.review_panel import review_panel
from app.say import plain
from shopsim.shop.forms.cell_faults import place_faults
from shopsim.shop.forms.layout import SHOP_PARTS
from shopsim.shop.handbook_warnings import find_unusual

st.title("Shop")
state.required()
editing = edits.current()
found = place_faults(editing.values, editing.faults)

with st.container(horizontal=True):
    st.button("Undo", icon=":material/undo:", key="shop.undo", on_click=edits.undo, disabled=not edits.can_undo())
    st.download_button("Scenario file", editing.text, editing.name, "application/yaml", on_click="ignore",
                       icon=":material/download:", help="With your edits; comments in the file stay.")  # fmt: skip

edit_part(SHOP_PARTS, found, "shop")

for each in found:
    if each.table is None:
        st.error(plain(each), icon=":material/error:")
care_of_edits()
load_panel()
review_panel()

if editing.scenario is not None:
    unusual = place_faults(editing.values, find_unusual(editing.scenario))
    if unusual:
        with st.expander(f"Unusual values ({len(unusual)}): possible, but worth a second look"):
            for each in unusual:
                st.markdown(f"- {plain(each)}")
