"""One week of a shift: hours down, days across, work and breaks."""

from __future__ import annotations

import pandas as pd
import plotly.graph_objects as go

from shopsim.pictures.columns import checked, rows_of
from shopsim.pictures.style import BLUE, VERMILION, Fill, filled, nothing, picture

_TITLE = "Hours of the week"
_NONE = "Nobody is there in this week."
_FILLS = {"w": ("work", Fill(BLUE)), "b": ("break", Fill(VERMILION, "/"))}
_DAY_H = 24


def shift_week(table: pd.DataFrame) -> go.Figure:
    """Columns: day (name), signs (a sign a cell from 00:00: `.` off, `w` work, `b` break, capitals where a shift begins
    right behind another), cell_min."""
    found = _checked(table)
    if not "".join(found["signs"]).strip("."):
        return nothing(_TITLE, _NONE)
    figure = picture(_TITLE, 420)
    for sign, (name, fill) in _FILLS.items():
        spans = [(row.day, start, end) for row in rows_of(found) for what, start, end in _spans(row) if what == sign]
        figure.add_bar(
            x=[day for day, _, _ in spans], base=[start for _, start, _ in spans],
            y=[end - start for _, start, end in spans], name=name, marker=filled(fill), offsetgroup="1",
            customdata=[f"{day}: {name} {_clock(start)} to {_clock(end)}" for day, start, end in spans],
            hovertemplate="%{customdata}<extra></extra>",
        )  # fmt: skip
    figure.update_layout(barmode="overlay", bargap=0.08, showlegend=True)
    figure.update_xaxes(range=[-0.5, len(found) - 0.5], type="category", categoryorder="array",
                        categoryarray=found["day"].tolist(), tickvals=found["day"].tolist(),
                        ticktext=[day[:3] for day in found["day"]], fixedrange=True)  # fmt: skip
    figure.update_yaxes(range=[_DAY_H, 0], tickvals=list(range(0, 25, 3)), fixedrange=True,
                        ticktext=[f"{hour:02d}:00" for hour in range(0, 25, 3)])  # fmt: skip
    return figure


def shift_week_in_words(table: pd.DataFrame) -> str:
    """Each day's hours; days alike together."""
    alike: dict[str, list[str]] = {}
    for row in rows_of(_checked(table)):
        alike.setdefault(_told(row), []).append(row.day[:3])
    return "; ".join(f"{', '.join(days)}: {told}" for told, days in alike.items()) + "."


def _checked(table: pd.DataFrame) -> pd.DataFrame:
    return checked(table, "hours of the week", ["day", "signs"], ["cell_min"])


def _spans(row: object) -> list[tuple[str, float, float]]:
    """(sign, from, to) in hours of what lies without a gap and is one shift."""
    signs, hours = str(getattr(row, "signs", "")), float(getattr(row, "cell_min", 0)) / 60
    spans: list[tuple[str, float, float]] = []
    for place, sign in enumerate(signs):
        what, start = sign.lower(), place * hours
        if what == ".":
            continue
        if spans and spans[-1][0] == what and spans[-1][2] == start and sign == what:
            spans[-1] = (what, spans[-1][1], start + hours)
        else:
            spans.append((what, start, start + hours))
    return spans


def _told(row: object) -> str:
    spans = _spans(row)
    work: list[list[float]] = []
    for _, start, end in spans:
        if work and work[-1][1] == start:
            work[-1][1] = end
        else:
            work.append([start, end])
    if not work:
        return "off"
    breaks_min = sum(end - start for what, start, end in spans if what == "b") * 60
    told = " and ".join(f"{_clock(start)}–{_clock(end)}" for start, end in work)
    return told + (f" with {breaks_min:g} min of breaks" if breaks_min else "")


def _clock(hours: float) -> str:
    minutes = round(hours * 60)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
