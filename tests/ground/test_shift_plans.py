"""Weekly plans laid out: nights, rotations, closed days, the edges of the horizon, plans that cannot be."""

import math

import pytest

from shopsim.calendars import Calendar
from shopsim.shift_plans import ShiftSpan, build_calendar

WEEK = 10080
SUNDAY_NIGHT = ShiftSpan(6, 1320, 1800, ((1560, 1590),))


def test_a_sunday_night_runs_into_the_next_week() -> None:
    # 22:00 Sunday is minute 9960; break 02:00-02:30 on Monday; over at 06:00, 360 minutes into the week.
    calendar = build_calendar([[SUNDAY_NIGHT]], WEEK)
    assert calendar.intervals() == [(0, 120), (150, 360), (9960, 10200), (10230, 10440)]
    assert calendar.shift_numbers == [0, 0, 1, 1]
    assert calendar.start_days == [-1, -1, 6, 6]
    assert calendar.total(WEEK) == 120 + 210 + 120
    assert calendar.shift_start(130) == 0
    assert calendar.shift_end(10210) == 10440


def test_a_closed_monday_does_not_cut_the_night_before() -> None:
    calendar = build_calendar([[SUNDAY_NIGHT, ShiftSpan(0, 480, 960)]], 2 * WEEK, closed_days={7})
    assert (9960, 10200) in calendar.intervals()
    assert (10230, 10440) in calendar.intervals()
    assert [day for day in calendar.start_days if day in (0, 7)] == [0]


def test_a_closed_sunday_takes_its_night_along() -> None:
    assert build_calendar([[SUNDAY_NIGHT]], WEEK, closed_days=[-1]).start_days == [6, 6]
    assert build_calendar([[SUNDAY_NIGHT]], WEEK, closed_days=[6]).start_days == [-1, -1]
    later = build_calendar([[SUNDAY_NIGHT]], WEEK).without_days({-1})
    assert later.intervals() == [(9960, 10200), (10230, 10440)]


def test_a_rotation_goes_round() -> None:
    weeks = [[ShiftSpan(0, 360, 840)], [ShiftSpan(0, 840, 1320)], []]
    calendar = build_calendar(weeks, 5 * WEEK, first_week=2)
    assert calendar.intervals() == [
        (WEEK + 360, WEEK + 840),
        (2 * WEEK + 840, 2 * WEEK + 1320),
        (4 * WEEK + 360, 4 * WEEK + 840),
    ]


def test_the_week_before_the_start_belongs_to_the_rotation_too() -> None:
    weeks = [[ShiftSpan(6, 1320, 1800)], []]
    assert build_calendar(weeks, WEEK, first_week=0).intervals() == [(9960, 10440)]
    assert build_calendar(weeks, WEEK, first_week=1).intervals() == [(0, 360)]


def test_the_horizon_drops_what_starts_at_or_after_it() -> None:
    week = [ShiftSpan(0, 360, 840, ((600, 630),)), ShiftSpan(1, 360, 840)]
    assert build_calendar([week], 1800).intervals() == [(360, 600), (630, 840)]
    assert build_calendar([week], 1801).intervals() == [(360, 600), (630, 840), (1800, 2280)]
    assert build_calendar([week], 361).intervals() == [(360, 600), (630, 840)]


def test_shifts_that_meet_do_not_overlap() -> None:
    calendar = build_calendar([[ShiftSpan(day, 0, 1440) for day in range(7)]], WEEK)
    assert calendar.total(WEEK) == WEEK
    assert calendar.shift_numbers == list(range(7))


def test_a_week_off_is_a_plan() -> None:
    calendar = build_calendar([[]], WEEK)
    assert isinstance(calendar, Calendar)
    assert calendar.next_open(0) == math.inf


def test_ten_years() -> None:
    calendar = build_calendar([[ShiftSpan(day, 360, 840, ((600, 630),)) for day in range(5)]], 522 * WEEK)
    assert calendar.total(522 * WEEK) == 522 * 2250
    assert calendar.intervals()[-1] == (521 * WEEK + 4 * 1440 + 630, 521 * WEEK + 4 * 1440 + 840)


