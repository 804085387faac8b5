"""Spans that tile the horizon exactly: what every person and every seat did, minute by minute.

Printers write their own spans; those of people and seats follow from the operations, the crews' calendars, absences and
overtime. Consecutive spans share their boundary bit for bit.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopsim.calendars import Calendar
from shopsim.clock import SLIVER_MIN
from shopsim.floor.record import KINDS, RunLog
from shopsim.measures.facts import Facts
from shopsim.measures.interruptions import after_interruption, put_aside_at
from shopsim.measures.intervals import Bools, Floats, Intervals, Ints, merged
from shopsim.shop.scenario import Scenario

PERSON_STATES = (*KINDS, "idle", "break", "off_shift", "absent")
"""A person works (the kind of operation), is there without work, at a break, off shift, or absent from a shift."""
IDLE, BREAK, OFF_SHIFT, ABSENT = range(len(KINDS), len(PERSON_STATES))

SEAT_STATES = ("busy", "set_aside", "blocked", "idle", "closed")
"""A seat is worked at; holds an unfinished piece nobody works at (break, night, machine down, nobody free), or a
finished one while the place is closed; is blocked by finished work that has no room at its next place, while the place
is open; is free while it is open; or is free while it is closed."""
BUSY, SET_ASIDE, BLOCKED, SEAT_IDLE, CLOSED = range(len(SEAT_STATES))


@dataclass(frozen=True, slots=True, eq=False)
class PersonSpans:
    """Spans by person and time; `state` indexes `PERSON_STATES`, `overtime` says whether the span lies in overtime."""

    person: Ints
    state: Ints
    overtime: Bools
    start: Floats
    end: Floats


@dataclass(frozen=True, slots=True, eq=False)
class SeatSpans:
    """Spans by place, seat and time; `state` indexes `SEAT_STATES`."""

    place: Ints
    seat: Ints
    state: Ints
    start: Floats
    end: Floats


def person_spans(log: RunLog, scenario: Scenario) -> PersonSpans:
    """The spans of all people over [0, horizon_min)."""
    return person_spans_of(Facts(log, scenario))


def seat_spans(log: RunLog, scenario: Scenario) -> SeatSpans:
    """The spans of all seats of all places over [0, horizon_min); the print room has none."""
    return seat_spans_of(Facts(log, scenario))


def person_spans_of(facts: Facts) -> PersonSpans:
    """As `person_spans`, from facts at hand."""
    return facts.once(_person_spans)


def _person_spans(facts: Facts) -> PersonSpans:
    horizon = facts.log.horizon_min
    who, row, begin, finish = work_of_people(facts)
    kinds = facts.code("operations", "kind")[row]
    bounds = np.searchsorted(who, np.arange(len(facts.log.people) + 1))
    absent_person, absent_day = facts.code("absences", "person"), facts.code("absences", "day")
    parts = []
    bases = [
        _crew_base(calendar, extra, horizon)
        for calendar, extra in zip(facts.log.crew_calendars, facts.overtime_of, strict=True)
    ]
    for person in range(len(facts.log.people)):
        edges, state, overtime, day = bases[facts.crew_of[person]]
        away = np.isin(day, absent_day[absent_person == person]) & (state != OFF_SHIFT)
        state, overtime = np.where(away, ABSENT, state), overtime & ~away
        mine = slice(bounds[person], bounds[person + 1])
        cuts, work = _laid_over(edges, begin[mine], finish[mine])
        base = np.searchsorted(edges, cuts[:-1], side="right") - 1
        doing = np.where(work >= 0, np.append(kinds[mine], 0)[work], state[base])
        parts.append(_closed_up(cuts, [doing, overtime[base].astype(np.int64)], person))
    person_column, (states, flags), start, end = _stacked(parts, 2)
    return PersonSpans(person_column, states, flags.astype(np.bool_), start, end)


def seat_spans_of(facts: Facts) -> SeatSpans:
    """As `seat_spans`, from facts at hand."""
    return facts.once(_seat_spans)


def _seat_spans(facts: Facts) -> SeatSpans:
    log = facts.log
    holds_place, holds_seat, taken, given_back = facts.once(seat_holds)
    kept_place, kept_seat = facts.code("room_waits", "kept_place"), facts.code("room_waits", "kept_seat")
    kept_from, kept_until = facts.column("room_waits", "start"), facts.column("room_waits", "end")
    row, begin, finish = facts.pieces
    work_place, work_seat = facts.seat_place[row], facts.code("operations", "seat")[row]
    parts, places = [], []
    for place, seats in enumerate(log.place_seats):
        for seat in range(seats or 0):
            held = (holds_place == place) & (holds_seat == seat)
            mine = (work_place == place) & (work_seat == seat)
            held_hours = merged(taken[held], given_back[held])
            worked_hours = merged(begin[mine], finish[mine])
            kept = (kept_place == place) & (kept_seat == seat)
            blocked_hours = merged(kept_from[kept], kept_until[kept])
            hours = (facts.place_hours[place], held_hours, blocked_hours, worked_hours)
            parts.append(_seat_tiles(*hours, log.horizon_min, seat))
            places.append(np.full(len(parts[-1][2]), place))
    seat_column, (states,), start, end = _stacked(parts, 1)
    return SeatSpans(np.concatenate(places) if places else seat_column, seat_column, states, start, end)


def seat_holds(facts: Facts) -> tuple[Ints, Ints, Floats, Floats]:
    """(place, seat, taken, given back) of each task that took a seat, from its first minute to its last, pauses and
    nights and waits for room at the next place included; infinity where it is not finished. A task put aside for more
    urgent work gives its seat back and takes one again when it goes on.

    An unfinished piece of a cancelled order is swept off when somebody next looks at it. The records do not say when,
    so its seat counts as free from the cancellation on.
    """
    task, last = facts.code("operations", "task"), facts.column("operations", "last") > 0
    end = facts.column("operations", "end")
    finished = np.full(int(task.max(initial=0)) + 1, np.inf)
    finished[task[last]] = end[last]
    kept = facts.code("room_waits", "kept_task")
    finished[kept[kept >= 0]] = facts.column("room_waits", "end")[kept >= 0]
    put_down = np.zeros(len(finished))
    np.maximum.at(put_down, task, end)
    takes = (facts.column("operations", "part") == 0) | after_interruption(facts)
    first = np.flatnonzero(takes & (facts.seat_place >= 0))
    given_back = np.minimum(finished[task[first]], np.maximum(put_down[task[first]], _cancelled(facts)[first]))
    given_back = np.minimum(given_back, put_aside_at(facts)[first])
    seat, taken = facts.code("operations", "seat")[first], facts.column("operations", "start")[first]
    return facts.seat_place[first], seat, taken, given_back


def _cancelled(facts: Facts) -> Floats:
    """When the order of each operation was cancelled, infinity if never."""
    order = facts.code("operations", "order")
    gone = np.where(facts.cancelled, facts.column("orders", "ended"), np.inf)
    gone_by_number = np.append(np.full(len(gone), np.inf), np.inf)
    gone_by_number[facts.code("orders", "order")] = gone
    return gone_by_number[order]


def work_of_people(facts: Facts) -> tuple[Ints, Ints, Floats, Floats]:
    """(person, row of operations, start, end) of all work, by person and time, helpers too."""
    row, start, end = facts.pieces
    person, helper = facts.code("operations", "person")[row], facts.code("operations", "helper")[row]
    helped = helper >= 0
    who = np.concatenate((person, helper[helped]))
    row = np.concatenate((row, row[helped]))
    start, end = np.concatenate((start, start[helped])), np.concatenate((end, end[helped]))
    order = np.lexsort((start, who))
    return who[order], row[order], start[order], end[order]


def _crew_base(calendar: Calendar, overtime: Intervals, horizon: float) -> tuple[Floats, Ints, Bools, Ints]:
    """Edges that cut [0, horizon) by the crew's hours, and of each part its state, overtime, and day of its shift."""
    starts, ends = np.array(calendar.starts), np.array(calendar.ends)
    days = np.append(np.array(calendar.start_days, dtype=np.int64), 0)
    numbers = np.array([*calendar.shift_numbers, -1, -2])
    edges = np.concatenate(([0.0, horizon], starts, ends, overtime.starts, overtime.ends))
    edges = np.unique(np.clip(edges, 0.0, horizon))
    left = edges[:-1]
    i = np.searchsorted(starts, left, side="right") - 1
    begun = i >= 0
    is_open = begun & (left < np.append(ends, 0.0)[i])
    paused = begun & (numbers[i] == numbers[i + 1])
    extra = overtime.holds(left)
    state = np.where(is_open | extra, IDLE, np.where(paused, BREAK, OFF_SHIFT))
    return edges, state, extra, np.where(begun, days[i], -2)


