"""What happened against the runs of a model: lead times quantile by quantile, weeks with their band, differences."""

from __future__ import annotations

import pandas as pd
import plotly.graph_objects as go

from shopsim.pictures.columns import checked, rows_of
from shopsim.pictures.style import BLUE, GREY, ROW_PX, VERMILION, band, height_px, label_rows, nothing, picture
from shopsim.pictures.text import change, counted, escaped, label, number, per_cent

_QQ, _DIFFERENCES = "Lead times: what happened against the runs", "What happened less the runs, in luck that is allowed"
_NONE = "Nothing to show: no figure could be compared."
_NO_LEAD = "Nothing to show: no order was sent out."
_MARKS = {"agrees": (BLUE, "circle"), "differs": (VERMILION, "x"), "cannot tell": (GREY, "circle-open")}


def lead_times_matched(table: pd.DataFrame) -> go.Figure:
    """Q-Q picture: the days within which the same share of orders was out, happened against the runs; the band holds 19
    of 20 runs, and the dashed line is agreement.

    Columns: share (0 to 1), happened, mean, low, high (days).
    """
    found = checked(table, "lead times matched", (), ["share", "happened", "mean", "low", "high"])
    if found.empty:
        return nothing(_QQ, _NO_LEAD)
    figure = picture(_QQ, height_px(300, 3))
    x = found["mean"].tolist()
    band(figure, x, found["low"].tolist(), found["high"].tolist(), GREY, "19 of 20 runs")
    figure.add_scatter(x=x, y=x, mode="lines", line={"color": GREY, "width": 2, "dash": "dash"}, name="agreement",
                       hoverinfo="skip")  # fmt: skip
    figure.add_scatter(
        x=x, y=found["happened"].tolist(), mode="markers", name="what happened",
        marker={"color": BLUE, "size": 8, "symbol": "circle-open", "line": {"width": 2}},
        customdata=[per_cent(share) for share in found["share"]],
        hovertemplate="%{customdata} out within %{y:.1f} days, in the runs %{x:.1f}<extra></extra>",
    )  # fmt: skip
    figure.update_xaxes(title_text="days in the runs")
    figure.update_yaxes(title_text="days on record")
    return figure


def lead_times_matched_in_words(table: pd.DataFrame) -> str:
    """Half and nine in ten, happened and in the runs, and how many points lie outside the band."""
    found = checked(table, "lead times matched", (), ["share", "happened", "mean", "low", "high"])
    if found.empty:
        return _NO_LEAD
    outside = int(((found["happened"] < found["low"]) | (found["happened"] > found["high"])).sum())
    parts = []
    for share, words in ((0.5, "half of the orders"), (0.9, "nine in ten")):
        row = found.iloc[[int((found["share"] - share).abs().to_numpy().argmin())]].iloc[0]
        parts.append(f"{words} were out within {row.happened:.1f} days, in the runs {row['mean']:.1f}")
    text = "; ".join(parts)
    return f"{text[0].upper()}{text[1:]}. {outside} of {len(found)} points lie outside 19 of 20 runs."


def weeks_matched(table: pd.DataFrame, name: str, unit: str) -> go.Figure:
    """One figure week by week: what happened as marks, the runs' mean as a line, and the band of 19 of 20 runs.

    Columns: week (1, 2, ...), happened, mean, low, high.
    """
    found = checked(table, "weeks matched", (), ["week", "happened", "mean", "low", "high"])
    title = f"{label(name, 40)[:1].upper()}{label(name, 40)[1:]}"
    if found.empty:
        return nothing(title, _NONE)
    figure = picture(title, height_px(240, 3))
    weeks = found["week"].tolist()
    band(figure, weeks, found["low"].clip(lower=0).tolist(), found["high"].tolist(), BLUE, "19 of 20 runs")
    figure.add_scatter(x=weeks, y=found["mean"].tolist(), mode="lines", line={"color": BLUE, "width": 2},
                       name="runs, mean", hoverinfo="skip")  # fmt: skip
    figure.add_scatter(
        x=weeks, y=found["happened"].tolist(), mode="markers", name="what happened",
        marker={"color": VERMILION, "size": 9, "symbol": "diamond"},
        customdata=found["mean"].tolist(),
        hovertemplate="week %{x:.0f}: %{y:.4g}, in the runs %{customdata:.4g}<extra></extra>",
    )  # fmt: skip
    figure.update_xaxes(title_text="week")
    figure.update_yaxes(title_text=escaped(unit), rangemode="tozero")
    return figure


