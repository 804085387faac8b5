"""Does a change help: ready what-ifs beside the shop as it stands, and new ones composed here."""

import streamlit as st

from app import state
from app.chosen import choose_as_well, choose_what_ifs
from app.panel import ask_panel, pictures_and_tables
from app.picks import compose_change, kept, read_kept, said
from app.say import cautions, faults, plain
from shopsim.answers.comparison import WhatIfHelps, usual_plan
from shopsim.answers.question import all_changed
from shopsim.errors import InputError
from shopsim.shop.changes import Change
from shopsim.shop.what_if import WhatIf, apply
from shopsim.studies.comparison import Plan

PAGE = "what_if"
st.title("What if")
st.caption("Each change meets exactly the same orders as the shop as it stands.")
shop = state.sound_shop()
entered = state.entered(PAGE)
known = {what_if.name: what_if for what_if in state.what_ifs()}


def keep(name: str, note: str, changes: list[Change]) -> None:
    """Keep a what-if that fits the shop and take it into the comparison; else tell what does not fit."""
    try:
        made = WhatIf(name, tuple(changes), f"../{state.required().name}", note)
        apply(shop, made)
    except InputError as fault:
        faults(fault.problems)
        return
    state.save_what_if(made)
    state.keep_entered(PAGE, changes=[])
    choose_as_well(PAGE, name)
    st.rerun()


chosen = choose_what_ifs(PAGE, "Changes to compare with the shop as it stands", known, "Choose one or several")

with st.expander("Compose a new what-if", expanded=not known):
    pending = [read_kept(one) for one in entered.get("changes", [])]
    try:
        change = compose_change(shop.scenario)
    except InputError as fault:
        faults(fault.problems)
        change = None
    if st.button("Add to the list", disabled=change is None, key="what_if.add") and change is not None:
        pending.append(change)
        state.keep_entered(PAGE, changes=[kept(one) for one in pending])
        st.rerun()
    for number, one in enumerate(pending):
        text, button = st.columns([5, 1])
        text.markdown(f"{number + 1}\\. {plain(said(one))}")
        if button.button("Drop", key=f"what_if.drop.{number}"):
            state.keep_entered(PAGE, changes=[kept(each) for each in pending if each is not one])
            st.rerun()
    if pending:
        name = st.text_input("Its name", max_chars=120, key="what_if.name")
        note = st.text_area("A note for whoever reads it", key="what_if.note", height=80)
        if st.button("Keep this what-if", type="primary", disabled=not name, key="what_if.keep"):
            keep(name, note, pending)

PLANS = ("20 runs each", "Until on time is known to ±2 points")
runs = st.radio(
    "How long to run", PLANS, PLANS.index(entered["plan"]) if entered.get("plan") in PLANS else 0, horizontal=True,
    key="what_if.plan",
)  # fmt: skip
state.keep_entered(PAGE, plan=runs)
if not chosen:
    st.info("Choose at least one change above.", icon=":material/info:")
    st.stop()
plan = usual_plan("on_time_share") if runs == PLANS[1] else Plan("count", 20, at_most=20)
try:
    options = all_changed(shop, [[known[name]] for name in chosen])
except InputError as fault:
    faults(fault.problems)
    st.stop()
answer = ask_panel(
    WhatIfHelps(scenario=state.required().name, shop=shop, changed=options, plan=plan), PAGE, "Compare"
)  # fmt: skip
if answer is not None:
    for name, option in answer.document["options"].items():
        if option["differs"]:
            st.markdown(
                f"**{plain(name)}**\n\n" + "\n".join(f"- {plain(line.replace('_', ' '))}" for line in option["differs"])
            )
        cautions(option["notes"])
    pictures_and_tables(answer)
