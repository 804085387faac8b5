"""How the shop does as it stands: key measures, pictures, and one run day by day."""

import streamlit as st

from app import state
from app.care_panel import care_of_shop
from app.day_view import day_by_day
from app.panel import ask_panel, pictures_and_tables
from app.say import plain
from shopsim.answers.as_we_are import AsWeAre
from shopsim.answers.plain import measure_figure
from shopsim.figures import NOTHING

PAGE = "as_we_are"
CARDS = (
    # measure, words, unit, scale
    ("on_time_share", "On time", "%", 100), ("lead_time_p50_h", "Half out within", "days", 1 / 24),
    ("lead_time_p90_h", "Nine in ten within", "days", 1 / 24), ("orders_per_week", "Orders out a week", "", 1),
)  # fmt: skip
st.title("As we are")
st.caption("The shop as it stands, run many times; the answer comes after the first four runs and gets surer.")
shop = state.sound_shop()
count = st.number_input(
    "Runs", 2, state.MOST_RUNS, state.runs_entered(PAGE), width=160, key=f"{PAGE}.count",
    help="Each run draws new orders, faults and absences. More runs, narrower intervals.",
)  # fmt: skip
state.keep_entered(PAGE, count=count)
answer = ask_panel(AsWeAre(scenario=state.required().name, shop=shop, count=count), PAGE)
if answer is None:
    care_of_shop(shop)
    st.stop()

for place, (name, words, unit, scale) in zip(st.columns(len(CARDS)), CARDS, strict=True):
    number = measure_figure(answer.document["measures"][name], answer.document["replications"], scale)
    place.metric(words, f"{number.mean} {unit}".rstrip() if number.mean != NOTHING else NOTHING, border=True)
    sure = f"{answer.document['confidence'] * 100:g} % interval "
    place.caption(plain(f"{sure if ' to ' in number.between else ''}{number.between}"))
pictures_and_tables(answer, lambda: care_of_shop(shop))

if st.toggle("Look at one run day by day", key=f"{PAGE}.closely"):
    day_by_day(shop, count, PAGE)
