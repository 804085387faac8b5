"""Shifts painted on a grid and back, without loss."""

from itertools import chain
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopsim.shift_plans import ShiftSpan
from shopsim.shop.changes import Change
from shopsim.shop.people import WEEKDAYS, Shift
from shopsim.shop.scenario_edit import edit_scenario
from shopsim.shop.scenario_file import parse_scenario
from shopsim.shop.shift_grid import (
    Grid,
    finer,
    grid_changes,
    grid_of,
    painted,
    spans_of,
    weeks_of,
    with_week,
    without_week,
)
from tests.properties.random_shops import PATTERNS

SMALL = (Path(__file__).parent / "small_shop.yaml").read_text(encoding="utf-8")


def shift(*weeks: Any) -> Shift:
    return Shift(id="s", weeks=list(weeks))


def worked(rotation: list[list[ShiftSpan]]) -> list[list[tuple[Any, ...]]]:
    """Shifts of each week as a person sees them: breaks that touch are one break."""
    return [sorted((s.weekday, s.start_min, s.end_min, tuple(s.pieces())) for s in week) for week in rotation]


@pytest.mark.parametrize("weeks", PATTERNS)
def test_known_patterns_come_back(weeks: list[Any]) -> None:
    made = shift(*weeks)
    again = shift(*weeks_of(grid_of(made)))
    assert worked(again.rotation()) == worked(made.rotation())


