"""How much each of many inputs does, all moved together: effects by Morris, shares of the variance by Sobol."""

from __future__ import annotations

from typing import Any

import pandas as pd
import plotly.graph_objects as go

from shopsim.pictures.columns import checked, rows_of
from shopsim.pictures.interval_rows import draw_interval_rows
from shopsim.pictures.style import ROW_PX, height_px, label_rows, nothing, picture
from shopsim.pictures.text import between, capital, escaped, label, spoken_id

_TITLE = "What the answer hangs on"
_NONE = "Nothing to show: nothing can be told of any input."


def input_weights(table: pd.DataFrame, measure: str, scale: float = 1.0) -> go.Figure:
    """One row an input in the order of the table, with its interval; what may be luck alone is hollow and dashed.

    Columns: input, told ("yes" where the runs tell it from luck), mean, and low, high (missing where there is no
    interval), all multiplied by `scale`. `measure` is the axis in words with its unit; nothing lies below 0.
    """
    found = _scaled(table, scale)
    if found.empty:
        return nothing(_TITLE, _NONE)
    figure = picture(_TITLE, height_px(ROW_PX * len(found), 2))
    for sure, name in ((True, "more than luck"), (False, "may be luck")):
        mine = found[(found["told"] == "yes") == sure]
        draw_interval_rows(figure, mine, sure, name, [f"{label(row.input)}: {_number(row)}" for row in rows_of(mine)])
    figure.update_xaxes(title_text=escaped(capital(measure)), rangemode="tozero", nticks=6)
    label_rows(figure, [f"{label(row.input, 30)}: {_number(row)}" for row in rows_of(found)])
    return figure


def input_weights_in_words(table: pd.DataFrame, measure: str, scale: float = 1.0) -> str:
    """Each input with its interval, and whether it may be luck alone."""
    found = _scaled(table, scale)
    if found.empty:
        return _NONE
    parts = [
        f"{spoken_id(row.input)} {_number(row)}{'' if row.told == 'yes' else ', which may be luck'}"
        for row in rows_of(found)
    ]
    return f"{capital(measure)}: {'; '.join(parts)}."


def _number(row: Any) -> str:
    return between(row.mean, row.low, row.high, least=0)


def _scaled(table: pd.DataFrame, scale: float) -> pd.DataFrame:
    found = checked(table, "input weights", ["input", "told"], ["mean"], may_miss=["low", "high"])
    for name in ("mean", "low", "high"):
        found[name] = (found[name] * scale).clip(lower=0)
    return found
