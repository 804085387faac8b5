"""One run day by day: a part of a page that is drawn anew by itself, from what is worked out once."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from pathlib import Path

import streamlit as st

from app.say import picture
from shopsim.answers import a_day
from shopsim.answers.drawn import Drawn
from shopsim.answers.question import shop_key
from shopsim.floor.record import RunLog
from shopsim.shop.shop_file import Shop

_INTERRUPTED = Path(__file__).resolve().parent / "static" / "interrupted.html"
_OF_SHOP = {Shop: shop_key}


@st.fragment
def day_by_day(shop: Shop, runs: int, page: str) -> None:
    """Choose a run of those asked for, see how its weeks go, choose a day and see it on the floor."""
    one, two = st.columns(2)
    number = one.number_input("Run", 1, runs, key=f"{page}.run_shown", help="One of the runs the answer rests on.")
    first, last = a_day.days_of(_run(shop, number - 1), shop)
    busiest = a_day.busiest_day(_run(shop, number - 1), shop)
    day = two.date_input("A day on the floor", busiest, first, last, key=f"{page}.day",
                         help="At first the day of this run on which people worked most.")  # fmt: skip
    for each in _week(shop, number - 1):
        picture(each.figure, each.words, f"{page}.week.{each.name}")
    pictures = _day(shop, number - 1, day)
    for each in pictures:
        picture(each.figure, each.words, f"{page}.day.{each.name}")
    if not pictures:
        st.info(f"Nothing is recorded on {day:%A, %d %B %Y}: the shop is closed.", icon=":material/event_busy:")
    st.html(_INTERRUPTED, unsafe_allow_javascript=True)


@st.cache_resource(max_entries=2, show_spinner="Running the shop once …", hash_funcs=_OF_SHOP)
def _run(shop: Shop, replication: int) -> RunLog:
    return a_day.one_run(shop, replication)


@st.cache_resource(max_entries=4, show_spinner="Looking at the weeks …", hash_funcs=_OF_SHOP)
def _week(shop: Shop, replication: int) -> Sequence[Drawn]:
    return tuple(a_day.of_week(_run(shop, replication), shop))


@st.cache_resource(max_entries=20, show_spinner="Looking at the day …", hash_funcs=_OF_SHOP)
def _day(shop: Shop, replication: int, day: datetime.date) -> Sequence[Drawn]:
    return tuple(a_day.of_day(_run(shop, replication), shop, day))
