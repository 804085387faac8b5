"""The floor from above, replaying a day: where the work is, and who is busy."""

from __future__ import annotations

from typing import Any

import pandas as pd
import plotly.graph_objects as go

from shopsim.clock import MINUTES_PER_DAY, WEEKDAYS, clock_text, weekday_of
from shopsim.pictures.columns import checked, greatest, rows_of
from shopsim.pictures.style import BLUE, GREY, TITLE_PX, VERMILION, nothing, picture
from shopsim.pictures.text import counted, label, spoken_id

_TITLE = "The floor, moment by moment"
_NONE = "Nothing to show: no moment was asked for."
MARKS = 12
"""So many bundles are shown as marks at one place; the count beside them tells the rest."""
_STAGE_PX, _CREW = 84, 0.36
"""Height of a stage, and that of a crew's line as a part of it."""
_ABOVE_PX, _BELOW_PX = 92, 150
_SPEEDS = (("slow", 600), ("play", 200), ("fast", 60))
_DOING = {
    "work": ("circle", BLUE), "idle": ("circle-open", GREY), "break": ("line-ew-open", GREY),
    "absent": ("x-thin-open", GREY), "off": ("circle-open-dot", "rgba(0,0,0,0)"),
}  # fmt: skip
_WORDS = {"work": "at work", "idle": "no work", "break": "break", "absent": "absent"}
# A box narrower than this part of the floor has no room for words beside its counts.
_NARROW = 0.3
# What the library takes for "stop where you are".
_STOP: list[Any] = [None]


def plan_view(places: pd.DataFrame, moments: pd.DataFrame, people: pd.DataFrame) -> go.Figure:
    """Places from the first stage of the routes at the top to the last, with a mark a bundle: hollow squares wait, full
    squares are worked at. Below, a mark a person by crew: full at work, hollow without work, a dash at a break, a cross
    absent. Play, pause, speed and a slider move the clock.

    Columns as in `measures.plan_view.PlanView`: places (place, kind, stage, seats); moments (time_min, place, waiting,
    in_work); people (time_min, crew, person, doing), which may be empty.
    """
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
        go.Frame(data=_only_changing(floor.traces(at)), name=_name(at), traces=list(range(len(_TRACES))))
        for at in floor.times
    ]
    figure.update_xaxes(visible=False, range=[-0.02, 1.02], fixedrange=True)
    figure.update_yaxes(visible=False, range=[0.05 - units, 0.05], fixedrange=True)
    # Fixed margins: a plan drawn before the slider has pushed its margin would stay where it was.
    margin = {"l": 8, "r": 8, "t": _ABOVE_PX, "b": _BELOW_PX, "autoexpand": False}
    figure.update_layout(hovermode="closest", margin=margin, title_automargin=False, **_controls(floor.times))
    return figure


def plan_view_in_words(places: pd.DataFrame, moments: pd.DataFrame, people: pd.DataFrame) -> str:
    """The way through the shop, the fullest place and moment, and how many people are busy at the most."""
    floor = _Floor(places, moments, people)
    if not floor.times:
        return _NONE
    way = [
        " or ".join(spoken_id(name) for name in floor.places[floor.places["stage"] == stage]["place"])
        for stage in sorted(set(floor.places["stage"]))
    ]
    text = f"{_name(floor.times[0])} to {_name(floor.times[-1])}. The way through the shop: {', then '.join(way)}."
    top = greatest(floor.moments, "waiting")
    text += f" Most work waits at {spoken_id(top.place)} at {_name(top.time_min)}: {counted(top.waiting, 'bundle')}."
    if not floor.people.empty:
        busy = (floor.people["doing"] == "work").groupby(floor.people["time_min"]).sum()
        heads = floor.people["person"].nunique()
        text += f" At the busiest moment {busy.max()} of {heads} people are at work."
    return text


_TRACES = ("waiting", "in work", "counts", "people")


