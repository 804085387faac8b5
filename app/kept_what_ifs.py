"""What-ifs kept with the shop: several made together as one option, another name, none of it any more."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import streamlit as st

from app import state
from app.chosen import choose_as_well
from app.say import faults, plain
from shopsim.errors import InputError
from shopsim.shop.what_if import WhatIf

Together = list[list[str]]


def options_of(known: Mapping[str, WhatIf], together: Together) -> dict[str, list[WhatIf]]:
    """What can be compared, by name: each what-if alone, and those made together one after the other."""
    return {name: [one] for name, one in known.items()} | {
        joined(names): [known[name] for name in names] for names in together
    }


def joined(names: Sequence[str]) -> str:
    """What an option of several what-ifs is called, as on the command line."""
    return " + ".join(names)


def make_together(page: str, known: Mapping[str, WhatIf], together: Together) -> None:
    """Several what-ifs as one option of the page's comparison."""
    key = f"{page}.together"
    st.multiselect("Changes made one after the other, as one option", list(known), key=key,
                   placeholder="Choose two or more")  # fmt: skip

    def take() -> None:
        names = list(st.session_state[key])
        if names not in together:
            state.keep_entered(page, together=[*together, names])
        choose_as_well(page, joined(names))
        st.session_state[key] = []

    st.button("Compare them as one", key=f"{key}.take", disabled=len(st.session_state[key]) < 2, on_click=take)


def rename_or_delete(page: str, known: Mapping[str, WhatIf], together: Together) -> None:
    """Give a kept what-if another name, or throw it or a combination away; files that cannot be read as well."""
    combined = {joined(names): names for names in together}
    broken = [name for name in state.broken_what_ifs() if name not in known]
    key = f"{page}.kept"
    which = st.selectbox("Which", [*known, *combined, *broken], key=key)
    if which is None:
        return
    with st.container(horizontal=True, vertical_alignment="bottom"):
        if which in known:
            name = st.text_input("Its name", which, max_chars=120, key=f"{key}.name.{which}").strip()
            if st.button("Rename", key=f"{key}.rename", disabled=name in ("", which)):
                _rename(page, which, name)
        with st.popover("Delete"):
            st.markdown(f"“{plain(which)}” will be gone from this shop and its files.")
            if st.button("Delete it", key=f"{key}.delete", type="primary"):
                if which in combined:
                    state.keep_entered(page, together=[names for names in together if names != combined[which]])
                else:
                    state.delete_what_if(which)
                st.rerun()


def _rename(page: str, old: str, new: str) -> None:
    try:
        state.rename_what_if(old, new)
    except InputError as fault:
        faults(fault.problems)
        return
    choose_as_well(page, *state.entered(page).get("chosen", []))
    st.rerun()
