"""How orders come over the year, the week and the day."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd
import plotly.graph_objects as go

from shopsim.clock import WEEKDAYS
from shopsim.pictures.columns import checked
from shopsim.pictures.style import BLUE, Fill, filled, height_px, nothing, picture, tag
from shopsim.pictures.text import per_cent

_NONE = "Nothing to show: no orders are expected."
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_HOURS = tuple(f"{hour:02d}" for hour in range(24))
_TITLES = {"year": "Orders over the year", "week": "Orders over the week", "day": "Orders over the day"}
_NAMES: dict[str, Sequence[str]] = {"year": MONTHS, "week": WEEKDAYS, "day": _HOURS}
_AXES = {
    "year": ("orders a week", "month"), "week": ("orders a day", "weekday"),
    "day": ("orders an hour", "hour of the day"),
}  # fmt: skip
# More bars than this have no room for a number and a name each on a phone.
_NAMED = 12
_EVERY = 3


def forecast(table: pd.DataFrame, over: str) -> go.Figure:
    """Bars of the mean number of orders, over the `year` (orders a week in each month), the `week` (a day) or the `day`
    (an hour).

    Columns: at (month 1 to 12, weekday 0 to 6 or hour 0 to 23), orders.
    """
    found = _checked(table, over)
    if found.empty or not found["orders"].sum():
        return nothing(_TITLES[over], _NONE)
    figure = picture(_TITLES[over], height_px(170, 0))
    names = _labels(found, over)
    figure.add_bar(
        x=list(range(len(found))), y=found["orders"].tolist(), marker=filled(Fill(BLUE)), showlegend=False,
        customdata=names, hovertemplate="%{customdata}: %{y:.1f} orders<extra></extra>",
    )  # fmt: skip
    if len(found) <= _NAMED:
        for i, orders in enumerate(found["orders"]):
            tag(figure, i, orders, f"{orders:.0f}" if orders >= 10 else f"{orders:.1f}", yanchor="bottom")
    step = 1 if len(found) <= _NAMED else _EVERY
    figure.update_layout(bargap=0.25)
    figure.update_xaxes(tickvals=list(range(0, len(found), step)), ticktext=names[::step], title_text=_AXES[over][1],
                        tickangle=0, tickfont_size=11)  # fmt: skip
    figure.update_yaxes(title_text=_AXES[over][0], range=[0, float(found["orders"].max()) * 1.2])
    return figure


def forecast_in_words(table: pd.DataFrame, over: str) -> str:
    """Where most and fewest orders come."""
    found = _checked(table, over)
    if found.empty or not found["orders"].sum():
        return _NONE
    names = _labels(found, over)
    most, least = int(found["orders"].argmax()), int(found["orders"].argmin())
    hour = ":00" if over == "day" else ""
    share = per_cent(float(found["orders"].max() / found["orders"].sum()))
    return (
        f"{_TITLES[over]}: most in {names[most]}{hour} ({found['orders'][most]:.1f} {_AXES[over][0]}, {share} of all), "
        f"fewest in {names[least]}{hour} ({found['orders'][least]:.1f})."
    )


def _checked(table: pd.DataFrame, over: str) -> pd.DataFrame:
    if over not in _TITLES:
        raise ValueError(f"over must be one of {', '.join(_TITLES)}, found {over!r}")
    return checked(table, f"forecast over the {over}", (), ["at", "orders"])


def _labels(found: pd.DataFrame, over: str) -> list[str]:
    first = 1 if over == "year" else 0
    return [_NAMES[over][(int(at) - first) % len(_NAMES[over])] for at in found["at"]]
