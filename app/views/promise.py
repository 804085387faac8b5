"""What date can be promised this morning: open orders at risk first, then a date for a request."""

from __future__ import annotations

import streamlit as st

from app import state
from app.chosen import choose_what_ifs
from app.morning import pick_morning
from app.panel import ask_panel, pictures_and_tables
from app.request_lines import request_lines
from app.say import cautions, faults
from shopsim.answers.promise import PromiseADate
from shopsim.answers.promise_request import request_of
from shopsim.answers.question import Changed, all_changed, changed, notes_of
from shopsim.errors import InputError
from shopsim.shop.collections import cut_off_of
from shopsim.shop.today_file import require_fits
from shopsim.studies.promise import PromisePlan

PAGE = "promise"
_MOST_FUTURES = 400
st.title("Promise a date")
st.caption("The shop from this morning on, many times: which orders leave by their dates, and when a new one could.")
shop = state.sound_shop()
entered = state.entered(PAGE)
morning = pick_morning(PAGE, shop)
if morning is None:
    st.stop()
try:
    shop = changed(shop, morning.before).shop
except InputError as fault:
    faults(fault.problems)
    st.stop()

one, two = st.columns(2)
chance = one.slider("Chance wanted, %", 50, 99, int(entered.get("chance", 80)), key=f"{PAGE}.chance")
count = two.number_input(
    "Futures", 20, _MOST_FUTURES, int(entered.get("count", 100)), step=10, key=f"{PAGE}.count",
    help="Each is the shop simulated once from this morning on; more of them make chances surer.",
)  # fmt: skip
ask = st.toggle("A customer asks for a date", value=bool(entered.get("ask", False)), key=f"{PAGE}.ask")
state.keep_entered(PAGE, chance=chance, count=count, ask=ask)
request = wanted = None
options: tuple[Changed, ...] = ()
try:
    if ask:
        lines = request_lines(PAGE, shop.scenario)
        by = st.date_input("Wanted by", None, min_value=morning.today.now.date(), key=f"{PAGE}.by",
                           help="Leave empty to ask for the earliest date.")  # fmt: skip
        rush_at, file_at = st.columns(2)
        rush = rush_at.checkbox("Rush order", key=f"{PAGE}.rush")
        new_file = file_at.checkbox("Files are still to be checked and approved", key=f"{PAGE}.new_file")
        known = {what_if.name: what_if for what_if in state.what_ifs()}
        chosen = choose_what_ifs(PAGE, "Further ways to make it", known, "None: only what the house rules allow")
        options = all_changed(shop, [[known[name]] for name in chosen])
        for option in options:
            require_fits(morning.today, option.shop.scenario, option.name)
        request = request_of(
            shop.scenario, morning.today, lines, by, rush=rush, new_file=new_file, source="the request"
        )  # fmt: skip
        wanted = cut_off_of(by, shop.scenario) if by else None
except InputError as fault:
    faults(fault.problems)
    st.stop()
question = PromiseADate(
    scenario=state.required().name, shop=shop, today=morning.today, request=request,
    plan=PromisePlan(count, float(chance), wanted), changed=options, notes=morning.notes,
    before=morning.before,
)  # fmt: skip
answer = ask_panel(question, PAGE, "Look ahead")
for option in options:
    cautions(notes_of(shop, option))
if answer is not None:
    pictures_and_tables(answer)
