"""Numbers beside points cover no other point, on a phone and on a wide page."""

from __future__ import annotations

import itertools

import pandas as pd
import plotly.graph_objects as go
import pytest

from shopsim.pictures.cost_and_dates import crew_frontier, shift_patterns
from shopsim.pictures.number_spots import WIDTHS_PX, Point, boxes_of, number_box, number_spots, shared_px2

# Crews of a real answer, whose names once stood on their neighbours.
CREWS = pd.DataFrame({
    "crew": [f"sewers: {count}" for count in range(1, 6)], "pay_per_week": [12_089, 13_146, 14_040, 15_109, 15_991],
    "on_time": [0.54, 0.84, 0.94, 0.93, 0.96], "low": [0.51, 0.78, 0.90, 0.87, 0.92],
    "high": [0.57, 0.90, 0.98, 0.99, 0.99], "meets": ["no", "no", "no", "no", "yes"],
})  # fmt: skip
PATTERNS = pd.DataFrame({
    "pattern": ["as it stands", "early and late", "four tens"], "cost_per_week": [13_000, 13_100, 13_150],
    "cost_low": [12_800, 12_950, 13_000], "cost_high": [13_200, 13_250, 13_300], "on_time": [0.93, 0.94, 0.92],
    "low": [0.90, 0.91, 0.88], "high": [0.96, 0.97, 0.96], "rules_broken": [0, 1, 0], "guidance": [0, 0, 1],
})  # fmt: skip
PLOT_PX = 300


def points_of(table: pd.DataFrame, cost: str, figure: go.Figure) -> list[Point]:
    (left, right), (foot, top) = figure.layout.xaxis.range, figure.layout.yaxis.range

    def x(value: float) -> float:
        return (value - left) / (right - left)

    def y(value: float) -> float:
        return (value * 100 - foot) / (top - foot)

    return [
        Point(x(row[cost]), y(row["on_time"]), x(row.get("cost_low", row[cost])), x(row.get("cost_high", row[cost])),
              y(row["low"]), y(row["high"]))
        for _, row in table.iterrows()
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("table", "cost", "figure"),
    [
        (CREWS, "pay_per_week", crew_frontier(CREWS, 0.95, "CU")),
        (PATTERNS, "cost_per_week", shift_patterns(PATTERNS, 0.95, "CU")),
    ],
    ids=["crews", "patterns"],
)
@pytest.mark.parametrize("width", [*WIDTHS_PX, 320, 560])
def test_no_number_covers_another_point(table: pd.DataFrame, cost: str, figure: go.Figure, width: int) -> None:
    points = points_of(table, cost, figure)
    notes = figure.layout.annotations
    assert [note.text for note in notes] == [f"<b>{number + 1}</b>" for number in range(len(table))]
    numbers = [number_box(point, (note.ax, note.ay), width, PLOT_PX) for point, note in zip(points, notes, strict=True)]
    for number, box in enumerate(numbers):
        for other, point in enumerate(points):
            covered = max(shared_px2(box, each) for each in boxes_of(point, width, PLOT_PX))
            assert covered == 0, (number + 1, other + 1)
        assert shared_px2(box, (0, 0, width, PLOT_PX)) == pytest.approx(18 * 16)
    for one, other in itertools.combinations(numbers, 2):
        assert shared_px2(one, other) == 0


def test_a_number_stands_near_its_point_where_there_is_room() -> None:
    alone = Point(0.5, 0.5, 0.5, 0.5, 0.5, 0.5)
    assert number_spots([alone], PLOT_PX) == [(16.1, -16.1)]
    # In the upper right corner the room is to the left and below.
    corner = Point(1.0, 1.0, 1.0, 1.0, 1.0, 1.0)
    assert number_spots([corner], PLOT_PX) == [(-16.1, 16.1)]


def test_the_key_names_the_numbers_and_the_marks() -> None:
    names = [trace.name for trace in crew_frontier(CREWS, 0.95, "CU").data]
    assert names == ["no crew beats these", "meets the target", "misses the target", "target 95 %",
                     *(f"{count}. sewers: {count}" for count in range(1, 6))]  # fmt: skip
    one_group = PATTERNS.assign(rules_broken=0, guidance=0)
    assert [trace.name for trace in shift_patterns(one_group, 0.95, "CU").data] == [
        "keeps rest times", "target 95 %", "1. as it stands", "2. early and late", "3. four tens"
    ]  # fmt: skip
