"""Which inputs the answer hangs on, one at a time over their ranges."""

from __future__ import annotations

from typing import Any

import pandas as pd
import plotly.graph_objects as go

from shopsim.pictures.columns import checked, rows_of
from shopsim.pictures.style import (
    BLUE,
    PURPLE,
    ROW_PX,
    Fill,
    filled,
    height_px,
    label_rows,
    mark_line,
    nothing,
    picture,
)
from shopsim.pictures.text import capital, escaped, label, number, spoken_id

_TITLE = "What the answer hangs on"
_NONE = "Nothing to show: no input was varied."


def tornado(table: pd.DataFrame, measure: str, now: float, scale: float = 1.0, most: int = 10) -> go.Figure:
    """For each input a bar from the measure at its low value to that at its high value, the longest first.

    Columns: input, low, high (its range), at_low, at_high (the measure there, multiplied by `scale`), and perhaps unit
    (of the range). `measure` is the axis in words with its unit, `now` the measure without doubt.
    """
    found = _ranked(table, scale)[:most]
    if found.empty:
        return nothing(_TITLE, _NONE)
    figure = picture(_TITLE, height_px(ROW_PX * len(found), 2))
    for end, words, fill in (("low", "input low", Fill(PURPLE, "/")), ("high", "input high", Fill(BLUE))):
        reach = (found[f"at_{end}"] - now * scale).tolist()
        figure.add_bar(
            orientation="h", y=list(range(len(found))), base=now * scale, x=reach, name=words, marker=filled(fill),
            customdata=[
                f"{label(row.input)} {number(getattr(row, end))}{_unit(row)}: {number(getattr(row, f'at_{end}'))}"
                for row in rows_of(found)
            ],
            hovertemplate="%{customdata}<extra></extra>",
        )  # fmt: skip
    figure.update_layout(barmode="overlay")
    mark_line(figure, now * scale, "now", upright=True)
    figure.update_xaxes(title_text=escaped(measure), nticks=6, zeroline=False)
    label_rows(figure, [f"{label(row.input, 30)}: {_range(row)}" for row in rows_of(found)])
    return figure


def tornado_in_words(table: pd.DataFrame, measure: str, now: float, scale: float = 1.0, most: int = 3) -> str:
    """The inputs that move the measure most, and how far."""
    found = _ranked(table, scale)
    if found.empty:
        return _NONE
    parts = [
        f"{spoken_id(row.input)} from {_range(row)} moves it from {number(row.at_low)} to {number(row.at_high)}"
        for row in rows_of(found[:most])
    ]
    return f"{capital(measure)}, {number(now * scale)} now: {'; '.join(parts)}."


def _range(row: Any) -> str:
    return f"{number(row.low)} to {number(row.high)}{_unit(row)}"


def _unit(row: Any) -> str:
    return f" {escaped(row.unit)}" if row.unit else ""


def _ranked(table: pd.DataFrame, scale: float) -> pd.DataFrame:
    given = table if "unit" in table else table.assign(unit="")
    found = checked(given, "tornado", ["input", "unit"], ["low", "high", "at_low", "at_high"])
    for name in ("at_low", "at_high"):
        found[name] *= scale
    swing = (found["at_high"] - found["at_low"]).abs()
    return found.loc[swing.sort_values(ascending=False, kind="stable").index].reset_index(drop=True)
