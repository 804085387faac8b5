"""Does the fitted distribution agree with what was measured, and do promises come true as often as said?"""

from __future__ import annotations

import pandas as pd
import plotly.graph_objects as go

from shopsim.pictures.columns import checked, greatest, rows_of
from shopsim.pictures.style import BLUE, GREY, error_bars, height_px, nothing, picture
from shopsim.pictures.text import between, escaped, label, per_cent

_QQ, _TRUE = "Measured against fitted", "Do promises come true as often as said?"
_NO_VALUE, _NO_PROMISE = "Nothing to show: nothing was measured.", "Nothing to show: no promise has come due."


def quantiles_against(table: pd.DataFrame, name: str, unit: str) -> go.Figure:
    """Q-Q picture: each measured value against the quantile of the fitted distribution; on the line they agree.

    Columns: fitted, measured, both in `unit` and in rising order.
    """
    found = checked(table, "quantiles against", (), ["fitted", "measured"])
    title = f"{_QQ}: {label(name, 18)}"
    if found.empty:
        return nothing(title, _NO_VALUE)
    figure = picture(title, height_px(300, 2))
    ends = [float(found.min().min()), float(found.max().max())]
    figure.add_scatter(x=ends, y=ends, mode="lines", line={"color": GREY, "width": 2, "dash": "dash"}, name="agreement",
                       hoverinfo="skip")  # fmt: skip
    figure.add_scatter(
        x=found["fitted"].tolist(), y=found["measured"].tolist(), mode="markers", name="measured",
        marker={"color": BLUE, "size": 7, "symbol": "circle-open", "line": {"width": 2}},
        hovertemplate="measured %{y:.3g}, fitted %{x:.3g}<extra></extra>",
    )  # fmt: skip
    figure.update_xaxes(title_text=f"fitted, {escaped(unit)}")
    figure.update_yaxes(title_text=f"measured, {escaped(unit)}")
    return figure


def quantiles_against_in_words(table: pd.DataFrame, name: str, unit: str) -> str:
    """How far the measured values lie from the fitted ones, in the middle and at the worst."""
    found = checked(table, "quantiles against", (), ["fitted", "measured"])
    if found.empty:
        return _NO_VALUE
    found["gap"] = (found["measured"] - found["fitted"]).abs()
    worst = greatest(found, "gap")
    return (
        f"{name}, {len(found)} values: measured and fitted differ by {found['gap'].median():.3g} {unit} in the middle; "
        f"at most {worst.measured:.3g} was measured where {worst.fitted:.3g} {unit} was fitted."
    )


def reliability(table: pd.DataFrame) -> go.Figure:
    """How often orders came in time against the chance that was told; on the line the chances were true.

    Columns: told, happened (shares), orders (how many), and perhaps low, high.
    """
    found = checked(table, "reliability", (), ["told", "happened", "orders"], may_miss=["low", "high"])
    if found.empty:
        return nothing(_TRUE, _NO_PROMISE)
    figure = picture(_TRUE, height_px(300, 2))
    figure.add_scatter(x=[0, 100], y=[0, 100], mode="lines", line={"color": GREY, "width": 2, "dash": "dash"},
                       name="as often as said", hoverinfo="skip")  # fmt: skip
    happened, low, high = ((found[name] * 100).tolist() for name in ("happened", "low", "high"))
    figure.add_scatter(
        x=(found["told"] * 100).tolist(), y=happened, mode="markers+text", name="came true", textposition="top left",
        marker={"color": BLUE, "size": 11}, error_y=error_bars(happened, low, high),
        text=[f"{orders:.0f}" for orders in found["orders"]], customdata=found["orders"].tolist(),
        hovertemplate="told %{x:.0f} %, came true %{y:.0f} % of %{customdata:.0f} orders<extra></extra>",
    )  # fmt: skip
    figure.update_xaxes(title_text="chance told, % (number: orders)", range=[-3, 103])
    figure.update_yaxes(title_text="came true, %", range=[-3, 103])
    return figure


def reliability_in_words(table: pd.DataFrame) -> str:
    """What was told and what happened, point by point."""
    found = checked(table, "reliability", (), ["told", "happened", "orders"], may_miss=["low", "high"])
    if found.empty:
        return _NO_PROMISE
    parts = [
        f"told {per_cent(row.told)}, came true {between(row.happened, row.low, row.high, 100, 0, 100)} % of "
        f"{row.orders:.0f} orders"
        for row in rows_of(found)
    ]
    return f"{'; '.join(parts)[0].upper()}{'; '.join(parts)[1:]}."
