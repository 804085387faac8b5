"""What an investment may be worth: how the cases spread, not one number."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import pandas as pd
import plotly.graph_objects as go

from shopsim.figures import money
from shopsim.measures.intervals import Floats
from shopsim.pictures.columns import checked
from shopsim.pictures.style import BLUE, GREY, VERMILION, Fill, each_filled, height_px, mark_line, nothing, picture, tag
from shopsim.pictures.text import escaped, per_cent

_NPV, _YEARS = "Net present value, case by case", "Years until it has paid back"
_NONE = "Nothing to show: no case was worked out."
_BINS = 16
_ROOM = 0.01


def npv_spread(table: pd.DataFrame, currency: str) -> go.Figure:
    """Shares of cases by net present value; what loses money is hatched.

    Columns: npv_cu, one row a case.
    """
    values = _npv(table)
    if not len(values):
        return nothing(_NPV, _NONE)
    edges = bins(values)
    counts, _ = np.histogram(values, edges)
    shares = counts / len(values) * 100
    middles = (edges[:-1] + edges[1:]) / 2
    figure = picture(_NPV, height_px(240, 0))
    figure.add_bar(
        x=middles.tolist(), y=shares.tolist(), width=np.diff(edges).tolist(), showlegend=False,
        marker=each_filled([Fill(BLUE) if middle > 0 else Fill(VERMILION, "/") for middle in middles]),
        customdata=[f"{money(a)} to {money(b)}" for a, b in pairwise(edges.tolist())],
        hovertemplate="%{customdata}: %{y:.0f} % of cases<extra></extra>",
    )  # fmt: skip
    figure.update_layout(bargap=0)
    figure.add_vline(x=0, line={"color": GREY, "width": 2})
    median = float(np.median(values))
    mark_line(figure, median, f"half above {money(median)}", upright=True)
    figure.update_xaxes(title_text=f"net present value, {escaped(currency)} (hatched: a loss)", nticks=6)
    figure.update_yaxes(title_text="% of cases", range=[0, float(shares.max()) * 1.25])
    return figure


def npv_spread_in_words(table: pd.DataFrame, currency: str) -> str:
    """The share of cases that gain, the median, and where eight in ten lie."""
    values = _npv(table)
    if not len(values):
        return _NONE
    low, median, high = (money(float(np.quantile(values, share))) for share in (0.1, 0.5, 0.9))
    return f"{_gaining(values)}. Half are above {median} {currency}, eight in ten between {low} and {high}."


def _gaining(values: Floats) -> str:
    share, cases = float((values > 0).mean()), f"{len(values):,} cases"
    return f"{'All' if share == 1 else per_cent(share)} of {cases} gain" if share else f"None of {cases} gains"


def payback_spread(table: pd.DataFrame, life_years: float = 0.0) -> go.Figure:
    """Shares of cases by the year in which the money is back; the last bar, set apart, holds those in which it never
    comes back.

    Columns: payback_years, one row a case, infinite where it never pays back. Years are shown to the end of
    `life_years` at least, so that one bar alone is not taken for all there could be.
    """
    shares = _by_year(table, life_years)
    if not shares:
        return nothing(_YEARS, _NONE)
    figure = picture(_YEARS, height_px(240, 0))
    names = list(shares)
    # A gap before the last one.
    places = [*range(len(names) - 1), len(names) - 0.5]
    figure.add_bar(
        x=places, y=[share * 100 for share in shares.values()], showlegend=False,
        marker=each_filled([Fill(VERMILION, "/") if name == "never" else Fill(BLUE) for name in names]),
        customdata=names, hovertemplate="year %{customdata}: %{y:.0f} % of cases<extra></extra>",
    )  # fmt: skip
    for name, place, share in zip(names, places, shares.values(), strict=True):
        if share >= _ROOM or name == "never":
            tag(figure, place, share * 100, per_cent(share), yanchor="bottom")
    figure.update_layout(bargap=0.25)
    figure.update_xaxes(
        title_text="year of use in which it has paid back", tickvals=places, ticktext=names,
        range=[-0.6, places[-1] + 0.6],
    )  # fmt: skip
    figure.update_yaxes(title_text="% of cases", range=[0, max(shares.values()) * 118])
    return figure


def payback_spread_in_words(table: pd.DataFrame) -> str:
    """The share of cases that pay back, and the years of half and of eight in ten of them all."""
    found = checked(table, "payback spread", (), ["payback_years"])["payback_years"].to_numpy()
    if not len(found):
        return _NONE
    back = float(np.isfinite(found).mean())
    if back in (0.0, 1.0):
        text = f"{'All' if back else 'None'} of {len(found):,} cases pay{'' if back else 's'} back."
    else:
        text = f"{per_cent(back)} of {len(found):,} cases pay back, {per_cent(1 - back)} never do."
    low, median, high = (_quantile(found, share) for share in (0.1, 0.5, 0.9))
    if not math.isfinite(median):
        return text
    between = f", eight in ten in {low:.1f} to {high:.1f} years" if math.isfinite(high) else ""
    return f"{text} Half of all have the money back within {median:.1f} years{between}."


def bins(values: Sequence[float] | Floats) -> Floats:
    """About sixteen bins of a round width with an edge at 0, so that no bar is part gain, part loss."""
    low, high = float(np.min(values)), float(np.max(values))
    width = (high - low) / _BINS or max(1.0, abs(high) / _BINS)
    scale = 10.0 ** math.floor(math.log10(width))
    width = next(step * scale for step in (1, 2, 2.5, 5, 10) if step * scale >= width)
    first, last = math.floor(low / width), math.floor(high / width) + 1
    return np.array([step * width for step in range(first, last + 1)], dtype=np.float64)


def _npv(table: pd.DataFrame) -> Floats:
    return checked(table, "npv spread", (), ["npv_cu"])["npv_cu"].to_numpy()


def _by_year(table: pd.DataFrame, life_years: float) -> dict[str, float]:
    years = checked(table, "payback spread", (), ["payback_years"])["payback_years"].to_numpy()
    if not len(years):
        return {}
    back = years[np.isfinite(years)]
    last = math.ceil(max(1.0, life_years, float(back.max(initial=0))))
    numbers = np.maximum(np.ceil(back), 1)
    shares = {str(year): float((numbers == year).sum()) / len(years) for year in range(1, last + 1)}
    return {**shares, "never": float((~np.isfinite(years)).mean())}


def _quantile(values: Floats, share: float) -> float:
    # An order statistic: infinite years cannot be interpolated.
    return float(np.sort(values)[min(len(values) - 1, int(share * len(values)))])
