"""How many orders go out on time when there is more or less to do, and where each option breaks."""

from __future__ import annotations

from typing import Any

import pandas as pd
import plotly.graph_objects as go

from shopsim.pictures.columns import checked, greatest, rows_of
from shopsim.pictures.style import (
    DASHES,
    GREY,
    NAMES_LETTERS,
    SERIES,
    SYMBOLS,
    band,
    height_px,
    legend_of_names,
    mark_line,
    nothing,
    picture,
)
from shopsim.pictures.text import between, capital, label, spoken_id

_TITLE = "On time when demand grows"
# The strip of the breaks below the curves, with a line for each.
_CURVES_PX, _LINE_PX, _APART_PX = 300, 34, 40
_INTERVAL = ", interval"
_NONE = "Nothing to show: no demand was tried."


def on_time_against_demand(table: pd.DataFrame, breaks: pd.DataFrame, target: float) -> go.Figure:
    """A curve for each option with its interval, the target, and at the foot where the curve falls below it, with
    the interval.

    Columns of `table`: option, demand (1 is today's), on_time (share), and perhaps low, high. Columns of `breaks`:
    option, mean, low, high (demands; missing where it breaks nowhere that was tried, or is not that sure).
    """
    found, ends = _tables(table, breaks)
    if found.empty:
        return nothing(_TITLE, _NONE)
    options = list(dict.fromkeys(found["option"]))
    broken = ends[ends["mean"].notna() & ends["option"].isin(options)]
    strip_px = _LINE_PX * len(broken) + _APART_PX if len(broken) else 0
    figure = picture(_TITLE, height_px(_CURVES_PX + strip_px, 4 * len(options)))
    for i, name in enumerate(options):
        mine = found[found["option"] == name].sort_values("demand")
        colour, x = SERIES[i % len(SERIES)], (mine["demand"] * 100).tolist()
        band(
            figure,
            x,
            (mine["low"] * 100).clip(lower=0).tolist(),
            (mine["high"] * 100).clip(upper=100).tolist(),
            colour,
            f"{label(name, NAMES_LETTERS - len(_INTERVAL))}{_INTERVAL}",
        )
        figure.add_scatter(
            x=x, y=(mine["on_time"] * 100).tolist(), mode="lines+markers", name=label(name, NAMES_LETTERS),
            line={"color": colour, "width": 2, "dash": DASHES[i % len(DASHES)]},
            marker={"symbol": SYMBOLS[i % len(SYMBOLS)], "size": 9, "color": colour},
            hovertemplate=f"{label(name)}<br>%{{x:.0f}} % of today's demand: %{{y:.1f}} % on time<extra></extra>",
        )  # fmt: skip
    mark_line(figure, target * 100, f"target {target * 100:g} %", upright=False)
    for line, row in enumerate(rows_of(broken)):
        _mark_break(figure, row, line, options.index(row.option))
    figure.add_vline(x=100, line={"color": GREY, "width": 1, "dash": "dot"})
    legend_of_names(figure)
    figure.update_xaxes(title_text="demand, % of today's")
    foot = strip_px / (_CURVES_PX + strip_px)
    figure.update_layout(yaxis={"title": {"text": "% on time"}, "range": [0, 102], "domain": [foot, 1]})
    if len(broken):
        # An axis of their own: on that of the curves they would read as % on time.
        top = _LINE_PX / (_CURVES_PX + strip_px) * len(broken)
        figure.update_layout(
            yaxis2={"domain": [0, top], "range": [len(broken) - 0.5, -0.5], "visible": False, "fixedrange": True},
            xaxis={"anchor": "free", "position": 0},
        )  # fmt: skip
    return figure


def on_time_against_demand_in_words(table: pd.DataFrame, breaks: pd.DataFrame, target: float) -> str:
    """Where each option breaks, with its interval, and how it does today."""
    found, ends = _tables(table, breaks)
    if found.empty:
        return _NONE
    told = []
    for name in dict.fromkeys(found["option"]):
        mine = found[found["option"] == name]
        today = greatest(mine.assign(near=-(mine["demand"] - 1).abs()), "near")
        at = ends[(ends["option"] == name) & ends["mean"].notna()]
        if at.empty:
            least, most = (f"{end * 100:.0f} %" for end in (mine["demand"].min(), mine["demand"].max()))
            broken = f"does not cross the target from {least} to {most} of today's demand"
        else:
            row = next(rows_of(at))
            broken = f"falls below the target at {between(row.mean, row.low, row.high, 100)} % of today's demand"
        share = between(today.on_time, today.low, today.high, 100, 0, 100)
        option = spoken_id(name)
        told.append(f"{capital(option)} {broken}; at {today.demand * 100:.0f} % it is on time with {share} %.")
    return f"Target {target * 100:g} % on time. {' '.join(told)}"


def _tables(table: pd.DataFrame, breaks: pd.DataFrame) -> tuple[pd.DataFrame, pd.DataFrame]:
    found = checked(table, "on time against demand", ["option"], ["demand"], ["on_time"], ["low", "high"])
    ends = checked(breaks, "breaks", ["option"], [], ["mean", "low", "high"])
    return found[found["on_time"].notna()].reset_index(drop=True), ends


def _mark_break(figure: go.Figure, row: Any, line: int, position: int) -> None:
    """A line for the interval and a cross at the break, each option's below the one before."""
    mean, low, high = (getattr(row, name) * 100 for name in ("mean", "low", "high"))
    colour = SERIES[position % len(SERIES)]
    if low == low and high == high:
        figure.add_scatter(
            x=[low, high], y=[line, line], mode="lines", yaxis="y2", showlegend=False, hoverinfo="skip",
            line={"color": colour, "width": 3, "dash": DASHES[position % len(DASHES)]},
        )  # fmt: skip
    figure.add_scatter(
        x=[mean], y=[line], mode="markers+text", yaxis="y2", showlegend=False, text=[f"breaks at {mean:.0f} %"],
        textposition="top center", marker={"symbol": "x", "size": 11, "color": colour}, cliponaxis=False,
        hovertemplate=f"{label(row.option)}<br>breaks at %{{x:.0f}} % of today's demand<extra></extra>",
    )  # fmt: skip
