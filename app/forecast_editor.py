"""How orders come over the year, the week and the day: shares to edit, and a picture of what they come to."""

from __future__ import annotations

import pandas as pd
import streamlit as st
from pydantic import ValidationError

from app import edits
from app.say import picture
from app.steady import new_edits, steady_rows
from shopsim.pictures.forecast import forecast as forecast_picture
from shopsim.pictures.forecast import forecast_in_words
from shopsim.shop.demand import Forecast
from shopsim.shop.forecast_rates import NAMES, Rate, Span, rates, share_changes

_SPANS: dict[Span, str] = {"year": "Over the year", "week": "Over the week", "day": "Over the day"}
_UNITS: dict[Span, str] = {"year": "Index of the month", "week": "Share of the weekday", "day": "Share of the hour"}


def edit_forecast() -> None:
    """The pattern of the open shop's forecast, one span at a time."""
    found = _forecast()
    if found is None:
        st.info("There is no sound forecast; switch it on under “Where orders come from”.", icon=":material/info:")
        return
    span = st.radio("Pattern", list(_SPANS), horizontal=True, key="orders.span", format_func=lambda key: _SPANS[key])
    month = _choice("Month", "year", "orders.month") if span != "year" else None
    weekday = _choice("Day of the week", "week", "orders.weekday") if span == "day" else None
    shown = rates(found, span, month, weekday)
    left, right = st.columns([1, 2])
    with right:
        table = pd.DataFrame({"at": range(1 if span == "year" else 0, len(shown) + (span == "year")),
                              "orders": [rate.orders for rate in shown]})  # fmt: skip
        picture(forecast_picture(table, span), forecast_in_words(table, span), key=f"orders.picture.{span}")
    with left:
        _shares(span, shown, found.evenly_spread)


def _shares(span: Span, shown: list[Rate], is_even: bool) -> None:
    if is_even:
        st.caption("Evenly spread all week: shares do not count.")
        return
    name, shares = f"edit.shares.{span}", [rate.share for rate in shown]
    edited = {row: cells["share"] for row, cells in new_edits(name).items() if "share" in cells}
    if edited and edits.make(lambda _: share_changes(span, shares, edited)):
        st.rerun()
    rows = [{"name": rate.name, "share": float(rate.share)} for rate in shown]
    key, kept = steady_rows(name, rows, lambda edited, held: [
        each["share"] or 0 for each in edited] == [each["share"] for each in held])  # fmt: skip
    st.data_editor(
        pd.DataFrame(list(kept)), key=key, hide_index=True, num_rows="fixed", height="content", alt=_UNITS[span],
        column_config={
            "name": st.column_config.TextColumn(" ", disabled=True),
            "share": st.column_config.NumberColumn(
                _UNITS[span], help="A weight: only its size beside the others counts. 0: no orders."
            ),
        },
    )  # fmt: skip


def _choice(label: str, names: Span, key: str) -> int | None:
    every = "An average one"
    chosen = st.selectbox(label, [every, *NAMES[names]], key=key, width=220)
    return None if chosen == every else NAMES[names].index(chosen)


def _forecast() -> Forecast | None:
    demand = edits.current().values.get("demand")
    written = demand.get("forecast") if isinstance(demand, dict) else None
    try:
        return Forecast.model_validate(written) if written is not None else None
    except ValidationError:
        return None
