"""Names in legends: as much of them as their entries have room for, and room for the lines they take."""

from __future__ import annotations

from collections.abc import Callable

import pandas as pd
import plotly.graph_objects as go
import pytest

from shopsim.pictures.constraint import constraint_by_weekday
from shopsim.pictures.growth import on_time_against_demand
from shopsim.pictures.style import TEXT_PX, height_px, picture
from tests.pictures.test_names_and_nothing import EVIL, NAMES, PICTURES

LONG = "the people of crew “Seamstresses of the big room, early and late in turn”"
# A letter of Liberation Sans or Arial takes half its height on average, in capitals and digits more.
LETTER_PX = 0.55 * (TEXT_PX - 2)


def entries(figure: go.Figure) -> list[str]:
    if figure.layout.showlegend is False:
        return []
    return [str(trace.name) for trace in figure.data if trace.showlegend is not False and trace.name]


def width_px(figure: go.Figure) -> float:
    return float(figure.layout.legend.entrywidth or figure.layout.template.layout.legend.entrywidth)


@pytest.mark.parametrize(("draw", "tables", "more"), [(draw, t, m) for draw, _, t, m, _ in PICTURES], ids=NAMES)
def test_long_names_fit_into_legends(draw: Callable[..., go.Figure], tables: list[pd.DataFrame], more: tuple) -> None:
    figure = draw(*(each.replace(EVIL, LONG) for each in tables), *(LONG if one == EVIL else one for one in more))
    too_long = {name: len(name) for name in entries(figure) if len(name) * LETTER_PX > width_px(figure)}
    assert too_long == {}


def test_each_name_has_a_line_of_its_own_on_a_phone() -> None:
    crews = [f"the people of crew “Sewing room {letter}”" for letter in "ABCD"]
    held = constraint_by_weekday(pd.DataFrame({"weekday": 0, "id": crews, "share": 0.2}))
    assert entries(held) == crews
    assert held.layout.height == height_px(260, 8) == 452
    curve = pd.DataFrame(
        {"option": ["as it stands", "One more sewer"], "demand": 1, "on_time": 0.9, "low": 0.8, "high": 1}
    )
    none = pd.DataFrame({"option": [], "mean": [], "low": [], "high": []})
    grown = on_time_against_demand(curve, none, 0.9)
    assert entries(grown) == [
        "as it stands, interval", "as it stands", "One more sewer, interval", "One more sewer"
    ]  # fmt: skip
    assert grown.layout.height == height_px(300, 8)


def test_two_short_words_share_a_line_on_a_phone() -> None:
    # The sign of an entry takes 40 px, less the indentation; a page leaves 358 px.
    legend = picture("Title").layout.template.layout.legend
    assert 2 * (legend.entrywidth + 40 + legend.indentation) <= 358
