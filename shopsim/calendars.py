"""When somebody works or something is open: intervals grouped into shifts, and working-time arithmetic on them.

Shift plans are laid out into calendars by ``shift_plans``.

Times are minutes since 00:00 of the start Monday. Intervals are half-open, [start, end): at its end a shift is over.
Daylight saving time is out of scope: each day has 1440 minutes (see ``clock``).
"""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterable, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from shopsim.clock import MINUTES_PER_DAY, SLIVER_MIN


class Calendar:
    """Open intervals in time order, grouped into shifts; never changed after construction.

    ``starts`` and ``ends`` are in minutes; ``worked_before[i]`` is the open time before interval i; intervals with the
    same ``shift_numbers[i]`` are one shift instance, parted by its breaks only; ``start_days[i]`` is the day number on
    which that shift began. Without ``start_days`` the day of the shift's first interval is taken.
    Raises ValueError if intervals are empty, out of order or overlapping, or if the lists do not fit together.
    """

    __slots__ = ("_ends", "_total_min", "ends", "shift_numbers", "start_days", "starts", "worked_before")

    def __init__(
        self,
        starts: Sequence[float],
        ends: Sequence[float],
        shift_numbers: Sequence[int],
        start_days: Sequence[int] | None = None,
    ) -> None:
        first, last = np.asarray(starts, dtype=float), np.asarray(ends, dtype=float)
        numbers = np.asarray(shift_numbers, dtype=np.int64)
        _check_intervals(first, last, numbers)
        if start_days is None:
            openings = np.searchsorted(numbers, numbers)
            start_days = np.floor(first[openings] / MINUTES_PER_DAY).astype(np.int64).tolist()
        elif len(start_days) != len(first):
            raise ValueError(f"{len(first)} intervals need as many start days, got {len(start_days)}")
        worked = np.concatenate(([0.0], np.cumsum(last - first)))
        self.starts: list[float] = first.tolist()
        self.ends: list[float] = last.tolist()
        self.worked_before: list[float] = worked[:-1].tolist()
        self.shift_numbers: list[int] = numbers.tolist()
        self.start_days: list[int] = list(start_days)
        self._total_min = float(worked[-1])
        # Index -1 stands for "before the first interval" and must read as closed without a test of its own.
        self._ends: list[float] = [*self.ends, -math.inf]

    def is_open(self, t: float) -> bool:
        """Whether ``t`` lies in an interval; an interval's end does not."""
        return t < self._ends[bisect_right(self.starts, t) - 1]

    def open_until(self, t: float) -> float:
        """End of the interval that holds ``t``; ``t`` itself if closed."""
        return max(t, self._ends[bisect_right(self.starts, t) - 1])

    def next_open(self, t: float) -> float:
        """``t`` itself if open, else the next start; infinity if there is none."""
        i = bisect_right(self.starts, t)
        if t < self._ends[i - 1]:
            return t
        return self.starts[i] if i < len(self.starts) else math.inf

    def work_between(self, a: float, b: float) -> float:
        """Open minutes in [a, b). Raises ValueError if b is before a."""
        if b < a:
            raise ValueError(f"the end must not be before the start {a!r}, got {b!r}")
        i = bisect_right(self.starts, a) - 1
        if b <= self._ends[i]:
            return b - a
        return self._worked_until(b) - self._worked_until(a)

    def finish(self, t: float, work_min: float) -> float:
        """When ``work_min`` (>= 0) open minutes are done, starting at ``t`` or at the next opening; infinity if never.

        Work that just fills an interval ends at that interval's end, not at the next start.
        """
        i = bisect_right(self.starts, t) - 1
        if t >= self._ends[i]:
            i += 1
            if i == len(self.starts):
                return math.inf
            t = self.starts[i]
        end = t + work_min
        if end <= self.ends[i]:
            return end
        target = self.worked_before[i] + (t - self.starts[i]) + work_min
        # The sliver keeps rounding from pushing the end of a filled interval to the next morning.
        if target - SLIVER_MIN > self._total_min:
            return math.inf
        j = max(i, bisect_left(self.worked_before, target - SLIVER_MIN) - 1)
        return min(self.starts[j] + (target - self.worked_before[j]), self.ends[j])

    def run_in_shift(self, t: float, work_min: float) -> tuple[float, float]:
        """Work ``work_min`` (>= 0) minutes from ``t`` within the shift in progress, pausing at its breaks.

        Returns the finish time and 0.0, or the shift's end and the minutes left. Work that ends with the shift is done,
        and so is a remainder below SLIVER_MIN. Raises ValueError if ``t`` is closed.
        """
        i = bisect_right(self.starts, t) - 1
        end = t + work_min
        if end <= self._ends[i]:
            return end, 0.0
        return self._run_over_breaks(i, t, work_min)

    def _run_over_breaks(self, i: int, t: float, work_min: float) -> tuple[float, float]:
        self._require_open(i, t)
        starts, ends, numbers = self.starts, self.ends, self.shift_numbers
        left_min = work_min - (ends[i] - t)
        while left_min > SLIVER_MIN:
            if i + 1 == len(starts) or numbers[i + 1] != numbers[i]:
                return ends[i], left_min
            i += 1
            if left_min <= ends[i] - starts[i]:
                return starts[i] + left_min, 0.0
            left_min -= ends[i] - starts[i]
        return ends[i], 0.0

    def stretch_end(self, t: float) -> float:
        """End of the interval that holds ``t``: the next break or the shift's end. Raises ValueError if closed."""
        i = bisect_right(self.starts, t) - 1
        self._require_open(i, t)
        return self.ends[i]

    def shift_end(self, t: float) -> float:
        """End of the shift in progress at ``t``, also asked during a break. Raises ValueError if there is none."""
        return self.ends[bisect_right(self.shift_numbers, self._shift_at(t)) - 1]

    def shift_start(self, t: float) -> float:
        """Start of the shift in progress at ``t``, also asked during a break. Raises ValueError if there is none.

        For a shift that began before the start of the calendar, 0.
        """
        return self.starts[bisect_left(self.shift_numbers, self._shift_at(t))]

    def total(self, horizon_min: float) -> float:
        """Open minutes in [0, horizon_min)."""
        return self.work_between(0.0, horizon_min)

    def intervals(self) -> list[tuple[float, float]]:
        """All (start, end) pairs in time order."""
        return list(zip(self.starts, self.ends, strict=True))

    def envelope(self) -> "Calendar":
        """The same shifts with their breaks filled: one interval a shift."""
        numbers = np.asarray(self.shift_numbers, dtype=np.int64)
        found, opening = np.unique(numbers, return_index=True)
        closing = np.append(opening[1:], len(numbers)) - 1 if len(numbers) else opening
        return Calendar(
            [self.starts[i] for i in opening],
            [self.ends[i] for i in closing],
            found.tolist(),
            [self.start_days[i] for i in opening],
        )

    def without_days(self, days: Collection[int]) -> "Calendar":
        """This calendar less every shift that began on one of these day numbers, its hours after midnight included."""
        gone = frozenset(days)
        kept = [i for i, day in enumerate(self.start_days) if day not in gone]
        return Calendar(
            [self.starts[i] for i in kept],
            [self.ends[i] for i in kept],
            [self.shift_numbers[i] for i in kept],
            [self.start_days[i] for i in kept],
        )

    def with_intervals(self, extra: Iterable[tuple[float, float]]) -> "Calendar":
        """The union of this calendar and further (start, end) intervals such as overtime.

        An interval that touches or overlaps a shift lengthens that shift, any other is a shift of its own.
        """
        return union([self, *(Calendar([start], [end], [0]) for start, end in extra)])

    def overlaps(self, other: "Calendar") -> bool:
        """Whether there is a time at which both are open."""
        merged = sorted([*self.intervals(), *other.intervals()])
        return any(before[1] > after[0] for before, after in pairwise(merged))

    def _worked_until(self, t: float) -> float:
        i = bisect_right(self.starts, t) - 1
        if i < 0:
            return 0.0
        return self.worked_before[i] + (min(t, self.ends[i]) - self.starts[i])

    def _shift_at(self, t: float) -> int:
        i = bisect_right(self.starts, t) - 1
        if t < self._ends[i]:
            return self.shift_numbers[i]
        if 0 <= i < len(self.starts) - 1 and self.shift_numbers[i] == self.shift_numbers[i + 1]:
            return self.shift_numbers[i]
        raise ValueError(f"no shift is in progress at minute {t!r}")

    def _require_open(self, i: int, t: float) -> None:
        if t >= self._ends[i]:
            raise ValueError(f"the calendar is closed at minute {t!r}")


