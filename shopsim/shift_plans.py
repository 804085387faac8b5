"""Shifts of a week, and from a plan of one or more weeks to the calendar of a whole horizon."""

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from shopsim.calendars import Calendar
from shopsim.clock import MINUTES_PER_DAY, MINUTES_PER_WEEK, WEEKDAYS, clock_text


@dataclass(frozen=True, slots=True)
class ShiftSpan:
    """One shift of a weekly plan: its weekday (0 = Monday), start, end and breaks in minutes after that day's 00:00.

    ``end_min`` and breaks go beyond 1440 when a night shift runs on into the next day. Breaks are (start, end) pairs.
    Raises ValueError, with the value, for a shift that is empty, longer than 24 h or starts on another day, and for
    breaks outside the shift, out of order, overlapping, or leaving no time to work.
    """

    weekday: int
    start_min: float
    end_min: float
    breaks: tuple[tuple[float, float], ...] = ()

    def __post_init__(self) -> None:
        if self.weekday not in range(7):
            raise ValueError(f"weekday must be from 0 (Monday) to 6 (Sunday), got {self.weekday!r}")
        if not 0 <= self.start_min < MINUTES_PER_DAY:
            raise ValueError(f"start_min must be from 0 to below {MINUTES_PER_DAY}, got {self.start_min!r}")
        if not 0 < self.end_min - self.start_min <= MINUTES_PER_DAY:
            raise ValueError(
                f"end_min must be after start_min {self.start_min!r} and at most 24 h later, got {self.end_min!r}"
            )
        reached = self.start_min
        for begin, end in self.breaks:
            if not reached <= begin < end <= self.end_min:
                raise ValueError(
                    f"breaks must lie in order inside {self.start_min!r} to {self.end_min!r}, got {self.breaks!r}"
                )
            reached = end
        if not self.pieces():
            raise ValueError(f"breaks leave no time to work, got {self.breaks!r}")

    def __str__(self) -> str:
        end = clock_text(self.end_min) if self.end_min <= MINUTES_PER_DAY else _next_day_text(self.end_min)
        return f"{WEEKDAYS[self.weekday]} {clock_text(self.start_min)}–{end}"

    def pieces(self) -> list[tuple[float, float]]:
        """The (start, end) stretches between breaks, in the same minutes as the shift."""
        edges = [self.start_min, *(edge for pause in self.breaks for edge in pause), self.end_min]
        return [(begin, end) for begin, end in zip(edges[::2], edges[1::2], strict=True) if begin < end]


def _next_day_text(end_min: float) -> str:
    return f"{clock_text(end_min - MINUTES_PER_DAY)} next day"


def build_calendar(
    weeks: Sequence[Sequence[ShiftSpan]],
    horizon_min: float,
    closed_days: Collection[int] = (),
    first_week: int = 0,
) -> Calendar:
    """Lay a plan of one or more weeks out over the horizon, beginning with ``weeks[first_week]`` and going round.

    A shift belongs to the day it starts on: on a closed day (number of the day since the start Monday) it falls out
    whole, while a night shift of the day before still runs to its end. A night shift that began on the Sunday before
    the start is there from minute 0. Shifts that start before the horizon are kept whole, beyond it if need be.
    Raises ValueError for an empty plan, a horizon that is not positive and finite, or shifts that overlap, naming both.
    """
    if not weeks:
        raise ValueError("a plan needs at least one week, got none")
    if not 0 < horizon_min < math.inf:
        raise ValueError(f"horizon_min must be positive and finite, got {horizon_min!r}")
    _require_no_overlap(weeks)
    week_numbers = np.arange(-1, math.ceil(horizon_min / MINUTES_PER_WEEK))
    closed = np.fromiter(closed_days, dtype=np.int64)
    columns: list[list[NDArray[np.float64]]] = [[], [], []]
    for index, week in enumerate(weeks):
        mondays = week_numbers[(week_numbers + first_week) % len(weeks) == index] * 7
        for span in week:
            days = mondays + span.weekday
            midnights = (days[~np.isin(days, closed)] * MINUTES_PER_DAY).astype(float)
            midnights = midnights[midnights + span.start_min < horizon_min]
            for begin, end in span.pieces():
                columns[0].append(midnights + begin)
                columns[1].append(midnights + end)
                columns[2].append(midnights + span.start_min)
    if not columns[0]:
        return Calendar([], [], [])
    starts, ends, shift_starts = (np.concatenate(column) for column in columns)
    order = np.argsort(starts)
    order = order[ends[order] > 0]
    numbers = np.unique(shift_starts[order], return_inverse=True)[1]
    days_begun = np.floor(shift_starts[order] / MINUTES_PER_DAY).astype(np.int64)
    return Calendar(
        np.maximum(starts[order], 0.0).tolist(), ends[order].tolist(), numbers.tolist(), days_begun.tolist()
    )


def _require_no_overlap(weeks: Sequence[Sequence[ShiftSpan]]) -> None:
    placed = [
        (index * MINUTES_PER_WEEK + span.weekday * MINUTES_PER_DAY + span.start_min, index, span)
        for index, week in enumerate(weeks)
        for span in week
    ]
    placed.sort(key=lambda entry: entry[0])
    # After the last week the first one follows: a Sunday night there can run into this Monday.
    if placed:
        start, index, span = placed[0]
        placed.append((start + len(weeks) * MINUTES_PER_WEEK, index, span))
    for (start, index, span), (next_start, next_index, next_span) in pairwise(placed):
        if start + span.end_min - span.start_min > next_start:
            raise ValueError(f"shifts overlap: week {index + 1} {span} and week {next_index + 1} {next_span}")
