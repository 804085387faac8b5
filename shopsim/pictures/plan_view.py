"""The floor from above, replaying a day: where the work is, and who is busy."""

from __future__ import annotations

from datetime import date
from typing import Any

import pandas as pd
import plotly.graph_objects as go

from shopsim.pictures.columns import checked, greatest, rows_of
from shopsim.pictures.plan_controls import Clock, controls
from shopsim.pictures.style import BLUE, GREY, VERMILION, nothing, picture
from shopsim.pictures.text import counted, label, shortened, spoken_id, wrapped

_TITLE = "The floor, moment by moment"
_NONE = "Nothing to show: no moment was asked for."
MARKS = 12
"""So many bundles, or people, are shown as marks at one place as wide as the floor; a number tells how many more."""
_STAGE_PX, _CREW = 104, 0.3
"""Height of a stage, and that of a crew's line as a part of it."""
_WAITING, _IN_WORK, _PEOPLE, _COUNTS = 0.31, 0.45, 0.6, 0.79
"""How far below the top of a stage its rows are."""
_INSIDE = 0.02
"""Space between the edge of a place and what stands in it."""
_ABOVE_PX, _BELOW_PX = 92, 150
_DOING = {
    "work": ("circle", BLUE), "idle": ("circle-open", GREY), "break": ("line-ew-open", GREY),
    "absent": ("x-thin-open", GREY), "off": ("circle-open-dot", "rgba(0,0,0,0)"),
}  # fmt: skip
_WORDS = {"work": "at work", "idle": "no work", "break": "break", "absent": "absent"}
# A box narrower than this part of the floor has no room for words beside its counts.
_NARROW = 0.3


def plan_view(places: pd.DataFrame, moments: pd.DataFrame, people: pd.DataFrame, starts: date) -> go.Figure:
    """Places from the first stage of the routes at the top to the last, with a mark a bundle: hollow squares wait, full
    squares are worked at, full circles are the people who work there. Below, by crew, who is at work nowhere on the
    plan: hollow without work, a dash at a break, a cross absent. Play, pause, speed and a slider move the clock.

    Columns as in `measures.plan_view.PlanView`: places (place, kind, stage, seats); moments (time_min, place, waiting,
    in_work); people (time_min, crew, person, doing, place), which may be empty. Minutes are since the Monday `starts`.
    """
    clock = Clock(starts)
    floor = _Floor(places, moments, people)
    if not floor.times:
        return nothing(_TITLE, _NONE)
    units = floor.stages + 0.2 + _CREW * len(floor.crews)
    figure = picture(_TITLE, round(_STAGE_PX * units) + _ABOVE_PX + _BELOW_PX)
    figure.add_traces([*floor.traces(floor.times[0]), *_legend(bool(floor.crews))])
    for box in floor.boxes():
        figure.add_shape(**box)
    for words in floor.labels():
        figure.add_annotation(**words)
    figure.frames = [
        go.Frame(data=_only_changing(floor.traces(at)), name=clock.told(at), traces=list(range(len(_TRACES))))
        for at in floor.times
    ]
    figure.update_xaxes(visible=False, range=[-0.02, 1.02], fixedrange=True)
    figure.update_yaxes(visible=False, range=[0.05 - units, 0.05], fixedrange=True)
    # Fixed margins: a plan drawn before the slider has pushed its margin would stay where it was.
    margin = {"l": 8, "r": 8, "t": _ABOVE_PX, "b": _BELOW_PX, "autoexpand": False}
    figure.update_layout(hovermode="closest", margin=margin, title_automargin=False, **controls(floor.times, clock))
    return figure


def plan_view_in_words(places: pd.DataFrame, moments: pd.DataFrame, people: pd.DataFrame, starts: date) -> str:
    """The way through the shop, the fullest place and moment, and how many people are busy at the most."""
    clock = Clock(starts)
    floor = _Floor(places, moments, people)
    if not floor.times:
        return _NONE
    way = [
        " or ".join(spoken_id(name) for name in floor.places[floor.places["stage"] == stage]["place"])
        for stage in sorted(set(floor.places["stage"]))
    ]
    text = f"{clock.span(floor.times)}. The way through the shop: {', then '.join(way)}."
    top = greatest(floor.moments, "waiting")
    when = clock.short(top.time_min, floor.times)
    text += f" Most work waits at {spoken_id(top.place)} at {when}: {counted(top.waiting, 'bundle')}."
    if not floor.people.empty:
        busy = (floor.people["doing"] == "work").groupby(floor.people["time_min"]).sum()
        heads = floor.people["person"].nunique()
        text += f" At the busiest moment {busy.max()} of {heads} people are at work."
    return text


