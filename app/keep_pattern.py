"""A painted pattern into the shop, or kept beside it to compare: for all who work its shift, or for some of them."""

from __future__ import annotations

from collections.abc import Sequence

import streamlit as st

from app import edits, state
from app.chosen import choose_as_well
from app.say import faults, plain
from shopsim.errors import InputError
from shopsim.shop.changes import Change
from shopsim.shop.forms.tables import Values
from shopsim.shop.id_checks import ids_written
from shopsim.shop.own_shift import own_shift_changes
from shopsim.shop.people import Crew, Shift
from shopsim.shop.shift_grid import Grid, grid_changes
from shopsim.shop.what_if import WhatIf, apply

_NEXT = "paint.next"


def next_shift() -> int | None:
    """The place of the shift that has just come into the shop, once, so that the page goes on with it."""
    place: int | None = st.session_state.pop(_NEXT, None)
    return place


def keep_pattern(key: str, place: int, shift: Shift, grid: Grid, some: Sequence[Crew]) -> None:
    """Put the grid into the shop or keep it as a what-if; nothing where it is the shift's own. `some`: the crews that
    get a copy of the shift, none for all. `key` is where the page has the grid."""
    values = edits.current().values
    if not _changes(values, f"shifts[{place}]", shift, grid, some):
        return
    with st.container(horizontal=True, vertical_alignment="bottom"):
        if st.button("Put into the shop", type="primary", key="paint.take", icon=":material/check:"):
            made = edits.make(lambda now: _changes(now, f"shifts[{place}]", shift, grid, some))
            if made and some:
                st.session_state[_NEXT] = len(values["shifts"])
                # The shift of the others is as it was, and so is its grid.
                st.session_state.pop(key)
            st.rerun()
        name = st.text_input("Name of the pattern", key="paint.name", max_chars=120, width=260,
                             placeholder="e.g. Two shifts from October")  # fmt: skip
        if st.button("Keep to compare", key="paint.keep", disabled=not name, icon=":material/alt_route:"):
            _keep_what_if(name, _changes(values, f"shifts.{shift.id}", shift, grid, some))
    shop = state.shop()
    if shop is None:
        st.caption("Patterns can be compared once the shop is sound.")


def _changes(values: Values, where: str, shift: Shift, grid: Grid, some: Sequence[Crew]) -> list[Change]:
    return own_shift_changes(shift, grid, some, set(ids_written(values))) if some else grid_changes(where, shift, grid)


def _keep_what_if(name: str, changes: Sequence[Change]) -> None:
    shop = state.shop()
    if shop is None:
        return
    try:
        made = WhatIf(name, tuple(changes), f"../{state.required().name}")
        apply(shop, made)
    except InputError as fault:
        faults(fault.problems)
        return
    state.save_what_if(made)
    choose_as_well("shifts", name)
    st.toast(f"Kept: {plain(name)}")
