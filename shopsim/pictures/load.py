"""Load against capacity on paper: what is asked of each place over what is there."""

from __future__ import annotations

import math
from typing import Any

import pandas as pd
import plotly.graph_objects as go

from shopsim.pictures.columns import checked, rows_of
from shopsim.pictures.style import (
    BLUE,
    GREEN,
    ROW_BAR,
    VERMILION,
    Fill,
    each_filled,
    height_px,
    label_rows,
    mark_line,
    nothing,
    picture,
    row_places,
    rows_px,
)
from shopsim.pictures.text import label, listed, spoken_id, wrapped
from shopsim.shop.rough_cut import FULL, TIGHT

_TITLE = "Load against capacity, on paper"
_NONE = "Nothing to show: nothing is asked of any place."
_LIMITS = {"seats": "seats", "people": "people", "machine": "machine"}


def load_against_capacity(table: pd.DataFrame) -> go.Figure:
    """Asked over there for each place, all weeks together, with a mark at its worst week; the fullest first.

    Columns: id, limit (`seats`, `people` or `machine`: what runs short first), share and peak_share (1 is full;
    infinite if something is asked of nobody).
    """
    found = _ranked(table)
    if found.empty:
        return nothing(_TITLE, _NONE)
    labels = [wrapped(f"{row.id}, {_LIMITS.get(row.limit, 'hours')}: {_told(row)}") for row in rows_of(found)]
    figure = picture(_TITLE, height_px(rows_px(labels), 1))
    top = max(1.2, max((x for x in [*found["share"], *found["peak_share"]] if math.isfinite(x)), default=1.2)) * 1.08
    shares = [min(share, top) * 100 for share in found["share"]]
    told = [f"{label(row.id)}: {_pct(row.share)}, worst week {_pct(row.peak_share)}" for row in rows_of(found)]
    places = row_places(labels)
    figure.add_bar(
        orientation="h", y=places, width=ROW_BAR, x=shares, showlegend=False, customdata=told,
        marker=each_filled([_fill(row.share, row.peak_share) for row in rows_of(found)]),
        hovertemplate="%{customdata}<extra></extra>",
    )  # fmt: skip
    figure.add_scatter(
        x=[min(share, top) * 100 for share in found["peak_share"]], y=places, mode="markers",
        name="worst week", marker={"symbol": "diamond-open", "size": 11, "color": GREEN, "line": {"width": 3}},
        customdata=told, hovertemplate="%{customdata}<extra></extra>",
    )  # fmt: skip
    # At the foot, where no label covers it.
    mark_line(figure, FULL * 100, "full", upright=True, foot=True)
    figure.update_xaxes(title_text="% of the hours there are", range=[0, top * 100], nticks=6)
    figure.update_layout(showlegend=True)
    label_rows(figure, labels)
    return figure


def load_against_capacity_in_words(table: pd.DataFrame) -> str:
    """The fullest places, and which cannot keep up."""
    found = _ranked(table)
    if found.empty:
        return _NONE
    parts = listed(
        f"{spoken_id(row.id)} {_pct(row.share)} (worst week {_pct(row.peak_share)})" for row in rows_of(found.head(3))
    )
    over, full = found["share"] > FULL, found["peak_share"] > FULL
    ends = [
        f"{listed(spoken_id(name) for name in found[which]['id'])} {words}."
        for which, words in ((over, "can never keep up"), (full & ~over, "cannot keep up in the worst week"))
        if which.any()
    ]
    return f"Of the hours there are, the work asks: {parts}. {' '.join(ends) or 'Every place can keep up on paper.'}"


def _ranked(table: pd.DataFrame) -> pd.DataFrame:
    found = checked(table, "load against capacity", ["id", "limit"], ["share", "peak_share"])
    return found.sort_values("share", ascending=False, kind="stable").reset_index(drop=True)


def _fill(share: float, peak: float) -> Fill:
    return Fill(VERMILION, "x") if share > FULL else Fill(VERMILION, "/") if peak > TIGHT else Fill(BLUE)


def _told(row: Any) -> str:
    if row.share > FULL:
        return f"{_pct(row.share)}, can never keep up"
    words = "over full" if row.peak_share > FULL else "tight" if row.peak_share > TIGHT else ""
    return f"{_pct(row.share)}{f', {words} in the worst week' if words else ''}"


def _pct(share: float) -> str:
    return f"{share * 100:.0f} %" if math.isfinite(share) else "asked of nobody"
