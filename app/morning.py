"""Which morning a page looks ahead from: the demo's, a file of it, or an order book with its status column."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

import streamlit as st

from app import state
from app.draft_files import MORNINGS
from app.morning_form import missing_and_down
from app.record_upload import give_records
from app.records import kept
from app.say import faults, plain
from shopsim.errors import InputError, Problem, TodayError
from shopsim.sentences.promising import told_of
from shopsim.shop.demos import demo_forecast, demo_mornings
from shopsim.shop.file_text import decode, write_text
from shopsim.shop.shop_file import Shop
from shopsim.shop.today_book import today_from_reading
from shopsim.shop.today_file import parse_today
from shopsim.shop.today_model import Today
from shopsim.shop.what_if_file import parse_what_if
from shopsim.shop.what_if_model import WhatIf

_MOST_MB = 5
_DEMO, _FILE, _BOOK = "The demo's morning", "A file of this morning", "The order book's status column"
# In a folder of its own: the draft's only file beside it is the scenario.
_KEPT = f"{MORNINGS}/today.yaml"


class Morning(NamedTuple):
    """A morning, what looks like a slip in it, and what the shop is changed by from then on."""

    today: Today
    notes: tuple[str, ...] = ()
    before: tuple[WhatIf, ...] = ()


def pick_morning(page: str, shop: Shop) -> Morning | None:
    """The morning chosen; None, with a word on what is missing, until there is one."""
    demos = demo_mornings(state.required().name)
    ways = [*([_DEMO] if demos else []), _FILE, _BOOK]
    before = state.entered(page).get("from", ways[0])
    way = st.radio("Look ahead from", ways, index=ways.index(before) if before in ways else 0, horizontal=True,
                   key=f"{page}.from")  # fmt: skip
    state.keep_entered(page, **{"from": way})
    try:
        found = _demo(demos[0], shop) if way == _DEMO else _file(page, shop) if way == _FILE else _book(page, shop)
    except InputError as fault:
        faults(fault.problems)
        return None
    if found is not None:
        orders = len(found.today.orders)
        st.markdown(f"**{found.today.now:%A, %d %B %Y, %H:%M}**: {orders:,} open order{'s' if orders != 1 else ''}.")
        for note in (*told_of(found.today), *found.notes):
            st.caption(plain(note))
        for what_if in found.before:
            st.caption(plain(f"With “{what_if.name}”."))
    return found


def _demo(path: Path, shop: Shop) -> Morning:
    """Orders to come are forecast: those of the demo's book would be known beforehand."""
    forecast = demo_forecast(state.required().name)
    told = _parsed(path.read_text(encoding="utf-8"), path.name, shop)
    if forecast is None or shop.scenario.demand.forecast is not None:
        return told
    what_if = parse_what_if(forecast.read_text(encoding="utf-8"), forecast.name)
    return told._replace(before=(what_if,))


def _parsed(text: str, name: str, shop: Shop) -> Morning:
    today, warnings = parse_today(text, name, shop.scenario)
    return Morning(today, tuple(_told(warnings)))


def _told(warnings: Sequence[Problem]) -> list[str]:
    late = sum("late already" in warning.message for warning in warnings)
    rest = [str(warning) for warning in warnings if "late already" not in warning.message]
    return [*([f"{late} of the open orders are late already."] if late else []), *rest]


def _file(page: str, shop: Shop) -> Morning | None:
    """The file given now, or the one kept with the open shop."""
    here = state.required().folder / _KEPT
    given = st.file_uploader("The morning (.yaml)", type=["yaml", "yml"], max_upload_size=_MOST_MB, key=f"{page}.file")
    if given is not None:
        text = decode(given.getvalue(), given.name, TodayError)
        found = _parsed(text, given.name, shop)
        here.parent.mkdir(exist_ok=True)
        write_text(here, text)
        return found
    if here.exists():
        return _parsed(here.read_text(encoding="utf-8"), here.name, shop)
    st.info("Give a file of the morning: open orders and where they are.", icon=":material/upload_file:")
    return None


def _book(page: str, shop: Shop) -> Morning | None:
    """The open orders of a list, read by its mapping, with what the form tells besides."""
    day_at, clock_at = st.columns(2)
    begin = max(datetime.datetime.now().date(), shop.scenario.shop.starts)
    day = day_at.date_input("The book is as of", begin, key=f"{page}.day")
    clock = clock_at.time_input("at", datetime.time(7), key=f"{page}.clock")
    give_records(page, ("orders",), shop.scenario)
    found = kept(state.required(), "orders")
    if found is None:
        st.info(
            "Give the order book with its status column: approval, print, cut, sew …, complete, shipped, cancelled; "
            "and the pieces done, if known.", icon=":material/upload_file:",
        )  # fmt: skip
        return None
    told = missing_and_down(page, shop.scenario, datetime.datetime.combine(day, clock))
    reading = replace(found.reading(), file=found.name)
    return Morning(today_from_reading(reading, shop.scenario, told).today)