_TRACES = ("waiting", "in work", "counts", "people at places", "people by crew")


Mark = tuple[float, float, str]
"""Where something stands, x and y, and what is said of it."""


class _Floor:
    """Where everything stands: x from 0 to 1, a stage a unit of y downwards from 0, crews below."""

    def __init__(self, places: pd.DataFrame, moments: pd.DataFrame, people: pd.DataFrame) -> None:
        self.places = checked(places, "plan view, places", ["place", "kind"], ["stage", "seats"])
        self.moments = checked(moments, "plan view, moments", ["place"], ["time_min", "waiting", "in_work"])
        self.people = checked(people, "plan view, people", ["crew", "person", "doing", "place"], ["time_min"])
        self.times = sorted(set(self.moments["time_min"])) if len(self.places) else []
        self.stages = int(self.places["stage"].max()) + 1 if len(self.places) else 0
        self.crews = list(dict.fromkeys(self.people["crew"]))
        self._at = dict(list(self.moments.groupby("time_min")))
        self._who = dict(list(self.people.groupby("time_min")))
        self._left, self._top, self._width = {}, {}, {}
        for stage, group in self.places.groupby("stage"):
            width = 1 / len(group)
            for i, name in enumerate(group["place"]):
                self._left[name], self._top[name], self._width[name] = i * width, -float(stage), width  # type: ignore[arg-type]
        self._seats = dict(zip(self.places["place"], self.places["seats"], strict=True))
        self._kinds = dict(zip(self.places["place"], self.places["kind"], strict=True))

    def boxes(self) -> list[dict[str, Any]]:
        """The outline of each place."""
        return [
            {"type": "rect", "x0": left + 0.006, "x1": left + self._width[name] - 0.006, "y0": self._top[name] - 0.9,
             "y1": self._top[name], "line": {"color": GREY, "width": 1}, "layer": "below"}
            for name, left in self._left.items()
        ]  # fmt: skip

    def labels(self) -> list[dict[str, Any]]:
        """Names of places and crews."""
        letters = {name: max(8, round(46 * width)) for name, width in self._width.items()}
        here = {"showarrow": False, "xanchor": "left", "bgcolor": "rgba(0,0,0,0)", "borderpad": 0}
        names = [
            {**here, "x": left + _INSIDE, "y": self._top[name] - 0.04, "yanchor": "top",
             "text": label(name, letters[name])}
            for name, left in self._left.items()
        ]  # fmt: skip
        crews = [
            {**here, "x": 0, "y": self._crew_y(i), "align": "left", "text": wrapped(shortened(name, 30), 16)}
            for i, name in enumerate(self.crews)
        ]
        return names + crews

    def traces(self, at: float) -> list[go.Scatter]:
        """Marks and counts of one moment, in the order of `_TRACES`."""
        rows = list(rows_of(self._at[at]))
        who = self._who.get(at, self.people.iloc[:0])
        at_work = [row for row in rows_of(who) if row.doing == "work" and row.place in self._left]
        waiting, more = self._bundles([(row.place, row.waiting) for row in rows], _WAITING)
        in_work, more_in_work = self._bundles([(row.place, row.in_work) for row in rows], _IN_WORK)
        people, more_people = self._row_of([(row.place, f"{label(row.person)}: at work") for row in at_work], _PEOPLE)
        counts = [(self._left[row.place] + _INSIDE, self._top[row.place] - _COUNTS, self._count(row)) for row in rows]
        told = [*counts, *more, *more_in_work, *more_people]
        return [
            _marked(waiting, "waiting", "square-open", VERMILION), _marked(in_work, "worked at", "square", BLUE),
            go.Scatter(
                x=[x for x, _, _ in told], y=[y for _, y, _ in told], text=[words for _, _, words in told],
                mode="text", textposition="middle right", hoverinfo="skip", showlegend=False,
            ),
            _marked(people, "people at work", *_DOING["work"], size=11),
            self._elsewhere(who, {row.person for row in at_work}),
        ]  # fmt: skip

    def _bundles(self, counts: list[tuple[str, float]], down: float) -> tuple[list[Mark], list[Mark]]:
        named = [(name, f"{label(name)}: {counted(count, 'bundle')}") for name, count in counts
                 for _ in range(int(count))]  # fmt: skip
        return self._row_of(named, down)

    def _row_of(self, named: list[tuple[str, str]], down: float) -> tuple[list[Mark], list[Mark]]:
        """Marks side by side at their places, and behind them how many more there are than have room."""
        marks, more = [], []
        for name in dict.fromkeys(place for place, _ in named):
            told = [words for place, words in named if place == name]
            most = max(2, min(MARKS, int(self._width[name] * MARKS * 1.2)))
            apart = min(0.04, (self._width[name] - 3 * _INSIDE) / (most + 1.5))
            first, y = self._left[name] + 2 * _INSIDE, self._top[name] - down
            marks += [(round(first + i * apart, 4), y, words) for i, words in enumerate(told[:most])]
            if len(told) > most:
                more.append((round(first + (most - 0.4) * apart, 4), y, f"+{len(told) - most}"))
        return marks, more

    def _count(self, row: Any) -> str:
        if self._kinds[row.place] == "printer":
            return f"{row.in_work:.0f} printing"
        if self._width[row.place] > _NARROW:
            return f"{row.waiting:.0f} waiting, {row.in_work:.0f} at work"
        return f"{row.waiting:.0f} + {row.in_work:.0f}"

    def _elsewhere(self, who: pd.DataFrame, at_work: set[str]) -> go.Scatter:
        """Who is at work at no place of the plan, by crew; everybody has a spot that stays the same all day."""
        x, y, symbols, colours, told = [], [], [], [], []
        for i, crew in enumerate(self.crews):
            mine = list(rows_of(who[who["crew"] == crew]))
            for j, row in enumerate(mine):
                if row.person in at_work:
                    continue
                symbol, colour = _DOING.get(row.doing, _DOING["work"])
                x.append(round(0.36 + j * min(0.05, 0.62 / max(1, len(mine))), 4))
                y.append(self._crew_y(i))
                symbols.append(symbol)
                colours.append(colour)
                told.append(f"{label(row.person)}: {_WORDS.get(row.doing, label(row.doing))}")
        return go.Scatter(
            x=_or_gap(x), y=_or_gap(y), mode="markers", name="people", customdata=told, showlegend=False,
            marker={"symbol": symbols, "color": colours, "size": 11, "line": {"width": 2, "color": colours}},
            hovertemplate="%{customdata}<extra></extra>",
        )  # fmt: skip

    def _crew_y(self, i: int) -> float:
        return -self.stages - 0.2 - _CREW * i


