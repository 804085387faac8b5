"""Pictures of `match`: marks, bands and words say what the tables hold."""

from __future__ import annotations

import pandas as pd

from shopsim.pictures.match_tables import figure_table, lead_table, week_tables
from shopsim.pictures.matching import (
    figures_matched,
    figures_matched_in_words,
    lead_times_matched,
    lead_times_matched_in_words,
    weeks_matched,
    weeks_matched_in_words,
)

BAND = {"mean": [1.0, 3.0, 6.0], "low": [0.5, 2.5, 5.0], "high": [1.5, 3.5, 7.0], "happened": [1.2, 3.9, 7.5]}
ANSWER = {
    "figures": {
        "on_time_share": {
            "about": "orders on time", "unit": "1", "outcome": "differs", "tolerance": 0.05,
            "difference": {"mean": -0.11, "low": -0.16, "high": -0.06},
        },
        "orders_in_shop": {
            "about": "orders in the shop", "unit": "orders", "outcome": "cannot tell", "tolerance": 2.0,
            "difference": {"mean": 1.0, "low": -4.0, "high": 6.0},
        },
    },
    "shapes": {
        "lead_time_days": {"about": "the whole curve of lead times", "unit": "days", "at": [0.1, 0.5, 0.9], **BAND},
        "orders_out_by_week": {"about": "orders out week by week", "unit": "orders", "at": [1, 2, 3], **BAND},
    },
}  # fmt: skip


def test_lead_times_lie_on_the_line_where_they_agree() -> None:
    table = lead_table(ANSWER)
    figure = lead_times_matched(table)
    band, line, marks = figure.data
    assert list(line.x) == list(line.y) == [1.0, 3.0, 6.0]
    assert list(marks.y) == [1.2, 3.9, 7.5]
    assert list(band.y) == [1.5, 3.5, 7.0, 5.0, 2.5, 0.5]
    assert lead_times_matched_in_words(table) == (
        "Half of the orders were out within 3.9 days, in the runs 3.0; nine in ten were out within 7.5 days, "
        "in the runs "
        "6.0. 2 of 3 points lie outside 19 of 20 runs."
    )


def test_weeks_outside_the_band_are_named() -> None:
    ((name, unit, table),) = week_tables(ANSWER)
    assert [trace.name for trace in weeks_matched(table, name, unit).data] == [
        "19 of 20 runs",
        "runs, mean",
        "what happened",
    ]
    assert weeks_matched_in_words(table, name, unit) == (
        "Orders out week by week: 4.20 orders on average, in the runs 3.33; 2 weeks of 3 outside 19 of 20 runs: 2, 3."
    )


def test_differences_are_drawn_in_units_of_luck() -> None:
    table = figure_table(ANSWER)
    figure = figures_matched(table)
    marks = {trace.name: trace for trace in figure.data if trace.mode == "markers"}
    # 11 points off where luck allows 5; 1 order where it allows 5.
    assert list(marks["differs"].x) == [-0.11 / 0.05]
    assert [round(x, 6) for x in marks["cannot tell"].x] == [0.2]
    assert {trace.marker.symbol for trace in marks.values()} == {"x", "circle-open"}
    assert figures_matched_in_words(table) == (
        "orders on time −11 (−16 to −6) points, differs; orders in the shop +1 (−4 to +6) orders, cannot tell."
    )


def test_nothing_to_compare_is_said() -> None:
    empty = pd.DataFrame(columns=["figure", "outcome", "unit", "mean", "low", "high", "tolerance"])
    assert figures_matched_in_words(empty) == "Nothing to show: no figure could be compared."
    assert lead_times_matched_in_words(lead_table({"shapes": {}})) == "Nothing to show: no order was sent out."


def test_pictures_of_nothing_say_why() -> None:
    weeks = pd.DataFrame(columns=["week", "happened", "mean", "low", "high"])
    figures = pd.DataFrame(columns=["figure", "outcome", "unit", "mean", "low", "high", "tolerance"])
    none = "Nothing to show: no figure could be compared."
    assert weeks_matched_in_words(weeks, "orders out", "orders") == none
    for figure, why in (
        (weeks_matched(weeks, "orders out", "orders"), none),
        (figures_matched(figures), none),
        (lead_times_matched(lead_table({"shapes": {}})), "Nothing to show: no order was sent out."),
    ):
        assert (len(figure.data), figure.layout.annotations[0].text) == (0, why)
