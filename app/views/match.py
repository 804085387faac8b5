"""Does the model agree with what really happened?"""

import streamlit as st

from app import state
from app.panel import ask_panel, pictures_and_tables
from app.record_upload import give_records, record_of
from app.records import TABLES, usable_rows
from app.say import faults, plain
from shopsim.answers.match import MatchesRecord
from shopsim.errors import InputError
from shopsim.sentences.words import weeks_text
from shopsim.studies.match import MatchPlan, runs_needed
from shopsim.studies.match_luck import Tolerance
from shopsim.studies.match_record import PeriodPlan

PAGE = "match"
_STARTS = {"empty": "by the first weeks on record", "warm": "by the same orders once more before"}
st.title("Does it match?")
st.caption(
    "The weeks on record run again with the recorded orders, many times: what happened should be one of these runs, as "
    "far as luck can tell."
)
shop = state.sound_shop()
verdict = st.container()
entered = state.entered(PAGE)
st.header("What happened", divider="gray")
give_records(PAGE, TABLES, shop.scenario)
rows, told = usable_rows(state.required(), shop.scenario)
for line in told:
    st.caption(plain(line))
if not rows["orders"]:
    st.info("Give an order history with the day on which each order was shipped.", icon=":material/info:")
    st.stop()

st.header("What to compare", divider="gray")
one, two, three = st.columns(3)
start = one.selectbox("The shop is filled", list(_STARTS), list(_STARTS).index(entered.get("start", "empty")),
                      format_func=_STARTS.__getitem__, key=f"{PAGE}.start")  # fmt: skip
run_in = two.number_input("Weeks that fill it", 0, 52, int(entered.get("run_in", 3)), key=f"{PAGE}.run_in",
                          help="Longer than most orders are inside.")  # fmt: skip
hold_out = three.number_input("Held-out weeks", 0, 52, int(entered.get("hold_out", 0)), key=f"{PAGE}.hold_out",
                              help="Above 0: the shop is fitted to the weeks before, and only these last weeks are "
                              "compared.")  # fmt: skip
pct = one.number_input("Good enough within, %", 0.1, 100.0, float(entered.get("pct", 10.0)), key=f"{PAGE}.pct")
points = two.number_input("On time within, points", 0.1, 100.0, float(entered.get("points", 5.0)), key=f"{PAGE}.points")
count = three.number_input("Runs", runs_needed(MatchPlan(3), shop.scenario.study.confidence_pct), state.MOST_RUNS,
                           int(entered.get("count", MatchPlan().count)), key=f"{PAGE}.count")  # fmt: skip
state.keep_entered(PAGE, start=start, run_in=run_in, hold_out=hold_out, pct=pct, points=points, count=count)
question = MatchesRecord(
    scenario=state.required().name, shop=shop, **rows,
    period=PeriodPlan(run_in, hold_out, "empty" if hold_out else start), plan=MatchPlan(count, Tolerance(pct, points)),
)  # fmt: skip
try:
    record = record_of(question)
except InputError as fault:
    faults(fault.problems)
    st.stop()
with verdict:
    st.header("The verdict", divider="gray")
    st.subheader(f"{record.first:%d %b %Y} to {record.last:%d %b %Y}, {weeks_text(record.weeks)}")
    answer = ask_panel(question, PAGE, "Compare")
    if answer is not None:
        for note in answer.document["notes"]:
            st.warning(plain(note), icon=":material/info:")
if answer is not None:
    st.header("Figure by figure", divider="gray")
    pictures_and_tables(answer)
