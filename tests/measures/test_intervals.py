"""Clipping, adding up and cutting apart, in round numbers."""

import numpy as np
import pytest

from shopsim.measures.intervals import Intervals, Window, merged, of_calendar, summed, union

OPEN = merged([10.0, 30.0], [20.0, 50.0])


def pairs(intervals: Intervals) -> list[tuple[float, float]]:
    return list(zip(intervals.starts.tolist(), intervals.ends.tolist(), strict=True))


def test_a_window_is_half_open_and_clips() -> None:
    window = Window(10.0, 30.0)
    assert window.holds(np.array([9.9, 10.0, 29.9, 30.0])).tolist() == [False, True, True, False]
    starts, ends = np.array([0.0, 0.0, 20.0, 25.0, 30.0]), np.array([5.0, 15.0, 25.0, 99.0, 40.0])
    assert window.clipped(starts, ends).tolist() == [0.0, 5.0, 5.0, 5.0, 0.0]
    assert Window(0.0, 20160.0).weeks == 2.0


def test_intervals_that_overlap_or_touch_become_one_and_empty_ones_fall_out() -> None:
    assert pairs(merged([5, 0, 3, 20, 9], [9, 4, 6, 20, 12])) == [(0.0, 12.0)]
    assert pairs(merged([0, 2], [1, 3])) == [(0.0, 1.0), (2.0, 3.0)]
    assert pairs(merged([0, 1], [10, 2])) == [(0.0, 10.0)]
    assert pairs(merged([], [])) == []


def test_minutes_before_and_between() -> None:
    assert OPEN.before([0, 10, 15, 25, 30, 45, 60]).tolist() == [0, 0, 5, 10, 10, 25, 30]
    assert OPEN.minutes([15.0], [35.0]).tolist() == [10.0]
    assert OPEN.total_min == 30.0
    assert merged([], []).before([1.0, 2.0]).tolist() == [0.0, 0.0]


def test_ends_do_not_belong() -> None:
    assert OPEN.holds([9, 10, 19.9, 20, 30, 50]).tolist() == [False, True, True, False, True, False]
    assert not merged([], []).holds([1.0]).any()


def test_outside_and_clipped() -> None:
    assert pairs(OPEN.outside(0.0, 60.0)) == [(0.0, 10.0), (20.0, 30.0), (50.0, 60.0)]
    assert pairs(OPEN.outside(10.0, 50.0)) == [(20.0, 30.0)]
    assert pairs(OPEN.clipped(15.0, 35.0)) == [(15.0, 20.0), (30.0, 35.0)]


def test_spans_are_cut_by_the_hours() -> None:
    row, start, end = OPEN.cut(np.array([0.0, 12.0, 21.0, 40.0]), np.array([60.0, 18.0, 29.0, 45.0]))
    assert row.tolist() == [0, 0, 1, 3]
    assert list(zip(start.tolist(), end.tolist(), strict=True)) == [(10, 20), (30, 50), (12, 18), (40, 45)]


def test_union() -> None:
    assert pairs(union([OPEN, merged([15.0], [40.0])])) == [(10.0, 50.0)]
    assert pairs(union([])) == pairs(of_calendar(None)) == []


@pytest.mark.parametrize("owners", [3, 4])
def test_sums_by_owner(owners: int) -> None:
    sums = summed(np.array([0, 2, 2]), np.array([1.0, 2.0, 3.0]), owners)
    assert sums.tolist() == [1.0, 0.0, 5.0, 0.0][:owners]
