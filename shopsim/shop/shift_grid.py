"""A shift's rotation as a grid of hours and days to paint on, and back to hours with breaks, without loss.

Each cell is off, work or break. Cells run from 00:00 of the first week's Monday to the last week's Sunday and then go
round, so a night of the last Sunday ends on the first Monday. Work without a gap is one shift, unless a cell says that
a new one begins there.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from shopsim.clock import MINUTES_PER_DAY, clock_text
from shopsim.shift_plans import ShiftSpan
from shopsim.shop.changes import Change
from shopsim.shop.people import WEEKDAYS, Shift

Paint = Literal["work", "break", "off", "new shift"]
CELL_LENGTHS_MIN = (30, 15, 5, 1)
OFF, WORK, BREAK = ".", "w", "b"
"""Signs of the cells; in capitals where a new shift begins right after another."""


@dataclass(frozen=True, slots=True)
class Grid:
    """`cells` holds one sign a cell, all weeks in a row."""

    cell_min: int
    weeks: int
    cells: str

    @property
    def per_day(self) -> int:
        """Cells a day."""
        return MINUTES_PER_DAY // self.cell_min

    def day(self, week: int, weekday: int) -> str:
        """The signs of one day."""
        first = (week * 7 + weekday) * self.per_day
        return self.cells[first : first + self.per_day]


def grid_of(shift: Shift, most_min: int = 30) -> Grid:
    """The grid of a rotation, in cells as long as its times allow, at most `most_min` minutes.

    Raises ValueError for a shift round the clock, which has no weeks.
    """
    if not shift.weeks:
        raise ValueError(f"shift {shift.id} is round the clock and has no weeks to paint")
    rotation = shift.rotation()
    times = [
        time for week in rotation for span in week for time in (span.start_min, span.end_min, *sum(span.breaks, ()))
    ]
    cell_min = next(m for m in CELL_LENGTHS_MIN if m <= most_min and all(time % m == 0 for time in times))
    signs = [OFF] * (len(rotation) * 7 * MINUTES_PER_DAY // cell_min)
    for number, week in enumerate(rotation):
        for span in week:
            _put(signs, span, number, cell_min)
    return Grid(cell_min, len(rotation), _tidy("".join(signs)))


def painted(grid: Grid, week: int, weekdays: Sequence[int], start_min: int, end_min: int, what: Paint,
            keep_breaks: bool = False) -> Grid:  # fmt: skip
    """The grid after painting the same hours on some days of a week; an end at or before the start is the next day's.

    Breaks are painted over work only; `keep_breaks`: work is not painted over breaks. `new shift` marks the start as
    the beginning of another shift. Raises ValueError for times that do not lie on the edge of a cell.
    """
    end_min = end_min if end_min > start_min else end_min + MINUTES_PER_DAY
    off_edge = [time for time in (start_min, end_min) if time % grid.cell_min]
    if off_edge:
        raise ValueError(
            f"times must lie on full {grid.cell_min} minutes, found {clock_text(off_edge[0] % MINUTES_PER_DAY)}"
        )
    signs = list(grid.cells)
    for weekday in weekdays:
        first = (week * 7 + weekday) * grid.per_day + start_min // grid.cell_min
        count = 1 if what == "new shift" else (end_min - start_min) // grid.cell_min
        for place in range(first, first + count):
            at = place % len(signs)
            if keep_breaks and what == "work" and signs[at].lower() == BREAK:
                continue
            signs[at] = _painted(signs[at], what, is_first=place == first)
    return replace(grid, cells=_tidy("".join(signs)))


def hours_of_day(grid: Grid, week: int) -> tuple[int, int] | None:
    """When the first shift of a week begins and ends, minutes of the day; None for a week off."""
    spans = spans_of(grid)[week]
    return (int(spans[0].start_min), int(spans[0].end_min) % MINUTES_PER_DAY) if spans else None


def finer(grid: Grid, cell_min: int) -> Grid:
    """The same hours in shorter cells. Raises ValueError unless the cells can be divided so."""
    if grid.cell_min % cell_min:
        raise ValueError(f"cells of {grid.cell_min} min cannot be divided into {cell_min} min")
    parts = grid.cell_min // cell_min
    return Grid(cell_min, grid.weeks, "".join(sign + sign.lower() * (parts - 1) for sign in grid.cells))


def spans_of(grid: Grid) -> list[list[ShiftSpan]]:
    """The shifts of each week. Raises ValueError for one longer than 24 h, or of breaks alone, saying which."""
    rotation: list[list[ShiftSpan]] = [[] for _ in range(grid.weeks)]
    for first, signs in _runs(grid.cells):
        week, in_week = divmod(first, 7 * grid.per_day)
        weekday, in_day = divmod(in_week, grid.per_day)
        rotation[week].append(_span(weekday, in_day, signs, grid.cell_min))
    return rotation


def weeks_of(grid: Grid) -> list[dict[str, Any]]:
    """The weeks as a file holds them; days of the same hours stand in one block."""
    return [{"blocks": list(_blocks(spans))} for spans in spans_of(grid)]


def grid_changes(where: str, shift: Shift, grid: Grid) -> list[Change]:
    """The changes that bring a painted grid into a shift, given by its path; weeks that stay are left alone.

    Raises ValueError as `spans_of`.
    """
    weeks = weeks_of(grid)
    if grid.weeks != len(shift.weeks):
        return [Change("set", f"{where}.weeks", weeks)]
    before, wanted = spans_of(grid_of(shift, grid.cell_min)), spans_of(grid)
    return [
        Change("set", f"{where}.weeks[{number}]", week)
        for number, week in enumerate(weeks)
        if wanted[number] != before[number]
    ]


def with_week(grid: Grid, week: int) -> Grid:
    """The grid with a copy of one of its weeks at the end of the rotation."""
    return replace(grid, weeks=grid.weeks + 1, cells=_tidy(grid.cells + _week(grid, week)))


def without_week(grid: Grid, week: int) -> Grid:
    """The grid with one of its weeks taken out. Raises ValueError for the only one."""
    if grid.weeks == 1:
        raise ValueError("a rotation has at least one week")
    size = 7 * grid.per_day
    return replace(grid, weeks=grid.weeks - 1, cells=_tidy(grid.cells[: week * size] + grid.cells[(week + 1) * size :]))


def _week(grid: Grid, week: int) -> str:
    size = 7 * grid.per_day
    return grid.cells[week * size : (week + 1) * size]


def _put(signs: list[str], span: ShiftSpan, week: int, cell_min: int) -> None:
    midnight = (week * 7 + span.weekday) * MINUTES_PER_DAY
    for time in range(int(span.start_min), int(span.end_min), cell_min):
        is_break = any(begin <= time < end for begin, end in span.breaks)
        sign = BREAK if is_break else WORK
        signs[(midnight + time) // cell_min % len(signs)] = sign.upper() if time == span.start_min else sign


def _tidy(cells: str) -> str:
    """Capitals only where they say something: right behind another shift."""
    return "".join(sign.lower() if cells[at - 1] == OFF else sign for at, sign in enumerate(cells))


def _painted(sign: str, what: Paint, is_first: bool) -> str:
    if what == "off":
        return OFF
    if what == "new shift":
        return sign.upper()
    if what == "break" and sign == OFF:
        return OFF
    new = WORK if what == "work" else BREAK
    # Painting over the seam of two shifts joins them; painting from a seam on leaves it.
    return new.upper() if sign.isupper() and (is_first or what == "break") else new


def _runs(cells: str) -> Iterator[tuple[int, str]]:
    """First cell and signs of each shift."""
    starts = [at for at, sign in enumerate(cells) if sign != OFF and (sign.isupper() or cells[at - 1] == OFF)]
    if not starts and cells.strip(OFF):
        raise ValueError("work goes on without end; leave a gap, or say where a new shift begins")
    for at in starts:
        length = 1
        while length < len(cells):
            sign = cells[(at + length) % len(cells)]
            if sign == OFF or sign.isupper():
                break
            length += 1
        yield at, "".join(cells[(at + offset) % len(cells)] for offset in range(length)).lower()


def _span(weekday: int, in_day: int, signs: str, cell_min: int) -> ShiftSpan:
    start = in_day * cell_min
    end = start + len(signs) * cell_min
    where = f"the shift from {clock_text(start)} on {WEEKDAYS[weekday]}"
    if end - start > MINUTES_PER_DAY:
        raise ValueError(f"{where} lasts {(end - start) / 60:g} h, at most 24 h; leave a gap, or begin a new shift")
    if WORK not in signs:
        raise ValueError(f"{where} is nothing but a break")
    breaks, at = [], 0
    while (begin := signs.find(BREAK, at)) >= 0:
        finish = next((i for i in range(begin, len(signs)) if signs[i] != BREAK), len(signs))
        breaks.append((float(start + begin * cell_min), float(start + finish * cell_min)))
        at = finish
    return ShiftSpan(weekday, float(start), float(end), tuple(breaks))


def _blocks(spans: Sequence[ShiftSpan]) -> Iterator[dict[str, Any]]:
    alike: dict[tuple[Any, ...], list[str]] = {}
    for span in spans:
        alike.setdefault((span.start_min, span.end_min, span.breaks), []).append(WEEKDAYS[span.weekday])
    for (start, end, breaks), days in alike.items():
        made = {"days": days, "hours": _hours(start, end)}
        yield {**made, "breaks": [_hours(*each) for each in breaks]} if breaks else made


def _hours(start: float, end: float) -> str:
    start, end = (time - MINUTES_PER_DAY if start >= MINUTES_PER_DAY else time for time in (start, end))
    return f"{clock_text(start)}-{clock_text(end if end <= MINUTES_PER_DAY else math.fmod(end, MINUTES_PER_DAY))}"
