"""One day hour by hour: bars where they belong on the clock, few enough to draw."""

from __future__ import annotations

import datetime

import pandas as pd
import pytest

from shopsim.pictures import gantt as module
from shopsim.pictures.gantt import gantt, gantt_in_words
from shopsim.pictures.style import BLUE, GREEN

MONDAY = datetime.date(2026, 1, 5)
TUESDAY = 1440.0
TABLE = pd.DataFrame(
    [
        ("printer", "p1", "roll_change", TUESDAY + 420, TUESDAY + 440, None),
        ("printer", "p1", "printing", TUESDAY + 440, TUESDAY + 500, 7),
        ("printer", "p2", "off", TUESDAY, TUESDAY + 1440, None),
        ("person", "Sewer", "sew", TUESDAY + 420, TUESDAY + 480, 7),
    ],
    columns=["kind", "row", "state", "start_min", "end_min", "order"],
)


def test_bars_stand_at_their_minutes() -> None:
    figure = gantt(TABLE, "printer", MONDAY)
    bars = figure.data[0]
    assert list(bars.base) == ["2026-01-06T07:00:00", "2026-01-06T07:20:00"]
    assert list(bars.x) == [20 * 60_000, 60 * 60_000]
    assert list(bars.marker.color) == [GREEN, BLUE]
    assert bars.customdata[1] == "p1<br>printing, order 7<br>07:20 to 08:20, 60 minutes"
    assert [trace.name for trace in figure.data[1:]] == ["printing", "set-up"]
    assert figure.layout.title.text == "Printers on Tue 06 Jan 2026, hour by hour"
    assert (
        gantt_in_words(TABLE, "printer", MONDAY)
        == "Tue 06 Jan 2026. P1, 07:00 to 08:20: printing 1.0 h and set-up 0.3 h."
    )


def test_pictures_of_one_day_share_their_clock() -> None:
    six_to_ten = (TUESDAY + 360, TUESDAY + 600)
    for kind in ("printer", "person"):
        axis = gantt(TABLE, kind, MONDAY, six_to_ten).layout.xaxis
        assert list(axis.range) == ["2026-01-06T06:00:00", "2026-01-06T10:00:00"]


def test_buttons_zoom_into_four_hours() -> None:
    buttons = gantt(TABLE, "printer", MONDAY).layout.updatemenus[0].buttons
    assert [button.label for button in buttons] == ["all", "04–08", "08–12"]
    assert buttons[0].args[0]["xaxis.range"] == ["2026-01-06T07:00:00", "2026-01-06T08:20:00"]
    assert buttons[2].args[0]["xaxis.range"] == ["2026-01-06T08:00:00", "2026-01-06T12:00:00"]


def test_the_shortest_of_too_many_bars_are_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_BARS", 1)
    figure = gantt(TABLE, "printer", MONDAY)
    assert list(figure.data[0].x) == [60 * 60_000]
    assert figure.layout.xaxis.title.text == "The 1 shortest bars are left out: show fewer hours."


def test_midnight_is_the_end_of_its_day() -> None:
    table = TABLE.assign(end_min=TUESDAY + 1440.0)
    assert gantt_in_words(table, "person", MONDAY) == "Tue 06 Jan 2026. Sewer, 07:00 to 24:00: at work 17.0 h."
