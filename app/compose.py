"""A new what-if, change by change: each is composed on the shop with those before it made."""

from __future__ import annotations

import streamlit as st

from app import state
from app.chosen import choose_as_well
from app.picks import compose_change, kept, read_kept, said
from app.say import faults, plain
from shopsim.errors import InputError
from shopsim.shop.changes import Change
from shopsim.shop.scenario import Scenario
from shopsim.shop.shop_file import Shop
from shopsim.shop.what_if import WhatIf, apply, differences_in_words

_DRAFT_NAME = "these changes"


def compose_what_if(shop: Shop, page: str) -> None:
    """Compose changes, list them, keep them under a name and take them into the page's comparison."""
    pending = [read_kept(one) for one in state.entered(page).get("changes", [])]
    change = _next_change(_with(shop, pending))
    if st.button("Add to the list", disabled=change is None, key="what_if.add") and change is not None:
        _keep_pending(page, [*pending, change])
    for number, one in enumerate(pending):
        text, button = st.columns([5, 1])
        text.markdown(f"{number + 1}\\. {plain(_told(shop, pending[:number], one))}")
        if button.button("Drop", key=f"what_if.drop.{number}"):
            _keep_pending(page, pending[:number] + pending[number + 1 :])
    if pending:
        name = st.text_input("Its name", max_chars=120, key="what_if.name").strip()
        note = st.text_area("A note for whoever reads it", key="what_if.note", height=80)
        if name in {one.name for one in state.what_ifs()}:
            st.caption("There is one of this name already: it will be replaced.")
        if st.button("Keep this what-if", type="primary", disabled=not name, key="what_if.keep"):
            _keep(shop, page, WhatIf(name, tuple(pending), f"../{state.required().name}", note))


def _told(shop: Shop, before: list[Change], change: Change) -> str:
    """What a change makes different, in words; what it does where that leads to no sound shop, or to the same."""
    base, made = (_made(shop, changes) for changes in (before, [*before, change]))
    if base is None or made is None:
        return said(base or shop.scenario, change)
    different = differences_in_words(base, made, [_of([change])])
    return "; ".join(different) or f"{said(base, change)} (as it is already)"


def _made(shop: Shop, changes: list[Change]) -> Scenario | None:
    try:
        return apply(shop, _of(changes)).scenario if changes else shop.scenario
    except InputError:
        return None


def _of(changes: list[Change]) -> WhatIf:
    return WhatIf(_DRAFT_NAME, tuple(changes), f"../{state.required().name}")


def _with(shop: Shop, pending: list[Change]) -> Scenario:
    """The scenario to compose on: with all that is on the list, as far as that fits together."""
    if not pending:
        return shop.scenario
    try:
        return apply(shop, _of(pending)).scenario
    except InputError as fault:
        st.caption("The changes on the list do not fit together yet; what is offered here is the shop without them.")
        faults(fault.problems)
        return shop.scenario


def _next_change(scenario: Scenario) -> Change | None:
    try:
        return compose_change(scenario)
    except InputError as fault:
        faults(fault.problems)
        return None


def _keep_pending(page: str, pending: list[Change]) -> None:
    state.keep_entered(page, changes=[kept(one) for one in pending])
    st.rerun()


def _keep(shop: Shop, page: str, made: WhatIf) -> None:
    """Keep a what-if that fits the shop and take it into the comparison; else tell what does not fit."""
    try:
        apply(shop, made)
    except InputError as fault:
        faults(fault.problems)
        return
    state.save_what_if(made)
    choose_as_well(page, made.name)
    _keep_pending(page, [])
