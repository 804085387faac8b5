"""How many orders are out within so many days, with the promise marked."""

from __future__ import annotations

import numpy as np
import pandas as pd
import plotly.graph_objects as go

from shopsim.pictures.columns import checked
from shopsim.pictures.style import BLUE, band, height_px, mark_line, nothing, picture
from shopsim.pictures.text import between, per_cent

_TITLE = "Orders out within so many days"
_NONE = "Nothing to show: no order was sent out."


def lead_time_curve(table: pd.DataFrame, promised_days: float | None = None) -> go.Figure:
    """The share of orders dispatched within so many days of receipt; the band is the interval over replications.

    Columns: share (0 to 1), days (within which that share is out), and perhaps low_days, high_days. `promised_days` is
    the usual promise, from receipt to dispatch: half of the orders were promised within so many.
    """
    found = _curve(table)
    if found.empty:
        return nothing(_TITLE, _NONE)
    figure = picture(_TITLE, height_px(260, 2))
    share = (found["share"] * 100).tolist()
    # Ends of intervals, each found for itself, may go back a little from one share to the next; days within which more
    # orders are out cannot.
    low = found["low_days"].clip(lower=0)[::-1].cummin()[::-1].tolist()
    high = found["high_days"].cummax().tolist()
    band(figure, share, low, high, BLUE, "interval over runs", across=True)
    figure.add_scatter(
        x=found["days"].tolist(), y=share, mode="lines", line={"color": BLUE, "width": 3}, name="orders out",
        hovertemplate="%{y:.0f} % out within %{x:.1f} days<extra></extra>",
    )  # fmt: skip
    if promised_days is not None:
        mark_line(figure, promised_days, f"half promised within {promised_days:.1f} days", upright=True, foot=True)
    last = float(found["share"].iloc[-1])
    # On a line of its own, for a phone.
    rest = f"<br>(the slowest {per_cent(1 - last)} are left out)" if last < 1 else ""
    figure.update_xaxes(title_text=f"days from receipt to dispatch{rest}", rangemode="tozero")
    figure.update_yaxes(title_text="% of orders", range=[0, 100])
    return figure


def lead_time_curve_in_words(table: pd.DataFrame, promised_days: float | None = None) -> str:
    """Days for half and nine in ten of the orders, and how many are out within the promise."""
    found = _curve(table)
    if found.empty:
        return _NONE
    text = f"Half of the orders are out within {_days_at(found, 0.5)} days, nine in ten within {_days_at(found, 0.9)}."
    if promised_days is not None:
        share = _share_at(found, promised_days)
        text += f" Half were promised within {promised_days:.1f} days; within these, {share} are out."
    return text


def _curve(table: pd.DataFrame) -> pd.DataFrame:
    found = checked(table, "lead time curve", (), ["share"], ["days"], ["low_days", "high_days"])
    return found[found["days"].notna()].sort_values("share").reset_index(drop=True)


def _share_at(found: pd.DataFrame, days: float) -> str:
    """The share out within so many days; the curve says nothing beyond its ends."""
    if days > found["days"].iloc[-1]:
        return f"more than {per_cent(found['share'].iloc[-1])}"
    if days < found["days"].iloc[0]:
        return f"less than {per_cent(found['share'].iloc[0])}"
    return per_cent(float(np.interp(days, found["days"], found["share"])))


def _days_at(found: pd.DataFrame, share: float) -> str:
    mean, low, high = (
        float(np.interp(share, found["share"], found[name])) for name in ("days", "low_days", "high_days")
    )
    return between(mean, low, high, least=0)
