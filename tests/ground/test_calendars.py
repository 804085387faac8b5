"""Working-time arithmetic on a shop that works Monday to Friday, 06:00 to 14:00 with half an hour's break at 10:00."""

import math
import pickle

import pytest

from shopsim.calendars import Calendar, always_open, union
from shopsim.shift_plans import ShiftSpan, build_calendar

WEEK = 10080


@pytest.fixture
def early() -> Calendar:
    # Monday is open 360-600 and 630-840, Tuesday 1440 later; 450 minutes a day. Two weeks.
    return build_calendar([[ShiftSpan(day, 360, 840, ((600, 630),)) for day in range(5)]], 2 * WEEK)


def test_the_lists(early: Calendar) -> None:
    assert early.intervals()[:4] == [(360, 600), (630, 840), (1800, 2040), (2070, 2280)]
    assert early.worked_before[:4] == [0, 240, 450, 690]
    assert early.shift_numbers[:4] == [0, 0, 1, 1]
    assert early.start_days[:4] == [0, 0, 1, 1]
    assert (len(early.starts), early.shift_numbers[-1], early.start_days[-1]) == (20, 9, 11)


def test_open_is_half_open(early: Calendar) -> None:
    times = [-5, 359.9, 360, 599.9, 600, 629.9, 630, 839.9, 840, 2 * WEEK]
    assert [early.is_open(t) for t in times] == [False, False, True, True, False, False, True, True, False, False]


def test_next_open(early: Calendar) -> None:
    times = [-5, 0, 400, 600, 840, 4 * 1440 + 840, WEEK + 4 * 1440 + 839, WEEK + 4 * 1440 + 840]
    assert [early.next_open(t) for t in times] == [
        360,
        360,
        400,
        630,
        1800,
        WEEK + 360,
        WEEK + 4 * 1440 + 839,
        math.inf,
    ]


def test_work_between(early: Calendar) -> None:
    spans = [(0, 1440), (500, 700), (610, 620), (400, 450), (600, 630), (-100, 361), (0, 10 * WEEK), (840, 840)]
    assert [early.work_between(a, b) for a, b in spans] == [450, 170, 0, 50, 0, 1, 4500, 0]
    assert early.total(WEEK) == 2250


def test_finish(early: Calendar) -> None:
    # From 500: 100 to the break, 210 to the shift's end, so 450 leave 140 for Tuesday from 1800.
    asked = [(0, 240), (0, 241), (500, 450), (500, 310), (600, 0), (400, 0), (0, 4500), (0, 4501), (2 * WEEK, 0)]
    expected = [600, 631, 1940, 840, 630, 400, WEEK + 4 * 1440 + 840, math.inf, math.inf]
    assert [early.finish(t, work) for t, work in asked] == expected


def test_run_in_shift(early: Calendar) -> None:
    asked = [(500, 50), (500, 100), (500, 150), (500, 310), (500, 400), (700, 0), (360, 1000)]
    expected = [(550, 0), (600, 0), (680, 0), (840, 0), (840, 90), (700, 0), (840, 550)]
    assert [early.run_in_shift(t, work) for t, work in asked] == expected
    assert early.run_in_shift(WEEK + 4 * 1440 + 800, 50) == (WEEK + 4 * 1440 + 840, 10)


def test_rounding_is_no_work(early: Calendar) -> None:
    assert early.run_in_shift(500, 310 + 1e-9) == (840, 0.0)
    assert early.run_in_shift(500, 100 + 1e-9) == (600, 0.0)
    assert early.finish(500, 310 + 1e-9) == 840
    assert early.finish(0, 4500 + 1e-9) == WEEK + 4 * 1440 + 840
    assert early.run_in_shift(500, 310 + 1e-3) == (840, pytest.approx(1e-3, rel=1e-6))


def test_ends_and_starts_of_the_shift_in_progress(early: Calendar) -> None:
    assert [early.stretch_end(t) for t in (360, 599, 630)] == [600, 600, 840]
    assert [early.shift_end(t) for t in (360, 600, 610, 630)] == [840] * 4
    assert [early.shift_start(t) for t in (360, 600, 610, 839)] == [360] * 4
    assert early.shift_start(1440 + 620) == 1800


@pytest.mark.parametrize("t", [0.0, 840.0, 1000.0, 2.0 * WEEK])
def test_no_shift_in_progress(early: Calendar, t: float) -> None:
    for ask in (early.shift_end, early.shift_start):
        with pytest.raises(ValueError) as caught:
            ask(t)
        assert str(caught.value) == f"no shift is in progress at minute {t!r}"


@pytest.mark.parametrize("t", [0.0, 600.0, 840.0])
def test_work_from_a_closed_time_is_refused(early: Calendar, t: float) -> None:
    for ask in (early.stretch_end, lambda t: early.run_in_shift(t, 5)):
        with pytest.raises(ValueError) as caught:
            ask(t)
        assert str(caught.value) == f"the calendar is closed at minute {t!r}"


