"""Values from the shop's own records: found beside the present ones, with pictures, and taken on a button."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import streamlit as st

from app import edits, state
from app.record_upload import give_records
from app.records import TABLES, usable_rows
from app.say import faults, picture, plain, table
from shopsim.answers.drawn import of_fit
from shopsim.answers.fit import fitted_text, value_now, value_text
from shopsim.errors import InputError
from shopsim.figures import plain as number
from shopsim.sentences.fitting import fitted_sentence, interval_text
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_file import parse_scenario
from shopsim.shop.yaml_writing import block
from shopsim.studies.fit_found import Fitted
from shopsim.studies.fit_shop import ShopFit, fit_shop, ranges_text

PAGE = "fit"


def fit_records() -> None:
    """Histories and logs of the open shop, what they tell, and the button that takes it."""
    scenario = edits.current().scenario
    if scenario is None:
        st.info("Mend the shop first: records are read by its products and places.", icon=":material/info:")
        return
    give_records(PAGE, TABLES, scenario)
    rows, told = usable_rows(state.required(), scenario)
    for line in told:
        st.caption(plain(line))
    if not any(rows.values()):
        return
    draft = state.required()
    try:
        fit = _fit(draft.text(), draft.name, _Rows(rows))
    except ValueError as fault:
        st.error(plain(fault), icon=":material/error:")
        return
    _show(fit, scenario)


class _Rows:
    """Rows that are the same as long as they come from the same reading."""

    def __init__(self, rows: dict[str, tuple[dict[str, Any], ...]]) -> None:
        self.rows = rows
        self.told = hash(tuple(repr(listed) for listed in rows.values()))

    def __hash__(self) -> int:
        return self.told

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Rows) and other.told == self.told and other.rows == self.rows


@lru_cache(maxsize=4)
def _fit(text: str, name: str, given: _Rows) -> ShopFit:
    scenario = parse_scenario(text, name)
    return fit_shop(scenario, **given.rows, confidence_pct=scenario.study.confidence_pct)


def _show(fit: ShopFit, scenario: Scenario) -> None:
    told = fitted_sentence(fit)
    st.markdown(f"### {plain(told.sentence)}")
    st.caption(plain(told.below))
    written = [_row(one, scenario) for one in fit.written]
    table(("What", "In the file now", "Found", "Interval", "From"), written, left=(0, 1, 2, 3, 4),
          title="Values for the file")  # fmt: skip
    only_told = [one for one in fit.fitted if not one.path]
    if only_told:
        rows = [(one.about, number(one.estimate.value), interval_text(one), _from(one)) for one in only_told]
        table(("What", "Found", "Interval", "From"), rows, left=(0, 1, 2, 3), title="Told, not written")
    if fit.left:
        with st.expander("Not fitted, or changed on the way", icon=":material/info:"):
            st.markdown("\n".join(f"- {plain(line)}" for line in fit.left))
    drawn = list(of_fit(fit))
    if drawn:
        names = [each.name for each in drawn]
        at = st.selectbox("Picture: measured against fitted", range(len(names)), format_func=names.__getitem__,
                          key=f"{PAGE}.picture")  # fmt: skip
        picture(drawn[at or 0].figure, drawn[at or 0].words, f"{PAGE}.drawn")
    _take(fit)


def _row(one: Fitted, scenario: Scenario) -> tuple[str, ...]:
    found = value_text(one.value)
    return one.about, value_now(scenario, one.path) or "-", found, interval_text(one), _from(one)


def _from(one: Fitted) -> str:
    return f"{one.estimate.n:,} {one.of}"


def _take(fit: ShopFit) -> None:
    draft = state.required()
    answer = fitted_sentence(fit)
    try:
        text = fitted_text(draft.text(), draft.name, fit, answer)
    except InputError as fault:
        faults(fault.problems)
        return
    one, two, three = st.columns(3)
    if one.button("Take these values", type="primary", key=f"{PAGE}.take") and edits.put(text):
        st.toast("Taken. Undo brings the values before them back.")
        st.rerun()
    two.download_button("Save as a file of its own", text, f"{draft.path.stem}_fitted.yaml", "application/yaml",
                        on_click="ignore", key=f"{PAGE}.save", icon=":material/download:")  # fmt: skip
    if fit.ranges:
        ranges = "\n".join(block(ranges_text(fit), 0)) + "\n"
        three.download_button("Save the doubts as ranges", ranges, "doubts.yaml", "application/yaml", on_click="ignore",
                              key=f"{PAGE}.ranges", icon=":material/download:")  # fmt: skip
