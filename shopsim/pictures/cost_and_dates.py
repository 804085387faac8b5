"""Crews and shift patterns as points: what they cost against how many orders go out on time."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import pandas as pd
import plotly.graph_objects as go

from shopsim.pictures.columns import checked, rows_of
from shopsim.pictures.number_spots import Point, number_spots
from shopsim.pictures.style import (
    BLUE,
    GREEN,
    GREY,
    NAMES_LETTERS,
    PURPLE,
    VERMILION,
    error_bars,
    height_px,
    legend_of_names,
    nothing,
    picture,
)
from shopsim.pictures.text import between, counted, escaped, label, listed, spoken_id

_CREWS, _PATTERNS = "Crews: cost against dates", "Shift patterns: cost against dates"
_NO_CREW, _NO_PATTERN = "Nothing to show: no crew was tried.", "Nothing to show: no pattern was compared."
_VERDICTS = {
    "yes": ("meets the target", GREEN, "circle"),
    "close": ("so close that either may be", BLUE, "diamond-open"),
    "open": ("not settled", GREY, "circle-open"),
    "no": ("misses the target", VERMILION, "x"),
}
_KEPT = {0: ("keeps rest times", BLUE, "circle"), 1: ("against guidance", PURPLE, "diamond-open"),
         2: ("breaks a rest-time rule", VERMILION, "x")}  # fmt: skip
_PLOT_PX = 300


def crew_frontier(table: pd.DataFrame, target: float, currency: str) -> go.Figure:
    """Each crew tried at its pay and its share of orders on time, with the interval and the target, numbered from the
    cheapest on; a thin line joins the crews that no other beats in both.

    Columns: crew (in words, e.g. `sewers: 4`), pay_per_week, on_time, and perhaps low, high (shares); meets (`yes`,
    `no`, `close` or `open`). `target` is a share.
    """
    found = _crews(table)
    if found.empty:
        return nothing(_CREWS, _NO_CREW)
    verdicts = [one for one in _VERDICTS if one in set(found["meets"])]
    figure = picture(_CREWS, height_px(_PLOT_PX, 2 * (len(found) + len(verdicts) + 2)))
    best = unbeaten(found["pay_per_week"].tolist(), found["on_time"].tolist())
    figure.add_scatter(
        x=[found["pay_per_week"][i] for i in best], y=[found["on_time"][i] * 100 for i in best], mode="lines",
        line={"color": GREY, "width": 1}, name="no crew beats these", hoverinfo="skip",
    )  # fmt: skip
    for verdict in verdicts:
        _points(figure, found[found["meets"] == verdict], "pay_per_week", "crew", *_VERDICTS[verdict])
    _axes(figure, found, target, f"pay a week, {escaped(currency)}")
    _numbers(figure, found, "pay_per_week", "crew", [_VERDICTS[one] for one in found["meets"]])
    return figure


def crew_frontier_in_words(table: pd.DataFrame, target: float, currency: str) -> str:
    """Each crew from cheap to dear: its pay, its share on time and what the runs tell of the target."""
    found = _crews(table)
    if found.empty:
        return _NO_CREW
    told = []
    for row in rows_of(found):
        share = between(row.on_time, row.low, row.high, 100, 0, 100)
        told.append(
            f"{row.Index + 1} ({spoken_id(row.crew)}) at {row.pay_per_week:,.0f} {currency}: {share} %, "
            f"{_VERDICTS[row.meets][0]}"
        )
    return f"Pay a week and orders on time, against a target of {target * 100:g} %: {'; '.join(told)}."


def shift_patterns(table: pd.DataFrame, target: float, currency: str) -> go.Figure:
    """Each pattern at its cost and its share of orders on time, both with intervals, numbered as in the table and
    marked by what rest-time rules say.

    Columns: pattern, cost_per_week, on_time (share), and perhaps cost_low, cost_high, low, high; rules_broken and
    guidance (how many findings of each). `target` is a share.
    """
    found = _patterns(table)
    if found.empty:
        return nothing(_PATTERNS, _NO_PATTERN)
    marks = [kept for kept in _KEPT if kept in set(found["kept"])]
    figure = picture(_PATTERNS, height_px(_PLOT_PX, 2 * (len(found) + len(marks) + 1)))
    for kept in marks:
        _points(figure, found[found["kept"] == kept], "cost_per_week", "pattern", *_KEPT[kept])
    _axes(figure, found, target, f"cost a week, {escaped(currency)}")
    _numbers(figure, found, "cost_per_week", "pattern", [_KEPT[one] for one in found["kept"]])
    return figure


def shift_patterns_in_words(table: pd.DataFrame, target: float, currency: str) -> str:
    """Each pattern's cost, dates and findings."""
    found = _patterns(table)
    if found.empty:
        return _NO_PATTERN
    told = []
    for row in rows_of(found):
        findings = [counted(row.rules_broken, "rest-time rule") + " broken"] if row.rules_broken else []
        findings += [f"{counted(row.guidance, 'point')} against guidance"] if row.guidance else []
        kept = listed(findings or ["rest times kept"])
        told.append(
            f"{row.Index + 1} ({spoken_id(row.pattern)}): "
            f"{between(row.cost_per_week, row.cost_low, row.cost_high)} {currency} a week, "
            f"{between(row.on_time, row.low, row.high, 100, 0, 100)} % on time, {kept}"
        )
    return f"Against a target of {target * 100:g} % on time: {'; '.join(told)}."


