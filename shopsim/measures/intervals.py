"""Open intervals in time order as arrays, and the vectorised arithmetic every measure needs: clip, add up, cut apart.

Times are minutes since the start Monday; intervals are half-open, [start, end).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from shopsim.calendars import Calendar
from shopsim.clock import MINUTES_PER_WEEK

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Window:
    """The part of a run that counts, [start_min, end_min)."""

    start_min: float
    end_min: float

    @property
    def minutes(self) -> float:
        """Length in minutes."""
        return self.end_min - self.start_min

    @property
    def weeks(self) -> float:
        """Length in weeks."""
        return self.minutes / MINUTES_PER_WEEK

    def clipped(self, starts: Floats, ends: Floats) -> Floats:
        """Minutes of each interval that lie inside the window."""
        inside = np.minimum(ends, self.end_min) - np.maximum(starts, self.start_min)
        clipped: Floats = np.maximum(inside, 0.0)
        return clipped

    def holds(self, times: Floats) -> Bools:
        """Which times lie inside; the window's end does not."""
        return np.asarray((times >= self.start_min) & (times < self.end_min))


@dataclass(frozen=True, slots=True, eq=False)
class Intervals:
    """Disjoint intervals in time order that do not touch. Build with `merged` unless the arrays are known to be so."""

    starts: Floats
    ends: Floats

    @property
    def total_min(self) -> float:
        """Minutes in all intervals."""
        return float(np.sum(self.ends - self.starts))

    def holds(self, times: ArrayLike) -> Bools:
        """Which times lie in an interval."""
        at = np.asarray(times, dtype=np.float64)
        if not self.starts.size:
            return np.zeros(at.shape, dtype=np.bool_)
        i = np.searchsorted(self.starts, at, side="right") - 1
        return np.asarray((i >= 0) & (at < self.ends[i]))

    def before(self, times: ArrayLike) -> Floats:
        """Minutes in intervals before each time."""
        at = np.asarray(times, dtype=np.float64)
        if not self.starts.size:
            return np.zeros(at.shape)
        done = np.concatenate(([0.0], np.cumsum(self.ends - self.starts)[:-1]))
        i = np.searchsorted(self.starts, at, side="right") - 1
        inside = np.minimum(at, self.ends[i]) - self.starts[i]
        return np.asarray(np.where(i >= 0, done[i] + inside, 0.0))

    def minutes(self, starts: ArrayLike, ends: ArrayLike) -> Floats:
        """Minutes of each span [start, end) that lie in intervals."""
        return self.before(ends) - self.before(starts)

    def clipped(self, start: float, end: float) -> Intervals:
        """What lies in [start, end)."""
        starts, ends = np.maximum(self.starts, start), np.minimum(self.ends, end)
        kept = starts < ends
        return Intervals(starts[kept], ends[kept])

    def outside(self, start: float, end: float) -> Intervals:
        """The gaps in [start, end)."""
        inner = self.clipped(start, end)
        starts, ends = np.append(start, inner.ends), np.append(inner.starts, end)
        kept = starts < ends
        return Intervals(starts[kept], ends[kept])

    def cut(self, starts: Floats, ends: Floats) -> tuple[Ints, Floats, Floats]:
        """Parts of each span [start, end) that lie in intervals: (number of the span, start, end), in span order."""
        first = np.searchsorted(self.ends, starts, side="right")
        count = np.maximum(np.searchsorted(self.starts, ends, side="left") - first, 0)
        row = np.repeat(np.arange(len(starts)), count)
        offset = np.arange(len(row)) - np.repeat(np.cumsum(count) - count, count)
        which = first[row] + offset
        begin, finish = np.maximum(self.starts[which], starts[row]), np.minimum(self.ends[which], ends[row])
        kept = begin < finish
        return row[kept], begin[kept], finish[kept]


def summed(owner: Ints, amounts: Floats, owners: int) -> Floats:
    """Sum of the amounts of each owner 0 .. owners-1."""
    return np.bincount(owner, amounts, minlength=owners).astype(np.float64)


def merged(starts: ArrayLike, ends: ArrayLike) -> Intervals:
    """The union of any intervals; those that overlap or touch become one, empty ones fall out."""
    first, last = np.asarray(starts, dtype=np.float64), np.asarray(ends, dtype=np.float64)
    real = first < last
    first, last = first[real], last[real]
    order = np.argsort(first, kind="stable")
    first, reach = first[order], np.maximum.accumulate(last[order])
    opens = np.append(True, first[1:] > reach[:-1])[: len(first)]
    closes = np.append(opens[1:], True)[: len(first)]
    return Intervals(first[opens], reach[closes])


def union(parts: Iterable[Intervals]) -> Intervals:
    """In at least one of the parts."""
    given = list(parts)
    if not given:
        return Intervals(np.empty(0), np.empty(0))
    return merged(np.concatenate([part.starts for part in given]), np.concatenate([part.ends for part in given]))


def of_calendar(calendar: Calendar | None) -> Intervals:
    """The open intervals of a calendar, breaks left out; nothing for None."""
    if calendar is None:
        return merged([], [])
    return merged(calendar.starts, calendar.ends)
