"""Who can do what, as a table of crews and skills."""

from __future__ import annotations

import pandas as pd
import streamlit as st

from app import edits
from app.say import plain
from app.steady import new_edits, steady_rows
from shopsim.shop.forms.cell_faults import CellFault
from shopsim.shop.forms.skills import CREW, HOME, skill_changes, skill_names, skill_rows

_KEY = "edit.skills"
_HELP = "1 trainee, 2 three quarters as fast, 3 standard, 4 teaches others; empty: cannot do it."


def edit_skills(found: list[CellFault]) -> None:
    """Show the table; a new skill gets a column by the field below it."""
    edited = new_edits(_KEY)
    if edited and edits.make(lambda values: skill_changes(values, edited)):
        st.rerun()
    values = edits.current().values
    rows, names = skill_rows(values), skill_names(values)
    asked = st.session_state.get(f"{_KEY}.new", "").strip()
    if asked and asked not in names:
        names.append(asked)
        rows = [{**row, asked: None} for row in rows]
    key, kept = steady_rows(_KEY, rows, lambda shown, held: list(shown) == list(held))
    frame = pd.DataFrame(kept).astype(dict.fromkeys(names, "Int64"))
    config = {name: st.column_config.NumberColumn(name.replace("_", " "), step=1, help=_HELP) for name in names}
    config[CREW] = st.column_config.TextColumn("Crew", disabled=True, pinned=True)
    config[HOME] = st.column_config.SelectboxColumn("Home", options=names, help="What they do first.", required=True)
    st.data_editor(
        frame, key=key, hide_index=True, num_rows="fixed", column_config=config, placeholder="",
        alt="Levels of skills by crew",
    )  # fmt: skip
    st.text_input("A further skill", key=f"{_KEY}.new", width=220, help="Gets a column of its own.")
    for each in found:
        if each.table is not None and each.table.layout.key == "crews" and not each.column:
            st.error(plain(each), icon=":material/error:")
