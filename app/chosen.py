"""Which of the kept what-ifs a page looks at."""

from __future__ import annotations

from collections.abc import Collection

import streamlit as st

from app import state
from app.say import plain


def choose_what_ifs(page: str, label: str, known: Collection[str], placeholder: str) -> list[str]:
    """The names chosen of those known, and those `choose_as_well` was told on this page; files that cannot be read are
    told."""
    for file, problems in state.broken_what_ifs().items():
        lines = "\n".join(f"- {plain(each)}" for each in problems)
        told = f"The kept what-if {plain(file)} cannot be read and is left out:\n\n{lines}"
        st.warning(told, icon=":material/error:")
    key = _key(page)
    if key not in st.session_state:
        st.session_state[key] = state.entered(page).get("chosen", [])
    # The browser sends a widget's last value again with every run, so another one has to be put in before it is drawn.
    wanted = [*st.session_state[key], *st.session_state.pop(_more(page), [])]
    st.session_state[key] = [name for name in dict.fromkeys(wanted) if name in known]
    chosen = st.multiselect(label, list(known), key=key, placeholder=placeholder)
    state.keep_entered(page, chosen=chosen)
    return chosen


def choose_as_well(page: str, *names: str) -> None:
    """Have what-ifs among those chosen from the next time on that the page draws them."""
    st.session_state[_more(page)] = [*st.session_state.get(_more(page), []), *names]


def _key(page: str) -> str:
    return f"{page}.chosen"


def _more(page: str) -> str:
    return f"{page}.chosen.more"
