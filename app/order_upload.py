"""An order book from a file: looked through first, every row that cannot be taken told with its reasons."""

from __future__ import annotations

import datetime
import hashlib
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

import pandas as pd
import streamlit as st

from app import edits, state
from app.say import plain, table
from shopsim.shop.changes import Change
from shopsim.shop.file_text import write_text
from shopsim.shop.forms.layout import LAYOUTS
from shopsim.shop.forms.tables import Table, Values
from shopsim.shop.order_book import OrderLine, order_book_text
from shopsim.shop.order_preview import Preview, first_rows, preview_order_book
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_file import parse_scenario

_MOST_MB = 20
_FIRST = 10


def upload_orders() -> None:
    """The book in use, and a new one in its place."""
    shop = state.shop()
    if shop is not None and shop.scenario.demand.order_book is not None:
        orders = len({line.order_id for line in shop.order_lines})
        name = shop.scenario.demand.order_book.file
        st.markdown(f"In use: **{plain(name)}**, {orders:,} orders, {len(shop.order_lines):,} order lines.")
        st.button("Leave the order book out", icon=":material/delete:", key="orders.leave_out", on_click=_leave_out)
    scenario = edits.current().scenario
    if scenario is None:
        st.info("Mend the shop first: orders are checked against its products.", icon=":material/info:")
        return
    given = st.file_uploader(
        "An order book (.csv or .xlsx)", type=["csv", "xlsx"], max_upload_size=_MOST_MB, key="orders.book",
        help="Columns: order_id, received, due, product, pieces; if known also width_m, height_m, rush, repeat, "
        "approved, cancelled, priority. At most 200,000 rows.",
    )  # fmt: skip
    if given is not None:
        _preview(_looked_through(given.getvalue(), given.name, edits.current().text), given.name, scenario)


@lru_cache(maxsize=4)
def _looked_through(content: bytes, name: str, shop_text: str) -> Preview:
    return preview_order_book(content, name, parse_scenario(shop_text, "shop"))


def _preview(found: Preview, name: str, scenario: Scenario) -> None:
    if found.broken:
        st.error(f"{plain(name)}: {plain(found.broken)}", icon=":material/error:")
    if found.rejected:
        _rejected(found)
    if not found.lines:
        st.info("No order can be taken from this file.", icon=":material/info:")
        return
    st.markdown(f"**{_orders(found.orders)}** with {len(found.lines):,} order lines can be taken.")
    st.dataframe(pd.DataFrame(first_rows(found.lines, _FIRST)), hide_index=True, alt="The first order lines")
    table(("Product", "Order lines", "Pieces"), found.by_product(), title="What is ordered")
    table(("Week of", "Orders received"), found.by_week(), title="When")
    forecast = scenario.demand.forecast is not None
    after = forecast and st.checkbox(
        "The forecast takes over after the last order received", key="orders.then_forecast"
    )
    label = "Take this order book" if found.sound else f"Take the {_orders(found.orders)} without faults"
    if st.button(label, type="primary", key="orders.take") and _take(found.lines, name, forecast and not after):
        st.rerun()


def _orders(count: int) -> str:
    return f"{count:,} order{'s' if count != 1 else ''}"


def _rejected(found: Preview) -> None:
    count = f"{found.rejected_rows:,} row{'s' if found.rejected_rows > 1 else ''} cannot be taken"
    left = f"; sound rows of the same orders are left out too: {found.left_out:,}" if found.left_out else ""
    st.error(f"{count}{left}.", icon=":material/error:")
    table(("Line", "Order", "Reasons"), [(row.line, row.order, "; ".join(row.reasons)) for row in found.rejected],
          left=(1, 2))  # fmt: skip
    if found.rejected_rows > len(found.rejected):
        st.caption(f"and {found.rejected_rows - len(found.rejected):,} more rows")


def _take(lines: tuple[OrderLine, ...], name: str, leave_forecast_out: bool) -> bool:
    text = order_book_text(lines)
    # A name of its own for each book, so that undoing finds the old one untouched.
    stem = "".join(sign if sign.isalnum() else "_" for sign in Path(name).stem.lower())[:30]
    file = f"{stem}_{hashlib.sha256(text.encode()).hexdigest()[:8]}.csv"
    write_text(state.required().folder / file, text)

    def changes(values: Values) -> Iterator[Change]:
        yield Change("set", "demand.order_book", {"file": file})
        if (values.get("demand") or {}).get("forecast") is not None:
            last = max(line.received.date() for line in lines)
            forecast = Change("set", "demand.forecast.starts", last + datetime.timedelta(days=1))
            yield Change("remove", "demand.forecast") if leave_forecast_out else forecast

    return edits.make(changes)


def _leave_out() -> None:
    def changes(values: Values) -> Iterator[Change]:
        yield Change("remove", "demand.order_book")
        demand = values.get("demand") or {}
        if demand.get("forecast") is None and not demand.get("hire_fleets"):
            # Orders must come from somewhere.
            yield from Table(LAYOUTS["demand"]).edits(values, {0: {"forecast.*": True}})

    edits.make(changes)
