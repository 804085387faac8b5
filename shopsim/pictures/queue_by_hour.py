"""When in the week work waits, place by place."""

from __future__ import annotations

import pandas as pd
import plotly.graph_objects as go
from plotly.subplots import make_subplots

from shopsim.clock import WEEKDAYS
from shopsim.pictures.columns import checked, greatest
from shopsim.pictures.style import BLUE, LIGHT, faint, nothing, picture
from shopsim.pictures.text import capital, label, spoken_id

_TITLE = "Work waiting, by hour of the week"
_NONE = "Nothing to show: nothing ever waited."
_HOURS = 168
_PANEL_PX = 96


def queue_by_hour(table: pd.DataFrame, most: int = 5) -> go.Figure:
    """Bundles waiting at each place from Monday 00:00 to Sunday 24:00, the places with the longest queues first.

    Columns: place, hour (0 to 167 of the week), waiting (mean number in that hour).
    """
    found, places = _queues(table, most)
    if not places:
        return nothing(_TITLE, _NONE)
    figure = make_subplots(len(places), 1, shared_xaxes=True, vertical_spacing=0.3 / len(places) / 1.2)
    look = picture(_TITLE).layout
    figure.update_layout(template=LIGHT, title_text=look.title.text, dragmode=False, showlegend=False)
    figure.update_layout(height=110 + _PANEL_PX * len(places))
    for row, place in enumerate(places, 1):
        mine = found[found["place"] == place].sort_values("hour")
        figure.add_scatter(
            x=mine["hour"].tolist(), y=mine["waiting"].tolist(), mode="lines",
            line={"color": BLUE, "width": 1.5, "shape": "hv"}, fill="tozeroy", fillcolor=faint(BLUE),
            name=label(place), row=row, col=1,
            customdata=[clock_of(hour) for hour in mine["hour"]],
            hovertemplate="%{customdata}: %{y:.1f} waiting<extra></extra>",
        )  # fmt: skip
        figure.add_annotation(
            text=label(place), x=0, xref="paper", y=1, yref="y domain" if row == 1 else f"y{row} domain",
            showarrow=False, xanchor="left", yanchor="bottom",
        )  # fmt: skip
    figure.update_xaxes(
        range=[0, _HOURS], tickvals=list(range(0, _HOURS, 24)), ticktext=list(WEEKDAYS),
        ticklabelposition="outside right", ticklabelstandoff=2,
    )  # fmt: skip
    figure.update_yaxes(rangemode="tozero", nticks=4)
    figure.update_yaxes(title_text="bundles", row=(len(places) + 1) // 2, col=1)
    return figure


def queue_by_hour_in_words(table: pd.DataFrame, most: int = 5) -> str:
    """Each place's mean queue and its worst hour."""
    found, places = _queues(table, most)
    if not places:
        return _NONE
    told = []
    for place in places:
        mine = found[found["place"] == place]
        top = greatest(mine, "waiting")
        told.append(
            f"{capital(spoken_id(place))}: {mine['waiting'].sum() / _HOURS:.1f} bundles waiting on average, most "
            f"({top.waiting:.1f}) on {clock_of(top.hour)}."
        )
    return " ".join(told)


def clock_of(hour: float) -> str:
    """An hour of the week as `Mon 07:00`."""
    day, clock = divmod(int(hour), 24)
    return f"{WEEKDAYS[day % 7]} {clock:02d}:00"


def _queues(table: pd.DataFrame, most: int) -> tuple[pd.DataFrame, list[str]]:
    found = checked(table, "queue by hour", ["place"], ["hour", "waiting"])
    means = found.groupby("place", sort=False)["waiting"].mean()
    places = means[means > 0].sort_values(ascending=False, kind="stable").index.tolist()
    return found, places[:most]