def weeks_matched_in_words(table: pd.DataFrame, name: str, unit: str) -> str:
    """The means, and the weeks outside the band."""
    found = checked(table, "weeks matched", (), ["week", "happened", "mean", "low", "high"])
    if found.empty:
        return _NONE
    outside = found[(found["happened"] < found["low"]) | (found["happened"] > found["high"])]
    which = f": {', '.join(f'{row.week:.0f}' for row in rows_of(outside))}" if len(outside) else ""
    return (
        f"{name[:1].upper()}{name[1:]}: {number(float(found['happened'].mean()))} {unit} on average, in the runs "
        f"{number(float(found['mean'].mean()))}; {counted(len(outside), 'week')} of {len(found)} outside 19 of 20 "
        f"runs{which}."
    )


def figures_matched(table: pd.DataFrame) -> go.Figure:
    """One row a figure: its difference and interval in units of what luck allows (the interval is 2 wide); the shade
    is what is good enough.

    Columns: figure, outcome, mean, low, high, tolerance (all in the figure's unit), unit.
    """
    found = _scaled(table)
    if found.empty:
        return nothing(_DIFFERENCES, _NONE)
    figure = picture(_DIFFERENCES, height_px(ROW_PX * len(found), 4))
    ends = [x for row in rows_of(found) for x in (-row.good, row.good, None)]
    at = [y for row in found.index for y in (row, row, None)]
    figure.add_scatter(x=ends, y=at, mode="lines", line={"color": GREY, "width": 12}, opacity=0.35, name="good enough",
                       hoverinfo="skip")  # fmt: skip
    for outcome, (colour, symbol) in _MARKS.items():
        mine = found[found["outcome"] == outcome]
        if mine.empty:
            continue
        ends = [x for row in rows_of(mine) for x in (row.left, row.right, None)]
        at = [y for row in mine.index for y in (row, row, None)]
        figure.add_scatter(x=ends, y=at, mode="lines", line={"color": colour, "width": 3}, hoverinfo="skip",
                           showlegend=False)  # fmt: skip
        figure.add_scatter(
            x=mine["middle"].tolist(), y=mine.index.tolist(), mode="markers", name=outcome,
            marker={"size": 12, "color": colour, "symbol": symbol, "line": {"width": 3, "color": colour}},
            customdata=[f"{label(row.figure)}<br>{_difference(row)}" for row in rows_of(mine)],
            hovertemplate="%{customdata}<extra></extra>",
        )  # fmt: skip
    figure.add_vline(x=0, line={"color": GREY, "width": 2})
    reach = 1.1 * max(2.0, float(found[["left", "right"]].abs().max().max()))
    figure.update_xaxes(title_text="in units of what luck allows", zeroline=False, range=[-reach, reach])
    label_rows(figure, [f"{label(row.figure, 34)}: {_difference(row)}" for row in rows_of(found)])
    return figure


def figures_matched_in_words(table: pd.DataFrame) -> str:
    """Each figure's difference and outcome."""
    found = _scaled(table)
    if found.empty:
        return _NONE
    return "; ".join(f"{row.figure} {_difference(row)}, {row.outcome}" for row in rows_of(found)) + "."


def _difference(row: object) -> str:
    scale, unit = (100, "points") if getattr(row, "unit", "") == "1" else (1, getattr(row, "unit", ""))
    return f"{change(getattr(row, 'mean', 0.0), getattr(row, 'low', None), getattr(row, 'high', None), scale)} {unit}"


def _scaled(table: pd.DataFrame) -> pd.DataFrame:
    found = checked(table, "figures matched", ["figure", "outcome", "unit"], ["mean", "low", "high", "tolerance"])
    half = ((found["high"] - found["low"]) / 2).clip(lower=1e-12)
    for name, column in (("middle", "mean"), ("left", "low"), ("right", "high")):
        found[name] = found[column] / half
    # A wide tolerance ends at the edge of the picture.
    most = 1.1 * max(2.0, float(found[["left", "right"]].abs().max().max())) if len(found) else 2.0
    found["good"] = (found["tolerance"] / half).clip(upper=most)
    return found
