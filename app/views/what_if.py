"""Does a change help: ready what-ifs beside the shop as it stands, and new ones composed here."""

import streamlit as st

from app import state
from app.chosen import choose_what_ifs
from app.compose import compose_what_if
from app.kept_what_ifs import make_together, options_of, rename_or_delete
from app.panel import ask_panel, pictures_and_tables, what_to_ask
from app.say import faults, option_cautions, plain
from shopsim.answers.comparison import WhatIfHelps, usual_plan
from shopsim.answers.question import all_changed
from shopsim.errors import InputError
from shopsim.studies.comparison import Plan

PAGE = "what_if"
PLANS = ("20 runs each", "Until on time is known to ±2 points")
st.title("What if")
st.caption("Each change meets exactly the same orders as the shop as it stands.")
shop = state.sound_shop()
entered = state.entered(PAGE)
known = {what_if.name: what_if for what_if in state.what_ifs()}
together = [names for names in entered.get("together", []) if known.keys() >= set(names)]
on_offer = options_of(known, together)
with what_to_ask(PAGE):
    chosen = choose_what_ifs(PAGE, "Changes to compare with the shop as it stands", on_offer, "Choose one or several")
    with st.expander("Compose a new what-if", expanded=not known):
        compose_what_if(shop, PAGE)
    if len(known) > 1:
        with st.expander("Make several changes together"):
            make_together(PAGE, known, together)
    if known or state.broken_what_ifs():
        with st.expander("Rename or delete"):
            rename_or_delete(PAGE, known, together)

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
    options = all_changed(shop, [on_offer[name] for name in chosen])
except InputError as fault:
    faults(fault.problems)
    st.stop()
answer = ask_panel(
    WhatIfHelps(scenario=state.required().name, shop=shop, changed=options, plan=plan), PAGE, "Compare"
)  # fmt: skip


def what_each_changes() -> None:
    """In words, what the options of the answer change, and what to be careful about."""
    told = {name: option for name, option in answer.document["options"].items() if option["differs"]}
    for name, option in told.items():
        lines = "\n".join(f"- {plain(line)}" for line in option["differs"])
        st.markdown(f"**{plain(name)}**\n\n{lines}")
    option_cautions({name: option["notes"] for name, option in answer.document["options"].items()})


if answer is not None:
    pictures_and_tables(answer, what_each_changes)
