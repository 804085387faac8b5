"""Which morning a page looks ahead from: the demo's, a file of it, or an order book with its status column."""

from __future__ import annotations

import datetime
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

import streamlit as st

from app import state
from app.draft_files import MORNINGS
from app.say import faults, plain
from shopsim.errors import InputError, Problem, TodayError
from shopsim.shop.demos import demo_mornings
from shopsim.shop.file_text import decode, write_text
from shopsim.shop.shop_file import Shop
from shopsim.shop.today_book import TodayBook, today_from_book
from shopsim.shop.today_file import parse_today
from shopsim.shop.today_model import Today

_MOST_MB = 5
_DEMO, _FILE, _BOOK = "The demo's morning", "A file of this morning", "An order book with a status column"
# In a folder of its own: the draft's only file beside it is the scenario.
_KEPT = f"{MORNINGS}/today.yaml"


class Morning(NamedTuple):
    """A morning, and what was taken for granted."""

    today: Today
    notes: tuple[str, ...]


def pick_morning(page: str, shop: Shop) -> Morning | None:
    """The morning chosen; None, with a word on what is missing, until there is one."""
    demos = demo_mornings(state.required().name)
    ways = [*([_DEMO] if demos else []), _FILE, _BOOK]
    kept = state.entered(page).get("from", ways[0])
    way = st.radio("Look ahead from", ways, index=ways.index(kept) if kept in ways else 0, horizontal=True,
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
        for note in filter(None, (found.today.note, *found.notes)):
            st.caption(plain(note))
    return found


def _demo(path: Path, shop: Shop) -> Morning:
    return _parsed(path.read_text(encoding="utf-8"), path.name, shop)


def _parsed(text: str, name: str, shop: Shop) -> Morning:
    today, warnings = parse_today(text, name, shop.scenario)
    return Morning(today, tuple(_told(warnings)))


def _told(warnings: Sequence[Problem]) -> list[str]:
    late = sum("late already" in warning.message for warning in warnings)
    rest = [str(warning) for warning in warnings if "late already" not in warning.message]
    return [*([f"{late} of the open orders are late already."] if late else []), *rest]


def _file(page: str, shop: Shop) -> Morning | None:
    """The file given now, or the one kept with the open shop."""
    kept = state.required().folder / _KEPT
    given = st.file_uploader("The morning (.yaml)", type=["yaml", "yml"], max_upload_size=_MOST_MB, key=f"{page}.file")
    if given is not None:
        text = decode(given.getvalue(), given.name, TodayError)
        found = _parsed(text, given.name, shop)
        kept.parent.mkdir(exist_ok=True)
        write_text(kept, text)
        return found
    if kept.exists():
        return _parsed(kept.read_text(encoding="utf-8"), kept.name, shop)
    st.info("Give a file of the morning: open orders and where they are.", icon=":material/upload_file:")
    return None


def _book(page: str, shop: Shop) -> Morning | None:
    day_at, clock_at = st.columns(2)
    day = day_at.date_input("The book is as of", shop.scenario.shop.starts, key=f"{page}.day")
    clock = clock_at.time_input("at", datetime.time(7), key=f"{page}.clock")
    given = st.file_uploader(
        "An order book (.csv or .xlsx)", type=["csv", "xlsx"], max_upload_size=_MOST_MB, key=f"{page}.book",
        help="Our columns and `status`: shipped, cancelled, approval, print, cut, sew …; `pieces_done` if known.",
    )  # fmt: skip
    if given is None:
        st.info("Give the order book with its status column.", icon=":material/upload_file:")
        return None
    book = _read(given.getvalue(), given.name, shop, datetime.datetime.combine(day, clock))
    return Morning(book.today, ())


def _read(content: bytes, name: str, shop: Shop, now: datetime.datetime) -> TodayBook:
    with tempfile.TemporaryDirectory() as folder:
        # Only the kind of the file's name counts; the name itself may hold anything.
        path = Path(folder) / f"book{Path(name).suffix.lower()}"
        path.write_bytes(content)
        return today_from_book(path, shop.scenario, Today(now=now))
