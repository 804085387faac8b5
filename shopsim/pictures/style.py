"""How every picture looks: paper and ink for light and dark, colours by meaning, patterns and marks beside them.

Colours are those of Okabe and Ito (Color Universal Design, 2008) with a contrast of at least 3:1 on both papers (WCAG
2.2, success criterion 1.4.11), so that one figure does for light and dark; text and grid come from the template.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import accumulate
from typing import Any, NamedTuple

import plotly.graph_objects as go

BLUE, VERMILION, GREEN, PURPLE, GREY = "#0072B2", "#D55E00", "#009E73", "#CC79A7", "#808080"
SERIES = (BLUE, VERMILION, GREEN, PURPLE, GREY)
"""Colours of things without a meaning of their own, in this order."""
DASHES = ("solid", "dash", "dot", "dashdot", "longdash")
SYMBOLS = ("circle", "square", "diamond", "triangle-up", "cross")
PATTERNS = ("", "/", ".", "x", "-", "\\", "+", "|")
# Dots and crosses are for what is of little weight: much paper shows.
_PATTERN_PX, _SOLIDITY = 7, {".": 0.16, "x": 0.2}

LIGHT_PAPER, DARK_PAPER = "#FFFFFF", "#0E1117"
LIGHT_INK, DARK_INK = "#1A1C21", "#ECEEF2"
# Plotly paints a button under the pointer nearly white, whatever the page: so all buttons are light with dark text.
BUTTON = "#E3E5E9"
FONT = "system-ui, -apple-system, 'Segoe UI', 'Liberation Sans', sans-serif"
TEXT_PX, TITLE_PX = 13, 15
ROW_PX = 46
"""Height of one lying bar with its label above it, which leaves a phone's whole width to the bar."""
_LINE_PX = 17
ROW_BAR = 0.5
"""Height of such a bar, as a part of a row of one line."""
LEGEND_ENTRY_PX, _LEGEND_INDENT_PX = 126, -8
"""Width of a legend's text: two side by side in the 358 px that a page leaves on a phone of 390 px."""
_LEGEND_ROW_PX, _AROUND_PX = 20, 112
NAMES_LETTERS, _NAMES_PX = 42, 300
"""Letters of a legend's entry, and its width, where names of parts stand in it: one a line on a phone, three on a wide
page."""

CONFIG: dict[str, Any] = {
    "displaylogo": False,
    "showSendToCloud": False,
    "responsive": True,
    "scrollZoom": False,
    # The fewer, the less of a title is under them on a phone.
    "modeBarButtonsToRemove": ["select2d", "lasso2d", "autoScale2d", "zoomIn2d", "zoomOut2d"],
}
"""What to show a figure with, everywhere: no outside address, no button that sends the figure away."""


class Fill(NamedTuple):
    """Colour and pattern of an area; the pattern tells what the colour alone would."""

    colour: str
    pattern: str = ""


def _template(paper: str, ink: str, grid: str) -> go.layout.Template:
    axis = {
        "automargin": True, "gridcolor": grid, "linecolor": grid, "zerolinecolor": GREY, "zerolinewidth": 1,
        "title": {"standoff": 8, "font": {"size": TEXT_PX}}, "tickfont": {"size": TEXT_PX - 1},
        # 12,000 as in the words beside it, not 12k.
        "exponentformat": "none", "separatethousands": True,
    }  # fmt: skip
    layout = {
        "paper_bgcolor": paper, "plot_bgcolor": paper, "font": {"family": FONT, "size": TEXT_PX, "color": ink},
        "title": {"font": {"size": TITLE_PX}, "x": 0, "xref": "container", "y": 1, "yref": "container",
                  "yanchor": "top", "pad": {"l": 8, "t": 10, "b": 8}, "automargin": True},
        "margin": {"l": 8, "r": 14, "t": 24, "b": 8}, "colorway": list(SERIES), "bargap": 0.5,
        "legend": {"orientation": "h", "x": 0, "xref": "container", "y": 0, "yref": "container", "yanchor": "bottom",
                   "font": {"size": TEXT_PX - 2}, "traceorder": "normal", "entrywidth": LEGEND_ENTRY_PX,
                   "indentation": _LEGEND_INDENT_PX},
        "hoverlabel": {"font": {"family": FONT, "size": TEXT_PX - 1, "color": ink}, "bgcolor": paper,
                       "bordercolor": GREY, "align": "left"},
        "xaxis": axis, "yaxis": axis, "annotationdefaults": {"bgcolor": paper, "font": {"size": TEXT_PX - 1}},
        "updatemenudefaults": {"bgcolor": BUTTON, "bordercolor": GREY,
                               "font": {"color": LIGHT_INK, "size": TEXT_PX - 1}},
        "sliderdefaults": {"bordercolor": GREY, "bgcolor": grid, "activebgcolor": BLUE, "tickcolor": GREY,
                           "font": {"color": ink, "size": TEXT_PX - 1}},
    }  # fmt: skip
    return go.layout.Template(layout=layout)


LIGHT = _template(LIGHT_PAPER, LIGHT_INK, "#E3E5E9")
DARK = _template(DARK_PAPER, DARK_INK, "#2C313A")


def picture(title: str, height: int = 360) -> go.Figure:
    """An empty figure in the light look, as wide as its page; `title` is our own words or `escaped`."""
    figure = go.Figure()
    # Given outright, because a default template of the reader's own must not shine through.
    figure.update_layout(template=LIGHT, title_text=title, height=height, autosize=True, dragmode=False)
    return figure


