"""What the shop is asked for: a forecast by month, weekday and hour, or an order book from a file."""

import streamlit as st

from app import edits, state
from app.fit_panel import fit_records
from app.forecast_editor import edit_forecast
from app.load_panel import load_panel
from app.order_upload import upload_orders
from app.parts import edit_part
from app.say import plain
from shopsim.shop.forms.cell_faults import place_faults
from shopsim.shop.forms.cells import value_at
from shopsim.shop.forms.layout import ORDERS

st.title("Orders")
state.required()
editing = edits.current()
found = place_faults(editing.values, editing.faults)
st.button("Undo", icon=":material/undo:", key="orders.undo", on_click=edits.undo, disabled=not edits.can_undo())


def order_book() -> None:
    """The book in use, or a way to one."""
    st.header("Order book", divider="gray")
    upload_orders()


has_book = value_at(editing.values, ("demand", "order_book")) is not None
if has_book:
    # A forecast beside it may be switched off, and its fields shut.
    order_book()

st.header("How many, and of what", divider="gray")
edit_part((ORDERS,), found, "orders")
for each in found:
    if each.table is None or each.part != ORDERS.key:
        st.error(plain(each), icon=":material/error:")

st.header("Over the year, the week and the day", divider="gray")
edit_forecast()

if not has_book:
    order_book()

st.header("From the shop's own records", divider="gray")
fit_records()

load_panel()