@st.composite
def patterns(draw: st.DrawFn) -> list[Any]:
    """Rotations of up to three weeks with shifts on a quarter of an hour, nights and breaks."""
    weeks = []
    for _ in range(draw(st.integers(1, 3))):
        blocks = []
        for day in draw(st.lists(st.sampled_from(WEEKDAYS), unique=True)):
            start = draw(st.integers(0, 95)) * 15
            length = draw(st.integers(2, 40)) * 15
            at = draw(st.integers(1, length // 15 - 1)) * 15
            pause = [f"{clock(start + at)}-{clock(start + at + 15)}"] if draw(st.booleans()) and length > 30 else []
            blocks.append({"days": [day], "hours": f"{clock(start)}-{clock(start + length)}", "breaks": pause})
        weeks.append({"blocks": blocks})
    return weeks


def clock(minute: int) -> str:
    return f"{minute % 1440 // 60:02d}:{minute % 60:02d}"


def is_sound(weeks: list[Any]) -> bool:
    try:
        shift(*weeks).calendar(10080 * (len(weeks) + 1))
    except ValueError:
        return False
    return True


@given(patterns().filter(is_sound))
@settings(max_examples=200, deadline=None)
def test_any_sound_rotation_comes_back(weeks: list[Any]) -> None:
    made = shift(*weeks)
    grid = grid_of(made)
    assert grid.cell_min in (15, 30)
    assert worked(spans_of(grid)) == worked(made.rotation())
    assert worked(shift(*weeks_of(grid)).rotation()) == worked(made.rotation())
    assert worked(spans_of(finer(grid, 5))) == worked(made.rotation())


def test_a_day_painted_by_hand() -> None:
    grid = painted(Grid(30, 1, "." * 336), 0, [0, 1], 7 * 60, 15 * 60 + 30, "work")
    grid = painted(grid, 0, [0, 1, 2], 12 * 60, 12 * 60 + 30, "break")
    assert grid.day(0, 0) == "." * 14 + "w" * 10 + "b" + "w" * 6 + "." * 17
    assert grid.day(0, 2) == "." * 48
    assert weeks_of(grid) == [{"blocks": [{"days": ["mon", "tue"], "hours": "07:00-15:30", "breaks": ["12:00-12:30"]}]}]
    shorter = painted(grid, 0, [1], 14 * 60, 16 * 60, "off")
    assert [block["hours"] for block in weeks_of(shorter)[0]["blocks"]] == ["07:00-15:30", "07:00-14:00"]


def test_nights_go_round_from_the_last_sunday() -> None:
    grid = painted(Grid(30, 2, "." * 672), 1, [6], 22 * 60, 6 * 60, "work")
    assert grid.day(0, 0) == "w" * 12 + "." * 36
    assert weeks_of(grid) == [{"blocks": []}, {"blocks": [{"days": ["sun"], "hours": "22:00-06:00"}]}]


def test_a_new_shift_right_behind_another() -> None:
    grid = painted(Grid(30, 1, "." * 336), 0, [0], 6 * 60, 22 * 60, "work")
    assert weeks_of(grid)[0]["blocks"] == [{"days": ["mon"], "hours": "06:00-22:00"}]
    parted = painted(grid, 0, [0], 14 * 60, 14 * 60, "new shift")
    assert [block["hours"] for block in weeks_of(parted)[0]["blocks"]] == ["06:00-14:00", "14:00-22:00"]
    # With nothing before it a seam says nothing.
    alone = painted(parted, 0, [0], 6 * 60, 14 * 60, "off")
    assert alone == painted(Grid(30, 1, "." * 336), 0, [0], 14 * 60, 22 * 60, "work")
    # Painted over, the seam is gone.
    joined = painted(parted, 0, [0], 12 * 60, 16 * 60, "work")
    assert joined == grid


@pytest.mark.parametrize(
    ("cells", "message"),
    [
        ("w" * 336, "work goes on without end; leave a gap, or say where a new shift begins"),
        ("." * 10 + "w" * 60 + "." * 266,
         "the shift from 05:00 on mon lasts 30 h, at most 24 h; leave a gap, or begin a new shift"),
        ("." * 50 + "b" + "." * 285, "the shift from 01:00 on tue is nothing but a break"),
    ],
)  # fmt: skip
def test_what_no_shift_can_be_is_told(cells: str, message: str) -> None:
    with pytest.raises(ValueError) as told:
        spans_of(Grid(30, 1, cells))
    assert str(told.value) == message


def test_times_between_cells_are_refused() -> None:
    with pytest.raises(ValueError) as told:
        painted(Grid(30, 1, "." * 336), 0, [0], 7 * 60 + 10, 9 * 60, "work")
    assert str(told.value) == "times must lie on full 30 minutes, found 07:10"
    assert painted(finer(Grid(30, 1, "." * 336), 5), 0, [0], 7 * 60 + 10, 9 * 60, "work").cells.count("w") == 22


def test_cells_are_as_long_as_the_times_allow() -> None:
    block = {"days": ["mon"], "hours": "07:00-15:30", "breaks": ["12:00-12:20"]}
    assert grid_of(shift({"blocks": [block]})).cell_min == 5
    assert grid_of(shift({"blocks": [block | {"breaks": ["12:00-12:15"]}]})).cell_min == 15
    assert grid_of(shift({"blocks": [block | {"breaks": []}]}), most_min=15).cell_min == 15


def test_only_weeks_that_differ_are_written() -> None:
    text = SMALL.replace('breaks: ["09:00-09:30"]}', 'breaks: ["09:00-09:30"]} # tea')
    made = parse_scenario(text, "small").shifts[0]
    grid = grid_of(made)
    assert grid_changes("shifts[0]", made, grid) == []
    changes = grid_changes("shifts[0]", made, painted(grid, 0, [5], 8 * 60, 12 * 60, "work"))
    assert [(each.action, each.path) for each in changes] == [("set", "shifts[0].weeks[0]")]
    after = parse_scenario(edit_scenario(text, changes), "small").shifts[0]
    spans = list(chain(*after.rotation()))
    assert [(span.weekday, span.start_min, span.end_min) for span in spans] == [
        *((day, 360.0, 870.0) for day in range(5)), (5, 480.0, 720.0),
    ]  # fmt: skip
    assert changes == [Change("set", "shifts[0].weeks[0]", weeks_of(grid_of(after))[0])]


def test_weeks_are_added_and_taken_out() -> None:
    made = shift(*PATTERNS[2])
    grid = grid_of(made)
    longer = with_week(grid, 0)
    assert weeks_of(longer) == [*weeks_of(grid), weeks_of(grid)[0]]
    assert without_week(longer, 2) == grid
    assert weeks_of(without_week(grid, 0)) == weeks_of(grid)[1:]
    assert grid_changes("shifts.s", made, longer) == [Change("set", "shifts.s.weeks", weeks_of(longer))]
    with pytest.raises(ValueError, match="a rotation has at least one week"):
        without_week(without_week(grid, 0), 0)


def test_round_the_clock_has_nothing_to_paint() -> None:
    with pytest.raises(ValueError, match="shift s is round the clock and has no weeks to paint"):
        grid_of(Shift(id="s", round_the_clock=True))
