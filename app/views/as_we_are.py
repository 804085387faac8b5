"""How the shop does as it stands: key measures, pictures, and one run day by day."""

import streamlit as st

from app import state
from app.panel import ask_panel, pictures_and_tables
from app.say import cautions, picture, plain
from shopsim.answers.a_day import days_of, of_day, of_week
from shopsim.answers.as_we_are import AsWeAre
from shopsim.answers.question import cautions_told

PAGE = "as_we_are"
KEY_ROWS = {
    "On time, of orders due": "On time", "half of the orders within": "Half out within",
    "nine orders in ten within": "Nine in ten within", "Orders dispatched": "Orders out a week",
}  # fmt: skip
st.title("As we are")
shop = state.sound_shop()
count = st.number_input(
    "Runs", 2, state.MOST_RUNS, state.runs_entered(PAGE), width=160, key=f"{PAGE}.count",
    help="Each run draws new orders, faults and absences. More runs, narrower intervals.",
)  # fmt: skip
state.keep_entered(PAGE, count=count)
answer = ask_panel(AsWeAre(scenario=state.required().name, shop=shop, count=count), PAGE)
if answer is None:
    st.stop()

orders = {row[0].strip(): row[1:] for row in answer.tables[0]["rows"]}
shown = [(words, orders[name]) for name, words in KEY_ROWS.items() if name in orders]
for place, (words, (mean, between, unit)) in zip(st.columns(len(shown)), shown, strict=True):
    # A unit that stands in the title already would only be cut off behind the number.
    place.metric(words, mean if words.endswith(unit) else f"{mean} {unit}", border=True)
    sure = f"{answer.document['confidence'] * 100:g} % interval "
    place.caption(plain(f"{sure if ' to ' in between else ''}{between}"))
pictures_and_tables(answer)
with st.expander("What to be careful about in this shop", icon=":material/health_and_safety:"):
    cautions(cautions_told(shop))

if st.toggle("Look at one run day by day", key=f"{PAGE}.closely"):
    log = state.first_run(shop)
    first, last = days_of(log, shop)
    for each in of_week(log, shop):
        picture(each.figure, each.words, f"{PAGE}.week.{each.name}")
    day = st.date_input("A day on the floor", first, first, last, key=f"{PAGE}.day")
    for each in of_day(log, shop, day):
        picture(each.figure, each.words, f"{PAGE}.day.{each.name}")
