"""Laws of working-time arithmetic on random calendars, checked against plain sets of open minutes."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopsim.calendars import Calendar, union

LONGEST_MIN = 20 * (60 + 90) + 100


@st.composite
def calendars(draw: st.DrawFn, least: int = 1) -> Calendar:
    """Up to 20 intervals of whole minutes; each either goes on with the shift before it or begins a new one."""
    starts, ends, numbers = [], [], []
    now = number = 0
    for gap, length, new_shift in draw(
        st.lists(st.tuples(st.integers(0, 60), st.integers(1, 90), st.booleans()), min_size=least, max_size=20)
    ):
        number += new_shift
        starts.append(now + gap)
        now += gap + length
        ends.append(now)
        numbers.append(number)
    return Calendar(starts, ends, numbers)


def open_minutes(calendar: Calendar) -> set[int]:
    return {minute for start, end in calendar.intervals() for minute in range(int(start), int(end))}


times = st.floats(-50, LONGEST_MIN)
works = st.floats(0, 500)
whole = st.integers(-50, LONGEST_MIN)


@given(calendars(least=0), whole, whole)
def test_work_is_the_number_of_open_minutes(calendar: Calendar, one: int, other: int) -> None:
    a, b = sorted((one, other))
    assert calendar.work_between(a, b) == len(open_minutes(calendar) & set(range(a, b)))


@given(calendars(least=0), whole)
def test_open_is_half_open(calendar: Calendar, t: int) -> None:
    minutes = open_minutes(calendar)
    assert calendar.is_open(t) == (t in minutes)
    assert calendar.is_open(t + 0.5) == (t in minutes)
    assert calendar.next_open(t) == min((minute for minute in minutes if minute >= t), default=math.inf)


@given(calendars(least=0), times, works)
def test_finish_undoes_work_between(calendar: Calendar, t: float, work_min: float) -> None:
    end = calendar.finish(t, work_min)
    if end == math.inf:
        assert calendar.work_between(t, LONGEST_MIN) < work_min or calendar.next_open(t) == math.inf
    else:
        assert end >= t
        assert calendar.work_between(t, end) == pytest.approx(work_min, abs=2e-6)


@given(calendars(), times, times)
def test_work_between_undoes_finish(calendar: Calendar, one: float, other: float) -> None:
    a, b = sorted((one, other))
    work_min = calendar.work_between(a, b)
    if work_min > 0:
        end = calendar.finish(a, work_min)
        assert end <= b + 1e-6
        assert calendar.work_between(min(end, b), b) == pytest.approx(0, abs=2e-6)


@given(calendars(), times, times, times)
def test_work_adds_up(calendar: Calendar, one: float, two: float, three: float) -> None:
    a, b, c = sorted((one, two, three))
    parts = calendar.work_between(a, b) + calendar.work_between(b, c)
    assert parts == pytest.approx(calendar.work_between(a, c), abs=1e-9)


@given(calendars(), times, works)
def test_pieces_of_work_add_up_over_shifts(calendar: Calendar, t: float, work_min: float) -> None:
    wanted = calendar.finish(t, work_min)
    now, left_min, done_min = calendar.next_open(t), work_min, 0.0
    while now < math.inf:
        end, still_left_min = calendar.run_in_shift(now, left_min)
        assert end <= calendar.shift_end(now)
        done_min += calendar.work_between(now, end)
        assert done_min + still_left_min == pytest.approx(work_min, abs=2e-6)
        left_min = still_left_min
        if left_min == 0.0:
            assert end == pytest.approx(wanted, abs=2e-6)
            return
        assert end == calendar.shift_end(now)
        now = calendar.next_open(end)
    assert wanted == math.inf


@given(calendars())
def test_the_lists_fit_together(calendar: Calendar) -> None:
    for i, (start, end) in enumerate(calendar.intervals()):
        assert calendar.worked_before[i] == calendar.work_between(-1, start)
        assert calendar.is_open(start)
        assert calendar.stretch_end(start) == end
        assert calendar.shift_start(start) <= start
        assert calendar.shift_end(start) >= end
        assert calendar.is_open(end) == (end in calendar.starts)


@given(calendars(least=0), calendars(least=0), calendars(least=0))
def test_union_laws(a: Calendar, b: Calendar, c: Calendar) -> None:
    both = union([a, b])
    assert open_minutes(both) == open_minutes(a) | open_minutes(b)
    assert all(end < start for end, start in zip(both.ends, both.starts[1:], strict=False))
    assert facts(union([b, a])) == facts(both)
    assert facts(union([both, both])) == facts(both)
    assert facts(union([both, c])) == facts(union([a, union([b, c])])) == facts(union([a, b, c]))
    assert a.overlaps(b) == b.overlaps(a) == bool(open_minutes(a) & open_minutes(b))


@given(calendars(), calendars())
def test_union_keeps_each_shift_whole(a: Calendar, b: Calendar) -> None:
    both = union([a, b])
    for start in a.starts:
        assert both.shift_start(start) <= a.shift_start(start)
        assert both.shift_end(start) >= a.shift_end(start)


@given(calendars(least=0))
def test_envelope_laws(calendar: Calendar) -> None:
    filled = calendar.envelope()
    assert open_minutes(filled) >= open_minutes(calendar)
    assert filled.shift_numbers == sorted(set(calendar.shift_numbers))
    assert facts(filled.envelope()) == facts(filled)
    for start in calendar.starts:
        assert filled.shift_end(start) == filled.stretch_end(start) == calendar.shift_end(start)
        assert filled.shift_start(start) == calendar.shift_start(start)


@given(calendars(least=0), st.sets(st.integers(0, 2)))
def test_days_off_take_whole_shifts(calendar: Calendar, days: set[int]) -> None:
    kept = calendar.without_days(days)
    gone = {number for number, day in zip(calendar.shift_numbers, calendar.start_days, strict=True) if day in days}
    assert set(kept.shift_numbers) == set(calendar.shift_numbers) - gone
    assert open_minutes(kept) <= open_minutes(calendar)


def facts(calendar: Calendar) -> tuple[list[tuple[float, float]], list[int], list[int]]:
    return calendar.intervals(), calendar.shift_numbers, calendar.start_days