class _Floor:
    """Where everything stands: x from 0 to 1, a stage a unit of y downwards from 0, crews below."""

    def __init__(self, places: pd.DataFrame, moments: pd.DataFrame, people: pd.DataFrame) -> None:
        self.places = checked(places, "plan view, places", ["place", "kind"], ["stage", "seats"])
        self.moments = checked(moments, "plan view, moments", ["place"], ["time_min", "waiting", "in_work"])
        self.people = checked(people, "plan view, people", ["crew", "person", "doing"], ["time_min"])
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
            {**here, "x": left + 0.015, "y": self._top[name] - 0.04, "yanchor": "top",
             "text": label(name, letters[name])}
            for name, left in self._left.items()
        ]  # fmt: skip
        crews = [{**here, "x": 0, "y": self._crew_y(i), "text": label(name, 16)} for i, name in enumerate(self.crews)]
        return names + crews

    def traces(self, at: float) -> list[go.Scatter]:
        """Marks and counts of one moment, in the order of `_TRACES`."""
        rows = list(rows_of(self._at[at]))
        waiting = self._marks([(row.place, row.waiting) for row in rows], 0.4)
        in_work = self._marks([(row.place, row.in_work) for row in rows], 0.57)
        counts = [self._count(row) for row in rows]
        return [
            _squares(waiting, "waiting", "square-open", VERMILION),
            _squares(in_work, "being worked at", "square", BLUE),
            go.Scatter(
                x=[self._left[row.place] + 0.01 for row in rows], y=[self._top[row.place] - 0.77 for row in rows],
                mode="text", text=counts, textposition="middle right",
                hoverinfo="skip", showlegend=False,
            ),
            self._people(at),
        ]  # fmt: skip

    def _marks(self, counts: list[tuple[str, float]], down: float) -> tuple[list[float], list[float], list[str]]:
        x, y, told = [], [], []
        for name, count in counts:
            most = max(3, int(MARKS * min(1.0, self._width[name] * 2)))
            for i in range(min(int(count), most)):
                x.append(round(self._left[name] + 0.03 + i * min(0.04, (self._width[name] - 0.05) / most), 4))
                y.append(self._top[name] - down)
                told.append(f"{label(name)}: {count:.0f}")
        return x, y, told

    def _count(self, row: Any) -> str:
        if self._kinds[row.place] == "printer":
            return f"{row.in_work:.0f} printing"
        if self._width[row.place] > _NARROW:
            return f"{row.waiting:.0f} waiting, {row.in_work:.0f} at work"
        return f"{row.waiting:.0f} + {row.in_work:.0f}"

    def _people(self, at: float) -> go.Scatter:
        who = self._who.get(at, self.people.iloc[:0])
        x, y, symbols, colours, told = [], [], [], [], []
        for i, crew in enumerate(self.crews):
            mine = list(rows_of(who[who["crew"] == crew]))
            for j, row in enumerate(mine):
                symbol, colour = _DOING.get(row.doing, _DOING["work"])
                x.append(round(0.36 + j * min(0.05, 0.62 / max(1, len(mine))), 4))
                y.append(self._crew_y(i))
                symbols.append(symbol)
                colours.append(colour)
                told.append(f"{label(row.person)}: {label(row.doing)}")
        return go.Scatter(
            x=_marks(x), y=_marks(y), mode="markers", name="people", customdata=told, showlegend=False,
            marker={"symbol": symbols, "color": colours, "size": 11, "line": {"width": 2, "color": colours}},
            hovertemplate="%{customdata}<extra></extra>",
        )  # fmt: skip

    def _crew_y(self, i: int) -> float:
        return -self.stages - 0.2 - _CREW * i


def _squares(marks: tuple[list[float], list[float], list[str]], name: str, symbol: str, colour: str) -> go.Scatter:
    x, y, told = marks
    return go.Scatter(
        x=_marks(x), y=_marks(y), mode="markers", name=name, customdata=told, showlegend=False,
        hovertemplate="%{customdata}<extra></extra>",
        marker={"symbol": symbol, "color": colour, "size": 9, "line": {"width": 2, "color": colour}},
    )  # fmt: skip


def _marks(values: list[float]) -> list[float | None]:
    """Values of a trace; one gap where there are none, else the library leaves the trace out."""
    return [*values] or [None]


def _legend(people: bool) -> list[go.Scatter]:
    """Traces without points that say what the marks mean, whatever the first moment shows."""
    marks = [("bundle waiting", "square-open", VERMILION), ("bundle worked at", "square", BLUE)]
    if people:
        marks += [(f"person: {words}", *_DOING[doing]) for doing, words in _WORDS.items()]
    return [
        go.Scatter(
            x=_marks([]), y=_marks([]), mode="markers", name=name, hoverinfo="skip",
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


def _name(at: float) -> str:
    return f"{WEEKDAYS[weekday_of(at)]} {clock_text(at % MINUTES_PER_DAY)}"


def _controls(times: list[float]) -> dict[str, Any]:
    """Buttons to play at three speeds and to pause, and a slider that says the time."""

    def moving(ms: int) -> dict[str, Any]:
        return {"frame": {"duration": ms, "redraw": False}, "transition": {"duration": 0}, "fromcurrent": True,
                "mode": "immediate"}  # fmt: skip

    buttons: list[dict[str, Any]] = [
        {"label": words, "method": "animate", "args": [None, moving(ms)]} for words, ms in _SPEEDS
    ]
    buttons.append({"label": "pause", "method": "animate", "args": [_STOP, moving(0)]})
    one_day = times[0] // MINUTES_PER_DAY == times[-1] // MINUTES_PER_DAY
    steps = [
        {"label": _name(at)[4:] if one_day else _name(at), "method": "animate",
         "args": [[_name(at)], {**moving(0), "fromcurrent": False}]}
        for at in times
    ]  # fmt: skip
    return {
        "updatemenus": [{"type": "buttons", "direction": "right", "buttons": buttons, "x": 0, "xanchor": "left", "y": 1,
                         "yanchor": "bottom", "showactive": False, "pad": {"b": 4}}],
        "sliders": [{"steps": steps, "active": 0, "x": 0, "len": 1, "y": 0, "yanchor": "top", "pad": {"t": 6, "b": 70},
                     "currentvalue": {"prefix": f"{_name(times[0])[:4]}" if one_day else "", "xanchor": "left",
                                      "font": {"size": TITLE_PX}}, "ticklen": 3, "minorticklen": 0}],
    }  # fmt: skip
