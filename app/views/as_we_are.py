"""How the shop does as it stands."""

import streamlit as st

from app import state
from app.panel import ask_panel, tables
from shopsim.answers.as_we_are import AsWeAre

st.title("As we are")
shop = state.sound_shop()
count = st.number_input(
    "Runs", 2, 400, state.entered("as_we_are").get("count", shop.scenario.study.replications),
    help="Each run draws new orders, faults and absences. More runs, narrower intervals.", width=160,
)  # fmt: skip
state.keep_entered("as_we_are", count=count)
answer = ask_panel(AsWeAre(scenario=state.required().name, shop=shop, count=count), "as_we_are")
if answer is not None:
    tables(answer)
