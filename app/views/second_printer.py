"""Does another printer pay, when, and from what demand on."""

from dataclasses import replace

import streamlit as st

from app import state
from app.panel import ask_with_cautions, what_to_ask
from app.printer_form import PrinterForm
from app.say import faults, plain
from shopsim.answers.payback import PaysBack, orders_won_of, spending_of
from shopsim.answers.question import changed, notes_of
from shopsim.answers.ready_made import adds_printer
from shopsim.errors import InputError
from shopsim.sentences.spending import spending_told
from shopsim.shop.what_if import WhatIf
from shopsim.studies.payback_inputs import PaybackPlan, usual_ranges

PAGE = "second_printer"
HERE = "One described here"
st.title("Second printer")
st.caption("Its cash flow year by year against the shop as it stands, with the same orders and those it wins on top.")
shop = state.sound_shop()
scenario, file = shop.scenario, state.required().name
if not scenario.printers:
    st.info("This shop prints nothing itself.", icon=":material/info:")
    st.stop()


def keep(one: WhatIf, won_pct: float, won_weeks: float) -> None:
    """A button that keeps the printer described, with the orders it is hoped to win."""
    if st.button("Keep this printer as a what-if", icon=":material/save:", key=f"{PAGE}.save"):
        hoped = {"orders_won_pct": won_pct, "orders_won_weeks": won_weeks}
        state.save_what_if(replace(one, spends=one.spends and one.spends.model_copy(update=hoped)))
        st.toast("Kept: it is on the What if page, and in the files you save.")


ready = {one.name: one for one in state.what_ifs() if adds_printer(one)}
with what_to_ask(PAGE):
    machines, before = [*ready, HERE], state.entered(PAGE).get("machine")
    at_first = machines.index(before) if before in machines else 0
    machine = st.selectbox("Which printer", machines, at_first, key=f"{PAGE}.machine")
    state.keep_entered(PAGE, machine=machine)
    form = PrinterForm(PAGE, machine)
    try:
        what_if = ready[machine] if machine in ready else form.described(scenario, file)
        option = changed(shop, [what_if])
        spending, said = spending_of(shop, option), orders_won_of(shop, option)
    except InputError as fault:
        faults(fault.problems)
        st.stop()
    if machine in ready:
        facts = spending_told(spending, scenario.money.currency)
        silent = "" if what_if.spends is not None else "; by the shop's file, for the what-if says nothing of its cost"
        st.markdown(f"Worked out with: {plain(facts + silent)}.")
    wanted = form.expected(said.pct, said.weeks)
    if machine == HERE:
        keep(what_if, wanted.won_pct, wanted.won_weeks)
plan = PaybackPlan(
    max(2, scenario.study.replications), spending, wanted.interest_pct, wanted.growth_pct, wanted.tax_pct / 100,
    orders_won_pct=wanted.won_pct, orders_won_weeks=wanted.won_weeks,
)  # fmt: skip
question = PaysBack(scenario=file, shop=shop, changed=option, plan=replace(plan, ranges=usual_ranges(plan)))
ask_with_cautions(question, PAGE, "Work it out", {option.name: notes_of(shop, option)})