def unbeaten(costs: Sequence[float], shares: Sequence[float]) -> list[int]:
    """Positions of the points that no other point beats by being no dearer and better, from cheap to dear."""
    order = sorted(range(len(costs)), key=lambda i: (costs[i], -shares[i]))
    kept: list[int] = []
    for i in order:
        if not kept or shares[i] > shares[kept[-1]]:
            kept.append(i)
    return kept


def _crews(table: pd.DataFrame) -> pd.DataFrame:
    found = checked(table, "crew frontier", ["crew", "meets"], ["pay_per_week"], ["on_time"], ["low", "high"])
    found["meets"] = found["meets"].where(found["meets"].isin(_VERDICTS), "open")
    return found[found["on_time"].notna()].sort_values("pay_per_week", kind="stable").reset_index(drop=True)


def _patterns(table: pd.DataFrame) -> pd.DataFrame:
    found = checked(
        table, "shift patterns", ["pattern"], ["rules_broken", "guidance"], ["cost_per_week", "on_time"],
        ["cost_low", "cost_high", "low", "high"],
    )  # fmt: skip
    found = found[found["on_time"].notna() & found["cost_per_week"].notna()].reset_index(drop=True)
    found["kept"] = [
        2 if broken else 1 if soft else 0 for broken, soft in zip(found["rules_broken"], found["guidance"], strict=True)
    ]
    return found


def _points(figure: go.Figure, mine: pd.DataFrame, cost: str, name: str, words: str, colour: str,
            symbol: str) -> None:  # fmt: skip
    share = (mine["on_time"] * 100).tolist()
    low, high = (mine["low"] * 100).clip(lower=0).tolist(), (mine["high"] * 100).clip(upper=100).tolist()
    across = (
        {"error_x": error_bars(mine[cost].tolist(), mine["cost_low"].tolist(), mine["cost_high"].tolist())}
        if "cost_low" in mine
        else {}
    )
    figure.add_scatter(
        x=mine[cost].tolist(), y=share, mode="markers", name=words,
        marker={"color": colour, "symbol": symbol, "size": 12, "line": {"width": 2}},
        error_y=error_bars(share, low, high), cliponaxis=False, **across,
        customdata=[
            f"{row.Index + 1}. {label(getattr(row, name))}<br>{getattr(row, cost):,.0f} a week, "
            f"{between(row.on_time, row.low, row.high, 100, 0, 100)} % on time"
            for row in rows_of(mine)
        ],
        hovertemplate="%{customdata}<extra></extra>",
    )  # fmt: skip


def _axes(figure: go.Figure, found: pd.DataFrame, target: float, cost: str) -> None:
    """Room around the points for their numbers; per cent never beyond what can be."""
    costs = found[[name for name in ("pay_per_week", "cost_per_week", "cost_low", "cost_high") if name in found]]
    first, last = float(costs.min().min()), float(costs.max().max())
    room = max(1.0, last - first) * 0.2
    ends = [first - room, last + room]
    figure.update_xaxes(title_text=cost, range=ends, nticks=6)
    least = min(float(found["low"].fillna(found["on_time"]).min()), float(found["on_time"].min()), target) * 100
    figure.update_yaxes(title_text="% on time", range=[max(-4.0, least - 8), 102])
    # In the key, not on the line, where points are.
    figure.add_scatter(
        x=ends, y=[target * 100] * 2, mode="lines", line={"color": GREY, "width": 2, "dash": "dash"},
        name=f"target {target * 100:g} %", hoverinfo="skip",
    )  # fmt: skip


def _numbers(figure: go.Figure, found: pd.DataFrame, cost: str, name: str,
             marks: Sequence[tuple[str, str, str]]) -> None:  # fmt: skip
    """A number beside each point, where it covers no other, and what it stands for in the key."""
    spots = number_spots(_as_shares(figure, found, cost), _PLOT_PX)
    for row, (right, down) in zip(rows_of(found), spots, strict=True):
        figure.add_annotation(
            x=getattr(row, cost), y=row.on_time * 100, ax=right, ay=down, text=f"<b>{row.Index + 1}</b>",
            xanchor="center", yanchor="middle", showarrow=True, arrowhead=0, arrowwidth=1, arrowcolor=GREY,
            standoff=6, borderpad=0, bgcolor="rgba(0,0,0,0)",
        )  # fmt: skip
    for row, (_, colour, symbol) in zip(rows_of(found), marks, strict=True):
        figure.add_scatter(
            x=[None], y=[None], mode="markers", name=f"{row.Index + 1}. {label(getattr(row, name), NAMES_LETTERS)}",
            marker={"color": colour, "symbol": symbol, "size": 12, "line": {"width": 2}}, hoverinfo="skip",
        )  # fmt: skip
    legend_of_names(figure)


def _as_shares(figure: go.Figure, found: pd.DataFrame, cost: str) -> list[Point]:
    (left, right), (foot, top) = figure.layout.xaxis.range, figure.layout.yaxis.range

    def ends(row: Any, middle: float, low: str, high: str, scale: float, start: float, end: float) -> list[float]:
        found = [middle, *(getattr(row, one, math.nan) * scale for one in (low, high))]
        return [((middle if value != value else value) - start) / (end - start) for value in found]

    points = []
    for row in rows_of(found):
        x, x_low, x_high = ends(row, getattr(row, cost), "cost_low", "cost_high", 1, left, right)
        y, y_low, y_high = ends(row, row.on_time * 100, "low", "high", 100, foot, top)
        points.append(Point(x, y, x_low, x_high, y_low, y_high))
    return points
