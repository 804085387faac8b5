"""Dates that can be promised: a request's chance over the days, and the range of each open order with its due date."""

from __future__ import annotations

import pandas as pd
import plotly.graph_objects as go

from shopsim.pictures.columns import checked
from shopsim.pictures.style import (
    BLUE,
    DASHES,
    GREY,
    ROW_PX,
    SERIES,
    SYMBOLS,
    VERMILION,
    height_px,
    label_rows,
    mark_line,
    nothing,
    picture,
)
from shopsim.pictures.text import escaped, label, listed, per_cent

_CHANCE_TITLE = "Chance that the request has left by each day"
_RANGE_TITLE = "When open orders leave: from even chances to 95 %"
_NO_CHANCE = "Nothing to show: no request was asked for."
_NO_RANGE = "Nothing to show: no order is open."
MOST_ROWS = 40


def chance_by_day(table: pd.DataFrame, chance: float) -> go.Figure:
    """Steps of each way. Columns: way, date (ISO), chance (0 to 1); `chance` is the one wanted."""
    found = checked(table, "chance by day", ("way", "date"), ["chance"], [])
    if found.empty:
        return nothing(_CHANCE_TITLE, _NO_CHANCE)
    ways = list(dict.fromkeys(found["way"]))
    figure = picture(_CHANCE_TITLE, height_px(280, len(ways)))
    for number, way in enumerate(ways):
        mine = found[found["way"] == way]
        dash = DASHES[number % len(DASHES)]
        figure.add_scatter(
            x=mine["date"].tolist(), y=(mine["chance"] * 100).tolist(), mode="lines+markers", name=label(way),
            line={"color": SERIES[number % len(SERIES)], "width": 3, "shape": "hv", "dash": dash},
            marker={"symbol": SYMBOLS[number % len(SYMBOLS)], "size": 8},
            hovertemplate=f"{escaped(way)}: %{{y:.0f}} % by %{{x|%a %d %b}}<extra></extra>",
        )  # fmt: skip
    mark_line(figure, chance * 100, f"wanted: {chance * 100:g} %", upright=False)
    figure.update_xaxes(type="date", tickformat="%a %d %b", title_text="left by the collection of")
    figure.update_yaxes(title_text="chance, %", range=[0, 104])
    return figure


def chance_by_day_in_words(table: pd.DataFrame, chance: float) -> str:
    """For each way the first day that has the wanted chance."""
    found = checked(table, "chance by day", ("way", "date"), ["chance"], [])
    if found.empty:
        return _NO_CHANCE
    told = []
    for way in dict.fromkeys(found["way"]):
        mine = found[(found["way"] == way) & (found["chance"] >= chance)]
        told.append(f"{way}: {mine['date'].iloc[0] if len(mine) else 'on none of the days shown'}")
    return f"First day by which the chance is {per_cent(chance)} or more: {listed(told)}."


def date_ranges(table: pd.DataFrame) -> go.Figure:
    """A row an order. Columns: order, due, at_50, at_80, at_95 (ISO dates, empty for none), chance (0 to 1)."""
    found = _ranges(table)
    if found.empty:
        return nothing(_RANGE_TITLE, _NO_RANGE)
    shown = found.head(MOST_ROWS)
    figure = picture(_RANGE_TITLE, height_px(ROW_PX * len(shown), 4))
    rows = list(range(len(shown)))
    for row, at_50, at_95 in zip(rows, shown["at_50"], shown["at_95"], strict=True):
        if at_50 and at_95:
            figure.add_scatter(
                x=[at_50, at_95], y=[row, row], mode="lines", line={"color": BLUE, "width": 6}, name="50 to 95 %",
                showlegend=row == _first_full(shown), hoverinfo="skip",
            )  # fmt: skip
    marks = (("at_50", "50 %", "circle-open", BLUE), ("at_80", "80 %", "circle", BLUE), ("due", "due", "x", VERMILION))
    for column, name, symbol, colour in marks:
        there = [(row, at) for row, at in zip(rows, shown[column], strict=True) if at]
        figure.add_scatter(
            x=[at for _, at in there], y=[row for row, _ in there], mode="markers", name=name,
            marker={"symbol": symbol, "size": 11, "color": colour, "line": {"width": 2, "color": colour}},
            hovertemplate=f"{name}: %{{x|%a %d %b}}<extra></extra>",
        )  # fmt: skip
    labels = [
        f"{label(order)}: {per_cent(chance)} by its date"
        for order, chance in zip(shown["order"], shown["chance"], strict=True)
    ]  # fmt: skip
    label_rows(figure, labels)
    figure.update_xaxes(type="date", tickformat="%d %b", gridcolor=GREY)
    return figure


def date_ranges_in_words(table: pd.DataFrame) -> str:
    """The orders least likely to keep their dates."""
    found = _ranges(table)
    if found.empty:
        return _NO_RANGE
    worst = found.sort_values("chance", kind="stable").head(3)
    told = [
        f"{order} (due {due}, {per_cent(chance)}, 80 % by {at or 'no day seen'})"
        for order, due, chance, at in zip(worst["order"], worst["due"], worst["chance"], worst["at_80"], strict=True)
    ]
    shown = f", {MOST_ROWS} of them shown" if len(found) > MOST_ROWS else ""
    return f"{len(found)} open orders{shown}; least likely to keep their dates: {listed(told)}."


def _ranges(table: pd.DataFrame) -> pd.DataFrame:
    return checked(table, "date ranges", ("order", "due", "at_50", "at_80", "at_95"), ["chance"], [])


def _first_full(shown: pd.DataFrame) -> int:
    full = [row for row, (a, b) in enumerate(zip(shown["at_50"], shown["at_95"], strict=True)) if a and b]
    return full[0] if full else -1
