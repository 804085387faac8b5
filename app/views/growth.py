"""How much more the shop can take on, as it stands and with each change."""

import streamlit as st

from app import state
from app.care_panel import care_at_demand
from app.chosen import choose_what_ifs
from app.panel import ask_with_cautions, what_to_ask
from app.say import faults
from shopsim.answers.growth import RoomToGrow
from shopsim.answers.question import AS_IT_STANDS, all_changed, notes_of
from shopsim.errors import InputError
from shopsim.studies.growth import FACTORS, GrowthPlan

PAGE = "growth"
st.title("Growth")
st.caption("On time against more and less demand, and the demand at which the shop misses its target.")
shop = state.sound_shop()
entered = state.entered(PAGE)
known = {what_if.name: what_if for what_if in state.what_ifs()}
with what_to_ask(PAGE):
    chosen = choose_what_ifs(PAGE, "Changes to look at beside the shop as it stands", known, "None: the shop alone")
    one, two = st.columns(2)
    low, high = one.slider(
        "Demand to begin with, % of today's", 40, 300, tuple(entered.get("demand", (85, 115))), step=5,
        help="More is tried until each break is found.", key=f"{PAGE}.demand",
    )  # fmt: skip
    count = two.number_input(
        "Runs at each demand", 2, state.MOST_RUNS, state.runs_entered(PAGE), key=f"{PAGE}.count"
    )  # fmt: skip
    state.keep_entered(PAGE, demand=[low, high], count=count)
try:
    options = all_changed(shop, [[known[name]] for name in chosen])
    factors = tuple(sorted({low / 100, 1.0, high / 100} if low < high else set(FACTORS)))
    question = RoomToGrow(
        scenario=state.required().name, shop=shop, changed=options,
        plan=GrowthPlan(count, factors, None, max(count, state.MOST_RUNS)),
    )  # fmt: skip
    own = {AS_IT_STANDS: care_at_demand(shop, max(factors))}
except InputError as fault:
    faults(fault.problems)
    st.stop()
ask_with_cautions(question, PAGE, "Find the limit", own | {option.name: notes_of(shop, option) for option in options})
