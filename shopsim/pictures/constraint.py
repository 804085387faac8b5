"""What holds the shop back on each day of the week."""

from __future__ import annotations

import pandas as pd
import plotly.graph_objects as go

from shopsim.clock import WEEKDAYS
from shopsim.pictures.columns import checked, greatest
from shopsim.pictures.style import (
    GREY,
    NAMES_LETTERS,
    PATTERNS,
    SERIES,
    Fill,
    filled,
    height_px,
    legend_of_names,
    nothing,
    picture,
    tag,
)
from shopsim.pictures.text import label, per_cent, spoken_id

_TITLE = "What holds this run back, by weekday"
_NONE = "Nothing to show: nothing was ever busy."
_OTHERS = "others"
_MOST = 4
_ROOM = 0.12


def constraint_by_weekday(table: pd.DataFrame) -> go.Figure:
    """Stacked shares of each weekday's working hours in which each resource was the constraint.

    Columns: weekday (0 Monday to 6 Sunday), id (as it is said in a sentence), share (0 to 1). What is missing from
    100 % had no constraint.
    """
    found, ids = _gathered(table)
    if not ids:
        return nothing(_TITLE, _NONE)
    days = sorted({int(day) for day in found["weekday"]})
    figure = picture(_TITLE, height_px(260, 2 * len(ids)))
    reached = dict.fromkeys(days, 0.0)
    for i, name in enumerate(ids):
        mine = found[found["id"] == name].set_index("weekday")["share"].reindex(days).fillna(0.0)
        fill = Fill(GREY, "x") if name == _OTHERS else Fill(SERIES[i], PATTERNS[i])
        figure.add_bar(
            x=days, y=(mine * 100).tolist(), name=label(name, NAMES_LETTERS), marker=filled(fill),
            customdata=[
                f"{WEEKDAYS[day]}: {label(name)} {per_cent(share)}" for day, share in zip(days, mine, strict=True)
            ],
            hovertemplate="%{customdata}<extra></extra>",
        )  # fmt: skip
        for day, share in zip(days, mine, strict=True):
            if share >= _ROOM:
                tag(figure, day, (reached[day] + share / 2) * 100, f"{share * 100:.0f}")
            reached[day] += share
    figure.update_layout(barmode="stack", bargap=0.25)
    legend_of_names(figure)
    figure.update_xaxes(tickvals=days, ticktext=[WEEKDAYS[day] for day in days])
    figure.update_yaxes(title_text="% of the working hours", range=[0, 100])
    return figure


def constraint_by_weekday_in_words(table: pd.DataFrame) -> str:
    """The constraint of each day, with its share."""
    found, ids = _gathered(table)
    if not ids:
        return _NONE
    told = []
    for day in sorted({int(day) for day in found["weekday"]}):
        mine = found[(found["weekday"] == day) & (found["id"] != _OTHERS)]
        if not mine.empty and mine["share"].max() > 0:
            top = greatest(mine, "share")
            told.append(f"{WEEKDAYS[day]} {spoken_id(top.id)} {per_cent(top.share)}")
    return (
        f"Most often the constraint: {'; '.join(told)}. Here each moment belongs to whatever has been active longest "
        "without a pause; what is said of all runs counts two where the one takes over from the other."
    )


def _gathered(table: pd.DataFrame) -> tuple[pd.DataFrame, list[str]]:
    """The resources that hold the shop back most, the rest together."""
    found = checked(table, "constraint by weekday", ["id"], ["weekday", "share"])
    sums = found.groupby("id", sort=False)["share"].sum().sort_values(ascending=False, kind="stable")
    sums = sums[sums > 0]
    kept = sums.index.tolist() if len(sums) <= _MOST + 1 else sums.index.tolist()[:_MOST]
    found["id"] = found["id"].where(found["id"].isin(kept), _OTHERS)
    found = found.groupby(["weekday", "id"], sort=False)["share"].sum().reset_index()
    rest = found[found["id"] == _OTHERS]["share"].sum() > 0
    return found, [*kept, *([_OTHERS] if rest else [])]
