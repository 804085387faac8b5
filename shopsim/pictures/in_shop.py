"""Work on the floor over time: how many orders are inside, day by day."""

from __future__ import annotations

from datetime import date, timedelta

import pandas as pd
import plotly.graph_objects as go

from shopsim.pictures.columns import checked, greatest
from shopsim.pictures.style import BLUE, GREY, VERMILION, band, height_px, mark_line, nothing, picture
from shopsim.pictures.text import between, counted

_TITLE = "Orders in the shop, day by day"
_NONE = "Nothing to show: no day was simulated."
_DAYS_PER_WEEK = 7


def orders_in_shop(table: pd.DataFrame, first_day: date) -> go.Figure:
    """The mean number of orders inside on each day, with the interval over replications.

    Columns: day (0, 1, ... from `first_day`, the first that counts), orders, and perhaps low, high.
    """
    found = checked(table, "orders in shop", (), ["day", "orders"], may_miss=["low", "high"])
    if found.empty:
        return nothing(_TITLE, _NONE)
    figure = picture(_TITLE, height_px(240, 2))
    days = [(first_day + timedelta(days=int(day))).isoformat() for day in found["day"]]
    band(figure, days, found["low"].clip(lower=0).tolist(), found["high"].tolist(), BLUE, "interval over runs")
    figure.add_scatter(
        x=days, y=found["orders"].tolist(), mode="lines", line={"color": BLUE, "width": 2}, name="orders inside",
        hovertemplate="%{x|%a %d %b %Y}: %{y:.1f} orders<extra></extra>",
    )  # fmt: skip
    figure.update_xaxes(type="date", tickformat="%d %b", nticks=8)
    figure.update_yaxes(title_text="orders", rangemode="tozero")
    return figure


def orders_in_shop_in_words(table: pd.DataFrame, first_day: date) -> str:
    """The mean, the fullest day, and how the last week compares with the first."""
    found = checked(table, "orders in shop", (), ["day", "orders"], may_miss=["low", "high"])
    if found.empty:
        return _NONE
    top = greatest(found, "orders")
    first, last = (part["orders"].mean() for part in (found.head(_DAYS_PER_WEEK), found.tail(_DAYS_PER_WEEK)))
    fullest = first_day + timedelta(days=int(top.day))
    return (
        f"{counted(round(float(found['orders'].mean()), 1), 'order')} inside on average; the fullest day is "
        f"{fullest:%a %d %b %Y} with {between(top.orders, top.low, top.high, least=0)}; "
        f"{first:.1f} in the first week, {last:.1f} in the last."
    )


def settling(table: pd.DataFrame, warm_up_weeks: float | None) -> go.Figure:
    """How a shop that opens empty fills up: the mean of each day, Welch's smoothed curve, and what to leave out.

    Columns: day, orders, and perhaps smoothed (missing for the last days). `warm_up_weeks` None: it does not settle.
    """
    title = "How long the shop takes to settle"
    found = checked(table, "settling", (), ["day", "orders"], may_miss=["smoothed"])
    if found.empty:
        return nothing(title, _NONE)
    figure = picture(title, height_px(240, 2))
    weeks = (found["day"] / _DAYS_PER_WEEK).tolist()
    figure.add_scatter(
        x=weeks, y=found["orders"].tolist(), mode="lines", line={"color": GREY, "width": 1}, name="mean of the day",
        hovertemplate="%{y:.1f} orders<extra></extra>",
    )  # fmt: skip
    smooth = found[found["smoothed"].notna()]
    figure.add_scatter(
        x=(smooth["day"] / _DAYS_PER_WEEK).tolist(), y=smooth["smoothed"].tolist(), mode="lines", name="smoothed",
        line={"color": BLUE, "width": 3}, hovertemplate="%{y:.1f} orders, smoothed<extra></extra>",
    )  # fmt: skip
    if warm_up_weeks:
        mark_line(figure, warm_up_weeks, f"count from week {warm_up_weeks:g}", upright=True)
        figure.add_vrect(x0=0, x1=warm_up_weeks, fillcolor=VERMILION, opacity=0.12, line_width=0)
    figure.update_xaxes(title_text="weeks since the empty start")
    figure.update_yaxes(title_text="orders", rangemode="tozero")
    return figure


def settling_in_words(table: pd.DataFrame, warm_up_weeks: float | None) -> str:
    """When the orders inside level off, and where."""
    found = checked(table, "settling", (), ["day", "orders"], may_miss=["smoothed"])
    if found.empty:
        return _NONE
    if warm_up_weeks is None:
        last = found["orders"].tail(_DAYS_PER_WEEK).mean()
        return f"The orders inside do not level off: {last:.1f} in the last week, and no warm-up is long enough."
    if warm_up_weeks == 0:
        return f"The shop is settled from the start, at {found['orders'].mean():.1f} orders inside on average."
    after = found[found["day"] >= warm_up_weeks * _DAYS_PER_WEEK]["orders"].mean()
    return f"From week {warm_up_weeks:g} on the shop has settled, at {after:.1f} orders inside on average."