@pytest.mark.parametrize(
    ("weeks", "text"),
    [
        (
            [[ShiftSpan(0, 360, 840), ShiftSpan(0, 780, 1260)]],
            "shifts overlap: week 1 Mon 06:00–14:00 and week 1 Mon 13:00–21:00",
        ),
        (
            [[ShiftSpan(0, 240, 720)], [SUNDAY_NIGHT]],
            "shifts overlap: week 2 Sun 22:00–06:00 next day and week 1 Mon 04:00–12:00",
        ),
        (
            [[ShiftSpan(0, 240, 720), SUNDAY_NIGHT]],
            "shifts overlap: week 1 Sun 22:00–06:00 next day and week 1 Mon 04:00–12:00",
        ),
        ([], "a plan needs at least one week, got none"),
    ],
)
def test_plans_that_cannot_be(weeks: list[list[ShiftSpan]], text: str) -> None:
    with pytest.raises(ValueError) as caught:
        build_calendar(weeks, WEEK)
    assert str(caught.value) == text


@pytest.mark.parametrize("horizon_min", [0, -5, math.inf, math.nan])
def test_horizons_that_cannot_be(horizon_min: float) -> None:
    with pytest.raises(ValueError) as caught:
        build_calendar([[SUNDAY_NIGHT]], horizon_min)
    assert str(caught.value) == f"horizon_min must be positive and finite, got {horizon_min!r}"


def test_an_overlap_hidden_by_a_closed_day_is_still_one() -> None:
    with pytest.raises(ValueError, match=r"^shifts overlap: week 1 Mon 06:00–14:00"):
        build_calendar([[ShiftSpan(0, 360, 840), ShiftSpan(0, 780, 1260)]], 1440, closed_days=[0])


@pytest.mark.parametrize(
    ("arguments", "text"),
    [
        ((7, 0, 60), "weekday must be from 0 (Monday) to 6 (Sunday), got 7"),
        ((0, 1440, 1500), "start_min must be from 0 to below 1440, got 1440"),
        ((0, -1, 60), "start_min must be from 0 to below 1440, got -1"),
        ((0, 360, 360), "end_min must be after start_min 360 and at most 24 h later, got 360"),
        ((0, 360, 1801), "end_min must be after start_min 360 and at most 24 h later, got 1801"),
        ((0, 360, 840, ((350, 370),)), "breaks must lie in order inside 360 to 840, got ((350, 370),)"),
        ((0, 360, 840, ((800, 850),)), "breaks must lie in order inside 360 to 840, got ((800, 850),)"),
        ((0, 360, 840, ((600, 600),)), "breaks must lie in order inside 360 to 840, got ((600, 600),)"),
        (
            (0, 360, 840, ((600, 630), (620, 640))),
            "breaks must lie in order inside 360 to 840, got ((600, 630), (620, 640))",
        ),
        (
            (0, 360, 840, ((700, 710), (600, 630))),
            "breaks must lie in order inside 360 to 840, got ((700, 710), (600, 630))",
        ),
        ((0, 360, 840, ((360, 840),)), "breaks leave no time to work, got ((360, 840),)"),
    ],
)
def test_shifts_that_cannot_be(arguments: tuple[object, ...], text: str) -> None:
    with pytest.raises(ValueError) as caught:
        ShiftSpan(*arguments)
    assert str(caught.value) == text


def test_pieces_and_text() -> None:
    span = ShiftSpan(4, 360, 840, ((360, 370), (600, 630), (830, 840)))
    assert span.pieces() == [(370, 600), (630, 830)]
    assert str(span) == "Fri 06:00–14:00"
    assert str(ShiftSpan(4, 0, 1440)) == "Fri 00:00–24:00"
    assert str(SUNDAY_NIGHT) == "Sun 22:00–06:00 next day"
