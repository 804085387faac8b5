"""Rows of means with their intervals: what is sure solid and full, what may be luck dashed and hollow."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd
import plotly.graph_objects as go

from shopsim.pictures.style import BLUE, GREY


def draw_interval_rows(figure: go.Figure, found: pd.DataFrame, sure: bool, name: str, told: Sequence[str]) -> None:
    """Marks and intervals of some rows, each at the height of its index; none where there are no rows.

    Columns: mean, low, high (missing where there is no interval). `name` stands in the legend, `told` is shown when a
    mark is pointed at.
    """
    if found.empty:
        return
    colour = BLUE if sure else GREY
    # Each interval is a line of its own, because error bars cannot be dashed.
    ends = [x for low, high in zip(found["low"], found["high"], strict=True) for x in (low, high, None)]
    rows = [y for row in found.index for y in (row, row, None)]
    line = {"color": colour, "width": 3, "dash": "solid" if sure else "dot"}
    figure.add_scatter(x=ends, y=rows, mode="lines", line=line, hoverinfo="skip", showlegend=False)
    figure.add_scatter(
        x=found["mean"].tolist(), y=found.index.tolist(), mode="markers", name=name,
        marker={"size": 12, "color": colour, "symbol": "circle" if sure else "circle-open", "line": {"width": 3}},
        customdata=list(told), hovertemplate="%{customdata}<extra></extra>",
    )  # fmt: skip
