"""Order histories and logs given on a page: the mapping beside a preview of what becomes of every row."""

from __future__ import annotations

import hashlib

import pandas as pd
import streamlit as st

from app import state
from app.mapping_editor import begin_anew, edit_mapping
from app.records import KINDS, Kept, keep, kept
from app.say import faults, plain, table
from shopsim.answers.match import MatchesRecord
from shopsim.errors import InputError
from shopsim.sentences.reading import rows_read
from shopsim.shop.exports.reading import Reading
from shopsim.shop.scenario import Scenario
from shopsim.studies.match_record import Record

_MOST_MB = 20
_FIRST, _MOST_TOLD = 8, 20
TITLES = {
    "orders": "Order history", "printer_log": "Printer log", "work_log": "Log of work after the printer",
    "time_stamps": "Time stamps",
}  # fmt: skip
_HELP = {
    "orders": "One row an order line. With the day on which it was shipped, the model can be compared with it.",
    "printer_log": "One row a run, roll change, check, stop or breakdown.",
    "work_log": "One row a bundle at a place, with minutes or start and end.",
    "time_stamps": "One row an order and step: a place of the shop, when, and whether it was the start or the end.",
}


def give_records(page: str, tables: tuple[str, ...], scenario: Scenario) -> None:
    """A tab a table: upload, mapping, preview."""
    for name, place in zip(tables, st.tabs([TITLES[name] for name in tables]), strict=True):
        with place:
            _give(page, name, kept(state.required(), name), scenario)


def _give(page: str, name: str, found: Kept | None, scenario: Scenario) -> None:
    given = st.file_uploader(
        f"{TITLES[name]} (.csv or .xlsx)", type=list(KINDS), max_upload_size=_MOST_MB, key=f"{page}.{name}",
        help=_HELP[name],
    )  # fmt: skip
    if given is not None and st.session_state.get(_stamp_key(page, name)) != _stamp(given.getvalue()):
        st.session_state[_stamp_key(page, name)] = _stamp(given.getvalue())
        products = {product.id: product.name or product.id for product in scenario.products}
        try:
            _, doubts = keep(state.required(), name, given.name, given.getvalue(), products)
        except InputError as fault:
            faults(fault.problems)
            return
        begin_anew(name)
        st.session_state[f"{page}.{name}.doubts"] = doubts
        st.rerun()
    if found is None:
        return
    st.markdown(f"In use: **{plain(found.name)}**")
    for doubt in st.session_state.get(f"{page}.{name}.doubts", ()):
        st.warning(plain(f"To settle: {doubt}"), icon=":material/help:")
    edit_mapping(found, {product.id: product.name or product.id for product in scenario.products})
    try:
        reading = found.reading()
    except InputError as fault:
        faults(fault.problems)
    else:
        _preview(reading)
    st.button("Leave this file out", icon=":material/delete:", key=f"{page}.{name}.leave_out", on_click=_leave_out,
              args=(page, name))  # fmt: skip


def _preview(reading: Reading) -> None:
    told = rows_read(reading)
    st.markdown(f"**{plain(told.sentence)}**")
    st.caption(plain(told.below))
    usable = reading.usable
    if usable:
        first = [{name: str(value) for name, value in row.values.items()} for row in usable[:_FIRST]]
        st.dataframe(pd.DataFrame(first), hide_index=True, alt="The first rows as they are read")
    bad = [row for row in reading.rows if row.reasons]
    if bad:
        table(("Row", "Rejected because"), [(row.place, "; ".join(row.reasons)) for row in bad[:_MOST_TOLD]],
              left=(0, 1), note=_more(len(bad)))  # fmt: skip
    mended = [row for row in reading.rows if row.notes and not row.reasons]
    if mended:
        table(("Row", "Repaired"), [(row.place, "; ".join(row.notes)) for row in mended[:_MOST_TOLD]],
              left=(0, 1), note=_more(len(mended)))  # fmt: skip


def _more(count: int) -> str:
    return f"and {count - _MOST_TOLD:,} more" if count > _MOST_TOLD else ""


def _leave_out(page: str, name: str) -> None:
    found = kept(state.required(), name)
    if found is not None:
        found.remove()
    begin_anew(name)
    st.session_state.pop(f"{page}.{name}.doubts", None)


@st.cache_resource(
    max_entries=4, show_spinner="Reading the record …", hash_funcs={MatchesRecord: lambda one: one.asked}
)
def record_of(question: MatchesRecord) -> Record:
    """What happened, read (and with held-out weeks fitted) once for each question. Raises ExportError."""
    return question.record


def _stamp(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _stamp_key(page: str, name: str) -> str:
    return f"{page}.{name}.stamp"
