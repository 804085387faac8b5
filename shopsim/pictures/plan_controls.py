"""How the plan view's clock is told and moved: buttons to play and to pause, a slider that says the time."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any, NamedTuple

from shopsim.clock import MINUTES_PER_DAY, clock_text
from shopsim.pictures.style import TITLE_PX

_SPEEDS = (("slow", 600), ("play", 200), ("fast", 60))
# What the library takes for "stop where you are".
_STOP: list[Any] = [None]


class Clock(NamedTuple):
    """Tells minutes since a Monday as day and hour."""

    starts: date

    def told(self, at: float) -> str:
        """`Mon 05 Jan 2026, 07:00`."""
        return f"{self.day(at)}, {clock_text(at % MINUTES_PER_DAY)}"

    def day(self, at: float) -> str:
        """`Mon 05 Jan 2026`."""
        return f"{self.starts + timedelta(days=at // MINUTES_PER_DAY):%a %d %b %Y}"

    def short(self, at: float, times: Sequence[float]) -> str:
        """The hour alone where all times are of one day."""
        return clock_text(at % MINUTES_PER_DAY) if _one_day(times) else self.told(at)

    def span(self, times: Sequence[float]) -> str:
        """`Mon 05 Jan 2026, 07:00 to 14:50`."""
        return f"{self.told(times[0])} to {self.short(times[-1], times)}"


def controls(times: Sequence[float], clock: Clock) -> dict[str, Any]:
    """Buttons at three speeds and to pause, and a slider, for frames named by `Clock.told`: parts of a layout.

    The library rejects a promise when something else is asked for while it plays; a page that minds has to say that
    this is no fault (`app/static/interrupted.html`).
    """

    def moving(ms: int) -> dict[str, Any]:
        return {"frame": {"duration": ms, "redraw": False}, "transition": {"duration": 0}, "fromcurrent": True,
                "mode": "immediate"}  # fmt: skip

    buttons: list[dict[str, Any]] = [
        {"label": words, "method": "animate", "args": [None, moving(ms)]} for words, ms in _SPEEDS
    ]
    buttons.append({"label": "pause", "method": "animate", "args": [_STOP, moving(0)]})
    steps = [
        {"label": clock.short(at, times), "method": "animate",
         "args": [[clock.told(at)], {**moving(0), "fromcurrent": False}]}
        for at in times
    ]  # fmt: skip
    return {
        "updatemenus": [{"type": "buttons", "direction": "right", "buttons": buttons, "x": 0, "xanchor": "left", "y": 1,
                         "yanchor": "bottom", "showactive": False, "pad": {"b": 4}}],
        "sliders": [{"steps": steps, "active": 0, "x": 0, "len": 1, "y": 0, "yanchor": "top", "pad": {"t": 6, "b": 70},
                     "currentvalue": {"prefix": f"{clock.day(times[0])}, " if _one_day(times) else "",
                                      "xanchor": "left", "font": {"size": TITLE_PX}},
                     "ticklen": 3, "minorticklen": 0}],
    }  # fmt: skip


def _one_day(times: Sequence[float]) -> bool:
    return times[0] // MINUTES_PER_DAY == times[-1] // MINUTES_PER_DAY