def height_px(inside: float, entries: int) -> int:
    """Height of a figure with so much room between its axes and so many entries in its legend, on a phone too."""
    return round(inside + _AROUND_PX + _LEGEND_ROW_PX * math.ceil(entries / 2))


def legend_of_names(figure: go.Figure) -> None:
    """Room in the legend for names of `NAMES_LETTERS`; in `height_px` each then counts as two entries."""
    figure.update_layout(legend_entrywidth=_NAMES_PX, legend_indentation=0)


def dressed(figure: go.Figure, dark: bool) -> go.Figure:
    """The same figure for a dark or a light page."""
    return go.Figure(figure).update_layout(template=DARK if dark else LIGHT)


def nothing(title: str, why: str) -> go.Figure:
    """A calm figure that says why there is nothing to see."""
    figure = picture(title, 160)
    figure.update_xaxes(visible=False)
    figure.update_yaxes(visible=False)
    figure.add_annotation(text=why, showarrow=False, x=0.5, y=0.5, xref="paper", yref="paper")
    return figure


def filled(fill: Fill) -> dict[str, Any]:
    """The marker of an area: its colour, its pattern on the paper, an edge that closes it."""
    return {
        "color": fill.colour,
        "line": {"color": fill.colour, "width": 1},
        "pattern": {"shape": fill.pattern, "size": _PATTERN_PX, "solidity": _SOLIDITY.get(fill.pattern, 0.35)},
    }


def each_filled(fills: Sequence[Fill]) -> dict[str, Any]:
    """As `filled`, bar by bar of one trace."""
    colours = [fill.colour for fill in fills]
    return {
        "color": colours,
        "line": {"color": colours, "width": 1},
        "pattern": {
            "shape": [fill.pattern for fill in fills],
            "size": _PATTERN_PX,
            "solidity": [_SOLIDITY.get(fill.pattern, 0.35) for fill in fills],
        },
    }


def faint(colour: str, share: float = 0.34) -> str:
    """A colour through which the paper shows, for bands."""
    red, green, blue = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    return f"rgba({red},{green},{blue},{share:g})"


def tag(figure: go.Figure, x: float, y: float, words: str, **more: Any) -> None:
    """A few words on a piece of paper of their own, readable on any colour and pattern."""
    figure.add_annotation(x=x, y=y, text=words, showarrow=False, borderpad=1, **more)


def rows_px(labels: Sequence[str]) -> int:
    """Height of rows that have their labels above them, each as high as its own label has lines."""
    return ROW_PX * len(labels) + _LINE_PX * sum(text.count("<br>") for text in labels)


def row_places(labels: Sequence[str]) -> list[float]:
    """Where such rows stand, in heights of a row of one line from the top down: 0, 1, ... where all labels have one."""
    lines = accumulate(text.count("<br>") for text in labels)
    return [row + count * _LINE_PX / ROW_PX for row, count in enumerate(lines)]


def label_rows(figure: go.Figure, labels: Sequence[str]) -> None:
    """Rows at their `row_places`, each with its label above its left end."""
    places = row_places(labels)
    figure.update_yaxes(visible=False, range=[places[-1] + 0.6, -0.75], fixedrange=True)
    for place, text in zip(places, labels, strict=True):
        figure.add_annotation(
            x=0, xref="paper", y=place - 0.27, text=text, showarrow=False, xanchor="left", yanchor="bottom",
            align="left", borderpad=0,
        )  # fmt: skip


def mark_line(figure: go.Figure, at: float, words: str, upright: bool, foot: bool = False, **more: Any) -> None:
    """A dashed line across the picture with its words at the end, e.g. a target or a promise; `foot`: those of an
    upright line stand at its lower end, where a rising curve is not."""
    line = {"color": GREY, "width": 2, "dash": "dash"}
    if upright:
        figure.add_vline(x=at, line=line, **more)
        figure.add_annotation(
            x=at, y=0 if foot else 1, yref="paper", text=words, showarrow=False, xanchor="left",
            yanchor="bottom" if foot else "top", xshift=4,
        )  # fmt: skip
    else:
        figure.add_hline(y=at, line=line, **more)
        figure.add_annotation(
            x=1, xref="paper", y=at, text=words, showarrow=False, xanchor="right", yanchor="bottom", yshift=1,
        )  # fmt: skip


def band(figure: go.Figure, x: Sequence[Any], low: Sequence[float], high: Sequence[float], colour: str,
         name: str, across: bool = False) -> None:  # fmt: skip
    """The interval around a curve; points without one are left out. `across`: x lies upright, the interval lies."""
    known = [(at, a, b) for at, a, b in zip(x, low, high, strict=True) if a == a and b == b]
    if not known:
        return
    at, a, b = (list(column) for column in zip(*known, strict=True))
    along, edge = at + at[::-1], b + a[::-1]
    figure.add_scatter(
        x=edge if across else along, y=along if across else edge, fill="toself", fillcolor=faint(colour),
        line={"width": 0}, mode="lines", name=name, hoverinfo="skip",
    )  # fmt: skip


def error_bars(mean: Sequence[float], low: Sequence[float], high: Sequence[float]) -> dict[str, Any]:
    """Bars from low to high about a mean; none where there is no interval."""
    return {
        "type": "data", "symmetric": False, "thickness": 2, "width": 6,
        "array": [h - m if h == h else 0.0 for m, h in zip(mean, high, strict=True)],
        "arrayminus": [m - a if a == a else 0.0 for m, a in zip(mean, low, strict=True)],
    }  # fmt: skip
