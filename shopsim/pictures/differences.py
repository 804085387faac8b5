"""What changes make of one measure: differences from the shop as it stands, with their intervals."""

from __future__ import annotations

import pandas as pd
import plotly.graph_objects as go

from shopsim.figures import POINTS
from shopsim.pictures.columns import checked, rows_of
from shopsim.pictures.interval_rows import draw_interval_rows
from shopsim.pictures.style import GREY, height_px, label_rows, nothing, picture, row_places, rows_px
from shopsim.pictures.text import change, escaped, label, spoken_id, wrapped

_ROOM = 0.06
_NONE = "Nothing to show: no change was compared."


def differences(table: pd.DataFrame, measure: str, unit: str, scale: float = 1.0) -> go.Figure:
    """One row an option: its difference from the base and the paired interval. An interval that holds 0 is drawn
    hollow and dashed: there may be no difference.

    Columns: option, mean, and low, high (missing where there is no interval), all multiplied by `scale`, e.g. 100 for
    a share shown in points. `measure` and `unit` are words for title and axis.
    """
    found = _scaled(table, scale)
    title = f"Change in {label(measure, 32)}"
    if found.empty:
        return nothing(title, _NONE)
    labels = [wrapped(f"{row.option}: {change(row.mean, row.low, row.high)}") for row in rows_of(found)]
    figure = picture(title, height_px(rows_px(labels), 2))
    found.index = pd.Index(row_places(labels))
    for sure, name in ((True, "a difference"), (False, "may be none")):
        mine = found[found["sure"] == sure]
        draw_interval_rows(figure, mine, sure, name, _told(mine, unit))
    figure.add_vline(x=0, line={"color": GREY, "width": 2})
    figure.update_xaxes(title_text=f"{escaped(unit)}, against as it stands", zeroline=False, range=_range(found))
    label_rows(figure, labels)
    return figure


def differences_in_words(table: pd.DataFrame, measure: str, unit: str, scale: float = 1.0) -> str:
    """Each option's difference, and whether it may be none."""
    found = _scaled(table, scale)
    if found.empty:
        return _NONE
    parts = [
        f"{spoken_id(row.option)} {change(row.mean, row.low, row.high)}{'' if row.sure else ', which may be none'}"
        for row in rows_of(found)
    ]
    return f"Change in {spoken_id(measure)} against as it stands, {unit}: {'; '.join(parts)}."


def _range(found: pd.DataFrame) -> list[float]:
    """From end to end of all intervals and 0, with room for their ends."""
    ends = [0.0, *(float(x) for name in ("mean", "low", "high") for x in found[name] if x == x)]
    room = (max(ends) - min(ends) or 1.0) * _ROOM
    return [min(ends) - room, max(ends) + room]


def _scaled(table: pd.DataFrame, scale: float) -> pd.DataFrame:
    found = checked(table, "differences", ["option"], [], ["mean", "low", "high"])
    found = found[found["mean"].notna()].reset_index(drop=True)
    for name in ("mean", "low", "high"):
        found[name] *= scale
    if scale == POINTS:
        found[["low", "high"]] = found[["low", "high"]].clip(-POINTS, POINTS)
    found["sure"] = (found["low"] > 0) | (found["high"] < 0)
    return found


def _told(found: pd.DataFrame, unit: str) -> list[str]:
    return [f"{label(row.option)}<br>{change(row.mean, row.low, row.high)} {escaped(unit)}" for row in rows_of(found)]
