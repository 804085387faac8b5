"""One day on the floor: what each printer, seat and person did, bar by bar, to zoom into."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from typing import Any

import pandas as pd
import plotly.graph_objects as go

from shopsim.clock import MINUTES_PER_DAY, clock_text
from shopsim.pictures.columns import checked, rows_of
from shopsim.pictures.states import GROUPS, group_of
from shopsim.pictures.style import each_filled, filled, height_px, label_rows, nothing, picture
from shopsim.pictures.text import capital, counted, label, listed, spoken_id

MOST_BARS = 5_000
"""More bars than this take a browser seconds to draw; the shortest are left out then, and it is said."""
_TITLES = {"printer": "Printers", "place": "Seats", "person": "People"}
_NONE = "Nothing to show: nobody was at work."
_GANTT_ROW_PX = 40
_WINDOW_H = 4


def gantt(table: pd.DataFrame, kind: str, starts: date, shown_min: tuple[float, float] | None = None) -> go.Figure:
    """One row a `printer`, seat (`place`) or `person`; each bar is a stretch of one state, coloured and patterned by
    its group. Drag or use the buttons to zoom into a few hours.

    Columns: kind, row, state, start_min, end_min (minutes since the start Monday `starts`), and order (its number, may
    be missing); as `measures.day_bars` gives them. Give it one day: the axis is a clock, from `shown_min` to
    `shown_min`, so that several of one day stand one below the other; by default as far as there are bars.
    """
    found, left_out = _bars(table, kind)
    if found.empty:
        return nothing(f"{_TITLES[kind]}, hour by hour", _NONE)
    rows = list(dict.fromkeys(found["row"]))
    groups = [group for group in GROUPS if group in set(found["group"])]
    first, last = shown_min or (float(found["start_min"].min()), float(found["end_min"].max()))
    day = _day(starts, first)
    figure = picture(f"{_TITLES[kind]} on {day}, hour by hour", height_px(_GANTT_ROW_PX * len(rows) + 60, len(groups)))
    figure.add_bar(
        orientation="h", y=[rows.index(row) for row in found["row"]],
        base=[_moment(starts, at).isoformat() for at in found["start_min"]],
        x=((found["end_min"] - found["start_min"]) * 60_000).tolist(),
        marker=each_filled([GROUPS[group] for group in found["group"]]), showlegend=False,
        customdata=[_told(row) for row in rows_of(found)], hovertemplate="%{customdata}<extra></extra>",
    )  # fmt: skip
    for group in groups:
        # The one trace has no legend of its own: empty bars stand for the groups.
        figure.add_bar(orientation="h", y=[None], x=[None], name=group, marker=filled(GROUPS[group]))
    figure.update_layout(barmode="overlay", dragmode="zoom", bargap=0.5)
    figure.update_xaxes(
        type="date", tickformat="%H:%M", range=[_moment(starts, at).isoformat() for at in (first, last)]
    )
    label_rows(figure, [label(row) for row in rows])
    if left_out:
        text = f"The {left_out:,} shortest bars are left out: show fewer hours."
        figure.update_xaxes(title_text=text)
    _zoom_buttons(figure, starts, first, last)
    return figure


def gantt_in_words(table: pd.DataFrame, kind: str, starts: date) -> str:
    """For each row, when it began and ended, and how long it was at what."""
    found, _ = _bars(table, kind)
    if found.empty:
        return _NONE
    told = []
    for name in dict.fromkeys(found["row"]):
        mine = found[found["row"] == name]
        hours = (mine["end_min"] - mine["start_min"]).groupby(mine["group"]).sum() / 60
        parts = listed(f"{group} {hours[group]:.1f} h" for group in GROUPS if hours.get(group, 0) > 0)
        told.append(f"{capital(spoken_id(name))}, {_from_to(mine['start_min'].min(), mine['end_min'].max())}: {parts}.")
    return f"{_day(starts, found['start_min'].min())}. {' '.join(told)}"


def _bars(table: pd.DataFrame, kind: str) -> tuple[pd.DataFrame, int]:
    """The bars to draw, and how many were too many."""
    if kind not in _TITLES:
        raise ValueError(f"kind must be one of {', '.join(_TITLES)}, found {kind!r}")
    found = checked(table, "gantt", ["kind", "row", "state"], ["start_min", "end_min"], may_miss=["order"])
    found = found[found["kind"] == kind]
    groups: list[Any] = [group_of(kind, state) for state in found["state"]]
    found = found.assign(group=groups)
    found = found[found["group"].notna()]
    kept = (found["end_min"] - found["start_min"]).nlargest(MOST_BARS).index
    return found.loc[sorted(kept)].reset_index(drop=True), len(found) - len(kept)


def _day(starts: date, minute: float) -> str:
    return f"{_moment(starts, minute):%a %d %b %Y}"


def _moment(starts: date, minute: float) -> datetime:
    return datetime.combine(starts, time()) + timedelta(minutes=float(minute))


def _from_to(start_min: float, end_min: float) -> str:
    """Two times of one day: it begins at 00:00 and ends at 24:00."""
    return f"{clock_text(start_min % MINUTES_PER_DAY)} to {clock_text(end_min % MINUTES_PER_DAY or MINUTES_PER_DAY)}"


def _told(row: Any) -> str:
    what = label(row.state)
    order = f", order {row.order:.0f}" if row.order == row.order else ""
    minutes = counted(round(row.end_min - row.start_min, 1), "minute")
    return f"{label(row.row)}<br>{what}{order}<br>{_from_to(row.start_min, row.end_min)}, {minutes}"


def _zoom_buttons(figure: go.Figure, starts: date, first: float, last: float) -> None:
    """The whole day, and windows of four hours, for keyboards and thumbs."""
    begin = first - first % (_WINDOW_H * 60)
    spans: Sequence[tuple[float, float]] = [
        (at, at + _WINDOW_H * 60) for at in range(int(begin), int(last - 1e-9) + 1, _WINDOW_H * 60)
    ]
    buttons = [("all", (first, last)), *((f"{_from_to(a, b)[:2]}–{_from_to(a, b)[-5:-3]}", (a, b)) for a, b in spans)]
    figure.update_layout(updatemenus=[{
        "type": "buttons", "direction": "right", "x": 0, "xanchor": "left", "y": 1, "yanchor": "bottom",
        "showactive": True, "pad": {"t": 0, "b": 4, "l": 0},
        "buttons": [
            {"label": words, "method": "relayout",
             "args": [{"xaxis.range": [_moment(starts, at).isoformat() for at in ends]}]}
            for words, ends in buttons
        ],
    }])  # fmt: skip
