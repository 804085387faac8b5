"""Does another printer pay, when, and from what demand on."""

from dataclasses import replace
from functools import partial

import streamlit as st

from app import state
from app.panel import ask_with_cautions
from app.say import faults, plain
from shopsim.answers.payback import PaysBack, orders_won_of, spending_of
from shopsim.answers.question import changed, notes_of
from shopsim.answers.ready_made import AnotherPrinter, adds_printer, another_printer, like
from shopsim.errors import InputError
from shopsim.shop.what_if import Spends, WhatIf
from shopsim.studies.payback_inputs import PaybackPlan, usual_ranges

PAGE = "second_printer"
HERE = "One described here"
st.title("Second printer")
st.caption("Its cash flow year by year against the shop as it stands, with the same orders and those it wins on top.")
shop = state.sound_shop()
scenario, entered = shop.scenario, state.entered(PAGE)
currency = plain(scenario.money.currency)
if not scenario.printers:
    st.info("This shop prints nothing itself.", icon=":material/info:")
    st.stop()


def number(place: st.delta_generator.DeltaGenerator, name: str, label: str, usual: float, told: str = "",
           low: float = 0.0, high: float = 1e9, of: str = "") -> float:  # fmt: skip
    """A number of the form, as it was left; `of` sets those of one machine apart from another's."""
    kept = f"{name}{of}"
    found = float(place.number_input(label, float(low), float(high), float(entered.get(kept, usual)), format="%g",
                                     help=told or None, key=f"{PAGE}.{kept}.{machine}"))  # fmt: skip
    state.keep_entered(PAGE, **{kept: found})
    return found


def described() -> WhatIf:
    """The printer of the form as a what-if."""
    one, two, three = st.columns(3)
    ids = [printer.id for printer in scenario.printers]
    like_id = one.selectbox("Like", ids, ids.index(entered["like"]) if entered.get("like") in ids else 0,
                            key=f"{PAGE}.like")  # fmt: skip
    # Whoever takes another printer as its like wants that one's price and plate.
    of = f" like {like_id}"
    of_its_own = partial(number, of=of)
    state.keep_entered(PAGE, like=like_id)
    as_is = like(scenario.by_id("printers")[like_id])
    wanted = AnotherPrinter(
        like_id, two.text_input("Name", entered.get(f"name{of}", as_is.name), max_chars=120, key=f"{PAGE}.name{of}")
        or as_is.name,
        of_its_own(three, "speed", "Speed, % of its like", 100, "At the same quality.", 10, 500),
        of_its_own(one, "attention", "Operator at it while printing, %", as_is.attention_pct,
               "One operator looks after several printers (OPR-01).", 0, 100),
        of_its_own(two, "price", f"Price, {currency}", as_is.price or 150_000),
        of_its_own(three, "floor", "Floor, m²", 45),
        None if as_is.plate_m is None else of_its_own(one, "plate", "Heat plate, m", as_is.plate_m, "FIX-01", 0.05, 5),
        None if as_is.tail_m is None
        else of_its_own(two, "tail", "Blank behind the last print, m", as_is.tail_m, "FIX-03"),
    )  # fmt: skip
    state.keep_entered(PAGE, **{f"name{of}": wanted.name})
    besides = number(three, "besides", f"Besides the price, {currency}", 10_000, "Wiring, exhaust, moving in.")
    resale_pct = number(one, "resale", "Resale at the end, % of the price", 20, "CST-02", 0, 100)
    weeks = number(two, "ramp_weeks", "Weeks until it is in full use", 4, "", 0, 200)
    spends = Spends(
        once=wanted.price + besides, resale=wanted.price * resale_pct / 100,
        life_years=number(three, "life", "Years in use", 7, "CST-02", 0.5, 40),
        training_h=number(one, "training", "Hours of training", 40), ramp_up_weeks=weeks,
        ramp_up_speed_pct=number(two, "ramp_speed", "Use until then, %", 75, "", 1, 99) if weeks else 100,
    )  # fmt: skip
    return another_printer(scenario, wanted, spends, f"../{state.required().name}")


ready = {one.name: one for one in state.what_ifs() if adds_printer(one)}
machine = st.selectbox("Which printer", [*ready, HERE], key=f"{PAGE}.machine")
try:
    what_if = ready[machine] if machine in ready else described()
    option = changed(shop, [what_if])
    spending, said = spending_of(shop, option), orders_won_of(shop, option)
except InputError as fault:
    faults(fault.problems)
    st.stop()

one, two, three = st.columns(3)
rate = number(one, "discount", "Interest, % a year", 8, "What the money would earn elsewhere.", 0, 100)
growth = number(two, "growth", "Growth of demand, % a year", 0, "", -50, 100)
tax = number(three, "tax", "Tax on what is earned, %", 0, "", 0, 100)
# What a what-if says of orders won is that one's alone.
of = f" with {machine}"
won = number(one, "won", "Orders won with it, % of today's", said.pct,
             "Orders that would not come, or could not be taken, without it. A hope until they are signed.", 0, 200,
             of)  # fmt: skip
won_weeks = number(two, "won_weeks", "Weeks until all of them come", said.weeks, "", 0, 520, of) if won else 0.0
plan = PaybackPlan(
    max(2, scenario.study.replications), spending, rate, growth, tax / 100, orders_won_pct=won,
    orders_won_weeks=won_weeks,
)  # fmt: skip
question = PaysBack(
    scenario=state.required().name, shop=shop, changed=option, plan=replace(plan, ranges=usual_ranges(plan))
)  # fmt: skip
ask_with_cautions(question, PAGE, "Work it out", {option.name: notes_of(shop, option)})
if machine == HERE and st.button("Keep this printer as a what-if", icon=":material/save:", key=f"{PAGE}.save"):
    hoped = {"orders_won_pct": won, "orders_won_weeks": won_weeks}
    state.save_what_if(replace(what_if, spends=what_if.spends and what_if.spends.model_copy(update=hoped)))
    st.toast("Kept: it is on the What if page, and in the files you save.")