def _laid_over(edges: Floats, begin: Floats, finish: Floats) -> tuple[Floats, Ints]:
    """Edges cut finer by spans of work, and of each part the number of the work in it, -1 if none."""
    horizon = edges[-1]
    finish = finish.copy()
    # An ending and the beginning that follows at once are the same minute but for rounding.
    touching = np.abs(begin[1:] - finish[:-1]) < SLIVER_MIN
    finish[:-1][touching] = begin[1:][touching]
    cuts = np.unique(np.clip(np.concatenate((edges, begin, finish)), 0.0, horizon))
    work = np.searchsorted(begin, cuts[:-1], side="right") - 1
    inside = (work >= 0) & (cuts[:-1] < np.append(finish, 0.0)[work])
    return cuts, np.where(inside, work, -1)


def _seat_tiles(
    hours: Intervals, held: Intervals, blocked: Intervals, worked: Intervals, horizon: float, seat: int
) -> tuple[Ints, list[Ints], Floats, Floats]:
    all_edges = [np.array([0.0, horizon])]
    for part in (hours, held, blocked, worked):
        all_edges += [part.starts, part.ends]
    cuts = np.unique(np.clip(np.concatenate(all_edges), 0.0, horizon))
    left = cuts[:-1]
    is_open = hours.holds(left)
    state = np.where(is_open, SEAT_IDLE, CLOSED)
    state = np.where(held.holds(left), SET_ASIDE, state)
    state = np.where(blocked.holds(left) & is_open, BLOCKED, state)
    state = np.where(worked.holds(left), BUSY, state)
    return _closed_up(cuts, [state], seat)


def _closed_up(cuts: Floats, values: list[Ints], owner: int) -> tuple[Ints, list[Ints], Floats, Floats]:
    """Join neighbours that are alike in all values."""
    changes = np.zeros(len(cuts) - 2, dtype=np.bool_)
    for value in values:
        changes |= value[1:] != value[:-1]
    kept = np.flatnonzero(np.append(True, changes))
    starts = cuts[:-1][kept]
    return np.full(len(kept), owner), [value[kept] for value in values], starts, np.append(starts[1:], cuts[-1])


def _stacked(
    parts: list[tuple[Ints, list[Ints], Floats, Floats]], values: int
) -> tuple[Ints, list[Ints], Floats, Floats]:
    if not parts:
        none = np.empty(0, dtype=np.int64)
        return none, [none] * values, np.empty(0), np.empty(0)
    owners, columns, starts, ends = zip(*parts, strict=True)
    return (
        np.concatenate(owners), [np.concatenate(column) for column in zip(*columns, strict=True)],
        np.concatenate(starts), np.concatenate(ends),
    )  # fmt: skip
