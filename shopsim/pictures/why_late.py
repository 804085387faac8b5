"""Where the hours of an order go, all orders and the late ones, stacked by cause."""

from __future__ import annotations

import pandas as pd
import plotly.graph_objects as go

from shopsim.pictures.columns import checked
from shopsim.pictures.style import (
    BLUE,
    GREEN,
    GREY,
    PURPLE,
    ROW_PX,
    VERMILION,
    Fill,
    filled,
    height_px,
    label_rows,
    nothing,
    picture,
    tag,
)
from shopsim.pictures.text import listed

_TITLE = "Where an order's hours go"
_NONE = "Nothing to show: no order was sent out."
_WHOSE = {"all": "all orders", "late": "late orders"}
_ROOM = 0.07
CAUSES: dict[str, tuple[Fill, tuple[str, ...]]] = {
    "with the customer": (Fill(PURPLE), ("approval", "before_start")),
    "artwork check": (Fill(PURPLE, "/"), ("artwork_check",)),
    "held back, shop full": (Fill(PURPLE, "."), ("release_wait",)),
    "waiting for its run": (Fill(GREEN, "/"), ("gang_wait",)),
    "waiting for a printer": (Fill(VERMILION, "/"), ("printer_wait",)),
    "printing": (Fill(BLUE), ("printing",)),
    "waiting for people": (Fill(VERMILION), ("people_wait",)),
    "waiting for a seat": (Fill(VERMILION, "x"), ("seat_wait", "room_wait", "put_aside")),
    "work": (Fill(BLUE, "\\"), ("work", "order_check", "bought_in")),
    "drying, resting": (Fill(BLUE, "."), ("drying",)),
    "lost to faults": (Fill(GREEN), ("rework",)),
    "nobody there": (Fill(GREY), ("off_shift",)),
    "waiting for collection": (Fill(GREY, "/"), ("dispatch_wait",)),
}
"""Cause in words -> its look and the reasons of `measures.why_late` in it, in the order in which they come."""


def why_late(table: pd.DataFrame) -> go.Figure:
    """Mean hours of an order from receipt to dispatch by cause, one bar for all orders and one for the late ones.

    Columns: whose (`all` or `late`), reason (of `measures.why_late.REASONS`), hours (mean of an order).
    """
    found = _by_cause(table)
    if found.empty:
        return nothing(_TITLE, _NONE)
    rows = [whose for whose in _WHOSE if whose in found.columns]
    figure = picture(_TITLE, height_px(ROW_PX * len(rows), len(found)))
    longest = found.sum().max()
    reached = [0.0] * len(rows)
    for cause, hours in found.iterrows():
        figure.add_bar(
            orientation="h", y=list(range(len(rows))), x=[hours[whose] for whose in rows], name=cause,
            marker=filled(CAUSES[str(cause)][0]),
            hovertemplate=f"{cause}: %{{x:.1f}} h<extra></extra>",
        )  # fmt: skip
        for i, whose in enumerate(rows):
            if hours[whose] >= _ROOM * longest:
                tag(figure, reached[i] + hours[whose] / 2, i, f"{hours[whose]:.0f}")
            reached[i] += hours[whose]
    figure.update_layout(barmode="stack")
    figure.update_xaxes(title_text="hours from receipt to dispatch, mean")
    label_rows(figure, [f"{_WHOSE[whose]}: {found[whose].sum():.0f} h" for whose in rows])
    return figure


def why_late_in_words(table: pd.DataFrame) -> str:
    """The three causes that take most hours, for all orders and the late ones."""
    found = _by_cause(table)
    if found.empty:
        return _NONE
    told = []
    for whose, words in _WHOSE.items():
        if whose in found.columns:
            most = found[whose].sort_values(ascending=False, kind="stable").head(3)
            parts = listed(f"{cause} {hours:.1f} h" for cause, hours in most.items() if hours > 0)
            told.append(
                f"{words[0].upper()}{words[1:]} take {found[whose].sum():.1f} h on average, most of it {parts}."
            )
    return " ".join(told)


def _by_cause(table: pd.DataFrame) -> pd.DataFrame:
    """Hours by cause (row) and whose (column); causes without hours are left out."""
    found = checked(table, "why late", ["whose", "reason"], [], ["hours"])
    cause_of = {reason: cause for cause, (_, reasons) in CAUSES.items() for reason in reasons}
    found["cause"] = [cause_of.get(reason, "work") for reason in found["reason"]]
    found = found[found["hours"] > 0]
    if found.empty:
        return pd.DataFrame()
    wide = found.pivot_table(index="cause", columns="whose", values="hours", aggfunc="sum").fillna(0.0)
    return wide.reindex([cause for cause in CAUSES if cause in wide.index])