def _check_intervals(
    starts: NDArray[np.float64],
    ends: NDArray[np.float64],
    numbers: NDArray[np.int64],
) -> None:
    if not len(starts) == len(ends) == len(numbers):
        raise ValueError(f"starts, ends and shift numbers differ in length: {len(starts)}, {len(ends)}, {len(numbers)}")
    wrong = np.flatnonzero(~(starts < ends))
    if wrong.size:
        i = wrong[0]
        raise ValueError(f"an interval must end after its start {float(starts[i])!r}, got {float(ends[i])!r}")
    wrong = np.flatnonzero(~(ends[:-1] <= starts[1:]))
    if wrong.size:
        i = wrong[0]
        raise ValueError(
            f"an interval must not start before the last one ends at {float(ends[i])!r}, got {float(starts[i + 1])!r}"
        )
    if np.any(np.diff(numbers) < 0):
        raise ValueError("shift numbers must not fall along the calendar")


def always_open(horizon_min: float) -> Calendar:
    """One single shift without breaks over [0, horizon_min). Raises ValueError unless horizon_min > 0."""
    return Calendar([0.0], [horizon_min], [0])


def union(calendars: Iterable[Calendar]) -> Calendar:
    """Open whenever one of the calendars is open.

    Intervals that overlap or touch become one. So do shifts: early and late shift that meet at 14:00 are one shift of
    the union, from the start of the first to the end of the last.
    """
    given = list(calendars)
    starts, ends = _merged(pair for calendar in given for pair in calendar.intervals())
    shift_starts, _ = _merged(pair for calendar in given for pair in calendar.envelope().intervals())
    numbers = [bisect_right(shift_starts, start) - 1 for start in starts]
    days = [math.inf] * len(shift_starts)
    for calendar in given:
        for start, day in zip(calendar.starts, calendar.start_days, strict=True):
            group = bisect_right(shift_starts, start) - 1
            days[group] = min(days[group], day)
    return Calendar(starts, ends, numbers, [int(days[number]) for number in numbers])


def _merged(intervals: Iterable[tuple[float, float]]) -> tuple[list[float], list[float]]:
    starts: list[float] = []
    ends: list[float] = []
    for start, end in sorted(intervals):
        if ends and start <= ends[-1]:
            ends[-1] = max(ends[-1], end)
        else:
            starts.append(start)
            ends.append(end)
    return starts, ends
