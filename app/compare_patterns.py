"""Shift patterns side by side: the shop as it stands and what-ifs, by cost, dates, nights and rest times."""

from __future__ import annotations

import streamlit as st

from app import state
from app.chosen import choose_what_ifs
from app.panel import ask_panel, pictures_and_tables
from app.say import faults, option_cautions
from shopsim.answers.question import all_changed
from shopsim.answers.shifts import ShiftPatterns
from shopsim.errors import InputError
from shopsim.shop.model_paths import part_of
from shopsim.shop.what_if import WhatIf
from shopsim.studies.comparison import Plan

_PAGE = "shifts"
_OF_PEOPLE = ("shifts", "crews")
_RUNS = (10, 20, 50, 100)


def _about_people(one: WhatIf) -> bool:
    """Whether a what-if changes shifts, crews other than their skills, or overtime."""
    return any((part_of(change.path) in _OF_PEOPLE and ".skills" not in change.path)
               or change.path.startswith("policies.overtime") for change in one.changes)  # fmt: skip


def compare_patterns() -> None:
    """Choose patterns and run them on the same orders."""
    shop = state.shop()
    if shop is None:
        st.info("Mend the shop first.", icon=":material/info:")
        return
    entered = state.entered(_PAGE)
    kept = {each.name: each for each in state.what_ifs()}
    patterns = {name for name, each in kept.items() if _about_people(each)}
    chosen_before = set(entered.get("chosen", [])) & set(kept)
    others = len(kept) > len(patterns) and st.toggle(
        "Offer changes of other things too", bool(chosen_before - patterns), key="shifts.others"
    )
    known = {name: each for name, each in kept.items() if others or name in patterns}
    chosen = choose_what_ifs(_PAGE, "Patterns to set beside the shop as it stands", known,
                             "Paint one above and keep it, or choose one")  # fmt: skip
    runs = st.select_slider("Runs of each", _RUNS, entered.get("runs", 20), key="shifts.runs", width=360)
    state.keep_entered(_PAGE, runs=runs)
    if not chosen:
        return
    try:
        options = all_changed(shop, [[known[name]] for name in chosen])
    except InputError as fault:
        faults(fault.problems)
        return
    plan = Plan("count", runs, at_most=runs)
    question = ShiftPatterns(scenario=state.required().name, shop=shop, changed=options, plan=plan)
    answer = ask_panel(question, _PAGE, "Compare")
    if answer is not None:
        notes = {name: option["notes"] for name, option in answer.document["options"].items()}
        pictures_and_tables(answer, lambda: option_cautions(notes))
