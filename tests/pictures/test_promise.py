"""Pictures of promises: a request's chance by day, and the dates of open orders."""

from __future__ import annotations

import pandas as pd

from shopsim.pictures import answer_tables
from shopsim.pictures.promise import (
    MOST_ROWS,
    chance_by_day,
    chance_by_day_in_words,
    date_ranges,
    date_ranges_in_words,
)

CHANCES = pd.DataFrame(
    [("as asked", "2026-09-24", 0.4), ("as asked", "2026-09-25", 0.83), ("rush <b>", "2026-09-24", 0.9)],
    columns=["way", "date", "chance"],
)
RANGES = pd.DataFrame(
    [("A", "2026-09-24", "2026-09-23", "2026-09-24", "2026-09-25", 0.7), ("B", "2026-09-22", "", "", "", 0.0)],
    columns=["order", "due", "at_50", "at_80", "at_95", "chance"],
)


def test_the_chance_by_day_of_each_way() -> None:
    figure = chance_by_day(CHANCES, 0.8)
    assert [(list(trace.x), list(trace.y)) for trace in figure.data] == [
        (["2026-09-24", "2026-09-25"], [40.0, 83.0]),
        (["2026-09-24"], [90.0]),
    ]
    assert figure.data[1].name == "rush &lt;b&gt;"
    assert figure.layout.annotations[0].text == "wanted: 80 %"
    assert chance_by_day_in_words(CHANCES, 0.8) == (
        "First day by which the chance is 80 % or more: as asked: 2026-09-25 and rush <b>: 2026-09-24."
    )
    assert "no request was asked for" in chance_by_day_in_words(CHANCES.head(0), 0.8)
    assert chance_by_day(CHANCES.head(0), 0.8).layout.annotations[0].text.startswith("Nothing to show")


def test_the_dates_of_open_orders() -> None:
    figure = date_ranges(RANGES)
    by_name = {trace.name: (list(trace.x), list(trace.y)) for trace in figure.data}
    assert by_name == {
        "50 to 95 %": (["2026-09-23", "2026-09-25"], [0, 0]),
        "50 %": (["2026-09-23"], [0]),
        "80 %": (["2026-09-24"], [0]),
        "due": (["2026-09-24", "2026-09-22"], [0, 1]),
    }
    assert date_ranges_in_words(RANGES) == (
        "2 open orders; least likely to keep their dates: B (due 2026-09-22, 0 %, 80 % by no day seen) and A (due "
        "2026-09-24, 70 %, 80 % by 2026-09-24)."
    )
    many = pd.concat([RANGES] * 40, ignore_index=True)
    assert f"80 open orders, {MOST_ROWS} of them shown" in date_ranges_in_words(many)
    assert "no order is open" in date_ranges_in_words(RANGES.head(0))


def test_tables_from_the_answer() -> None:
    day = {"date": "2026-09-24", "low": None, "high": None}
    order = {"order": "A", "due": "2026-09-23", "chance": {"mean": 0.5}, "leaves": {"50": day, "80": day, "95": {
        "date": None, "low": None, "high": None}}}  # fmt: skip
    answer = {"orders": [order], "request": {"ways": [{"name": "as asked", "by_day": [{"date": "x", "chance": 0.1}]}]}}
    assert answer_tables.chance_table(answer).to_numpy().tolist() == [["as asked", "x", 0.1]]
    assert answer_tables.range_table(answer).to_numpy().tolist() == [
        ["A", "2026-09-23", "2026-09-24", "2026-09-24", "", 0.5]
    ]
    assert len(answer_tables.chance_table({"request": None})) == 0


def test_no_open_order_is_said() -> None:
    figure = date_ranges(RANGES.head(0))
    assert (len(figure.data), figure.layout.annotations[0].text) == (0, date_ranges_in_words(RANGES.head(0)))
    assert figure.layout.annotations[0].text.startswith("Nothing to show")