def test_time_does_not_run_backwards(early: Calendar) -> None:
    with pytest.raises(ValueError) as caught:
        early.work_between(500, 400)
    assert str(caught.value) == "the end must not be before the start 500, got 400"


def test_envelope_fills_breaks_only(early: Calendar) -> None:
    filled = early.envelope()
    assert filled.intervals()[:2] == [(360, 840), (1800, 2280)]
    assert filled.shift_numbers == list(range(10))
    assert filled.start_days == [0, 1, 2, 3, 4, 7, 8, 9, 10, 11]


def test_days_off(early: Calendar) -> None:
    assert early.without_days({0, 3}).intervals()[:3] == [(1800, 2040), (2070, 2280), (3240, 3480)]
    assert early.without_days(set(range(12))).intervals() == []


def test_overtime_lengthens_the_shift_it_touches(early: Calendar) -> None:
    longer = early.with_intervals([(840, 960), (5 * 1440 + 480, 5 * 1440 + 720)])
    assert longer.intervals()[:3] == [(360, 600), (630, 960), (1800, 2040)]
    assert longer.shift_end(400) == 960
    assert longer.shift_end(5 * 1440 + 500) == 5 * 1440 + 720
    assert longer.total(WEEK) == 2250 + 120 + 240
    assert longer.start_days[10:12] == [5, 7]
    # The calendar itself stays as it was.
    assert early.shift_end(400) == 840


def test_union_of_early_and_late(early: Calendar) -> None:
    late = build_calendar([[ShiftSpan(day, 840, 1320, ((1080, 1110),)) for day in range(5)]], 2 * WEEK)
    both = union([late, early])
    assert both.intervals()[:4] == [(360, 600), (630, 1080), (1110, 1320), (1800, 2040)]
    assert both.shift_numbers[:4] == [0, 0, 0, 1]
    assert (both.shift_start(1200), both.shift_end(610)) == (360, 1320)
    assert not early.overlaps(late)
    assert early.overlaps(both)
    assert both.overlaps(late)


def test_a_break_that_somebody_else_covers_is_open(early: Calendar) -> None:
    cover = Calendar([590], [640], [0])
    assert union([early, cover]).intervals()[0] == (360, 840)


def test_a_shift_of_a_union_begins_with_the_earliest_of_its_parts() -> None:
    night = build_calendar([[ShiftSpan(0, 1320, 1800)]], WEEK)
    early = build_calendar([[ShiftSpan(1, 360, 840)]], WEEK)
    for both in (union([night, early]), union([early, night])):
        assert both.intervals() == [(1320, 1440 + 840)]
        assert both.start_days == [0]


def test_union_of_nothing_is_closed() -> None:
    nothing = union([])
    assert nothing.intervals() == []
    assert (nothing.is_open(5), nothing.next_open(5), nothing.finish(5, 1), nothing.total(WEEK)) == (
        False,
        math.inf,
        math.inf,
        0,
    )


def test_always_open() -> None:
    calendar = always_open(WEEK)
    assert calendar.intervals() == [(0, WEEK)]
    assert calendar.run_in_shift(WEEK - 5, 7) == (WEEK, 2)
    assert calendar.shift_end(0) == WEEK


def test_shifts_that_meet_stay_two(early: Calendar) -> None:
    two = Calendar([0, 480], [480, 960], [0, 1])
    assert two.run_in_shift(400, 100) == (480, 20)
    assert two.next_open(480) == 480
    assert (two.shift_start(480), two.shift_end(479)) == (480, 480)
    assert two.finish(400, 100) == 500


def test_calendars_travel_to_workers(early: Calendar) -> None:
    back = pickle.loads(pickle.dumps(early))
    assert (back.intervals(), back.shift_end(400)) == (early.intervals(), 840)


@pytest.mark.parametrize(
    ("starts", "ends", "numbers", "days", "text"),
    [
        ([0, 5], [5], [0, 0], None, "starts, ends and shift numbers differ in length: 2, 1, 2"),
        ([5], [5], [0], None, "an interval must end after its start 5.0, got 5.0"),
        ([0, 4], [5, 9], [0, 0], None, "an interval must not start before the last one ends at 5.0, got 4.0"),
        ([0, 5], [5, 9], [1, 0], None, "shift numbers must not fall along the calendar"),
        ([0, 5], [5, 9], [0, 1], [0], "2 intervals need as many start days, got 1"),
    ],
)
def test_unsound_lists_are_refused(
    starts: list[float], ends: list[float], numbers: list[int], days: list[int] | None, text: str
) -> None:
    with pytest.raises(ValueError) as caught:
        Calendar(starts, ends, numbers, days)
    assert str(caught.value) == text