def _marked(marks: list[Mark], name: str, symbol: str, colour: str, size: int = 9) -> go.Scatter:
    x, y, told = ([mark[i] for mark in marks] for i in range(3))
    return go.Scatter(
        x=_or_gap(x), y=_or_gap(y), mode="markers", name=name, customdata=told, showlegend=False,
        hovertemplate="%{customdata}<extra></extra>",
        marker={"symbol": symbol, "color": colour, "size": size, "line": {"width": 2, "color": colour}},
    )  # fmt: skip


def _or_gap(values: list[Any]) -> list[Any]:
    """Values of a trace; one gap where there are none, else the library leaves the trace out."""
    return [*values] or [None]


def _legend(people: bool) -> list[go.Scatter]:
    """Traces without points that say what the marks mean, whatever the first moment shows."""
    marks = [("bundle waiting", "square-open", VERMILION), ("bundle worked at", "square", BLUE)]
    if people:
        marks += [(f"person: {words}", *_DOING[doing]) for doing, words in _WORDS.items()]
    return [
        go.Scatter(
            x=[None], y=[None], mode="markers", name=name, hoverinfo="skip",
            marker={"symbol": symbol, "color": colour, "size": 10, "line": {"width": 2, "color": colour}},
        )
        for name, symbol, colour in marks
    ]  # fmt: skip


def _only_changing(traces: list[go.Scatter]) -> list[dict[str, Any]]:
    """What differs from moment to moment, so that a day stays small."""
    kept = ("x", "y", "text", "customdata", "type")
    frames = []
    for trace in traces:
        plain = trace.to_plotly_json()
        small = {key: plain[key] for key in kept if key in plain}
        if isinstance(plain.get("marker", {}).get("symbol"), list):
            small["marker"] = plain["marker"]
        frames.append(small)
    return frames
