"""The smallest crew that sends the orders out on time."""

import streamlit as st

from app import state
from app.care_panel import care_of_crew
from app.jobs import Finished
from app.panel import ask_with_cautions, what_to_ask
from app.say import plain
from shopsim.answers.crew import SmallestCrew, size_faults
from shopsim.answers.ready_made import crew_of
from shopsim.studies.crew import WHOLE, CrewPlan, Sizes

PAGE = "sewing_crew"
st.title("Sewing crew")
st.caption("Runs go to the crews of which it is not clear yet, the cheapest first.")
shop = state.sound_shop()
scenario, entered = shop.scenario, state.entered(PAGE)
crews = {crew.id: crew for crew in scenario.crews}
sews = {centre.needed_skill for centre in scenario.work_centres if centre.kind == "sewing"}
at_home = [crew for crew in scenario.crews if crew.home_skill in sews] or scenario.crews
first = max(at_home, key=lambda crew: crew.count).id

with what_to_ask(PAGE):
    chosen = st.multiselect(
        "Crews to size", list(crews), [name for name in entered.get("crews", [first]) if name in crews],
        format_func=lambda name: crews[name].name or name, max_selections=2, key=f"{PAGE}.crews",
        help="One, or two tried in every combination.",
    )  # fmt: skip
    sizes = []
    for name in chosen:
        now = crews[name].count
        low, high = entered.get("sizes", {}).get(name, [max(1, now - 1), now + 3])
        found = st.slider(
            f"Heads of {plain(crews[name].name or name)}, now {now}", 1, max(12, now * 2, high), (max(1, low), high),
            key=f"{PAGE}.{name}",
        )  # fmt: skip
        sizes.append(Sizes(name, *found))
    one, two, three = st.columns(3)
    target = one.number_input(
        "Wanted on time, %", 1.0, 100.0, max(1.0, float(entered.get("target", scenario.study.on_time_target_pct))),
        format="%g", key=f"{PAGE}.target",
    )  # fmt: skip
    tolerance = two.number_input(
        "Closer than this may go either way, points", 0.1, 20.0, float(entered.get("tolerance", 3.0)), format="%g",
        key=f"{PAGE}.tolerance",
        help="Crews nearer to the wanted share than this would take very many runs to tell apart.",
    )  # fmt: skip
    weeks = three.number_input(
        "Also by blocks of weeks (0: no)", 0, 52, int(entered.get("weeks", 0)), key=f"{PAGE}.weeks",
        help="Which crew the orders due in each block would ask for.",
    )  # fmt: skip
    state.keep_entered(
        PAGE, crews=chosen, sizes={one.crew: [one.low, one.high] for one in sizes}, target=target, tolerance=tolerance,
        weeks=weeks,
    )  # fmt: skip
wrong = size_faults(sizes, scenario)
if not sizes or wrong:
    st.info(plain("; ".join(wrong)) if wrong else "Choose a crew.", icon=":material/info:")
    st.stop()
st.caption("More people need seats too: a crew above the machines there are finds none to sit at.")
plan = CrewPlan(tuple(sizes), target / 100, tolerance / 100, weeks or None)
question = SmallestCrew(scenario=state.required().name, shop=shop, plan=plan)


def keep(answer: Finished) -> None:
    """A button that keeps the crew found."""
    heads = answer.document["enough"][WHOLE]
    if heads and st.button("Keep this crew as a what-if", icon=":material/save:", key=f"{PAGE}.save"):
        state.save_what_if(crew_of(scenario, heads, f"../{state.required().name}"))
        st.toast("Kept: it is on the What if page, and in the files you save.")


fewest, most = {one.crew: one.low for one in sizes}, {one.crew: one.high for one in sizes}
notes = {crew_of(scenario, heads, state.required().name).name: care_of_crew(shop, heads) for heads in (fewest, most)}
ask_with_cautions(question, PAGE, "Find the crew", notes, keep)
