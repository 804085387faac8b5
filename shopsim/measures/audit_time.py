"""The books of time: spans tile the horizon, nobody and no seat is used twice at once, nobody works outside hours."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from shopsim.clock import SLIVER_MIN
from shopsim.floor.record import KIND
from shopsim.measures.facts import Facts
from shopsim.measures.intervals import Bools, Floats, Ints
from shopsim.measures.spans import ABSENT, OFF_SHIFT, person_spans_of, seat_holds, seat_spans_of


def audit_printers(facts: Facts) -> Iterator[str]:
    """Printer states tile the horizon, span by span."""
    owner = facts.code("printer_states", "printer")
    start, end = facts.column("printer_states", "start"), facts.column("printer_states", "end")
    yield from _tiling("printer", facts.log.printers, owner, start, end, facts.log.horizon_min)


def audit_people(facts: Facts) -> Iterator[str]:
    """People: spans tile, one place at a time, never outside hours and overtime, never on a day of absence."""
    log = facts.log
    names = [person.name for person in log.people]
    spans = person_spans_of(facts)
    yield from _tiling("person", names, spans.person, spans.start, spans.end, log.horizon_min)
    yield from _twice("person", names, *_tasks_of_people(facts))
    row, start, end = facts.pieces
    done = np.bincount(row, end - start, minlength=facts.rows("operations"))
    inside = facts.column("operations", "kind") != KIND["bought_in"]
    missing = np.abs(done - facts.column("operations", "worked_min"))[inside]
    if (missing > SLIVER_MIN).any():
        yield f"people: {int((missing > SLIVER_MIN).sum())} stretches of work are not the open minutes they span"
    yield from _absent_at_work(facts)
    yield from _overtime(facts)


def audit_seats(facts: Facts) -> Iterator[str]:
    """Seats: spans tile, and no seat holds two tasks at once."""
    log = facts.log
    place, seat, taken, given_back = facts.once(seat_holds)
    most = max([seats or 0 for seats in log.place_seats], default=0) + 1
    names = [f"{name} {seat + 1}" for name in log.places for seat in range(most)]
    yield from _twice("seat", names, place * most + seat, taken, given_back)
    seats = np.array([count or 0 for count in log.place_seats])
    if len(place) and (seat >= seats[place]).any():
        yield "seats: some work sits on a seat its place does not have"
    spans = seat_spans_of(facts)
    yield from _tiling("seat", names, spans.place * most + spans.seat, spans.start, spans.end, log.horizon_min)


def _tiling(kind: str, names: Sequence[str], owner: Ints, start: Floats, end: Floats, horizon: float) -> Iterator[str]:
    order = np.lexsort((start, owner))
    owner, start, end = owner[order], start[order], end[order]
    first = np.append(True, owner[1:] != owner[:-1])[: len(owner)]
    last = np.append(first[1:], True)[: len(owner)]
    expected = np.where(first, 0.0, np.append(0.0, end[:-1])[: len(end)])
    wrong = (start != expected) | (end <= start) | (last & (end != horizon))
    for i in np.unique(owner[wrong]).tolist():
        yield f"{kind} {names[i]}: the spans do not tile the horizon"


def _twice(kind: str, names: Sequence[str], owner: Ints, start: Floats, end: Floats) -> Iterator[str]:
    order = np.lexsort((end, start, owner))
    owner, start, end = owner[order], start[order], end[order]
    clash = (owner[1:] == owner[:-1]) & (start[1:] < end[:-1] - SLIVER_MIN)
    for i in np.flatnonzero(clash)[:3].tolist():
        yield f"{kind} {names[int(owner[i])]}: used twice at once at minute {start[i + 1]:.3f}"


def _tasks_of_people(facts: Facts) -> tuple[Ints, Floats, Floats]:
    start, end = facts.column("operations", "start"), facts.column("operations", "end")
    person, helper = facts.code("operations", "person"), facts.code("operations", "helper")
    who = np.concatenate((person, helper))
    real = who >= 0
    return who[real], np.concatenate((start, start))[real], np.concatenate((end, end))[real]


def _absent_at_work(facts: Facts) -> Iterator[str]:
    row, start, end = facts.pieces
    for name in ("person", "helper"):
        who = facts.code("operations", name)[row]
        for person, day in zip(facts.code("absences", "person"), facts.code("absences", "day"), strict=True):
            mine = who == person
            if mine.any() and _in_shift_of(facts, int(person), int(day), start[mine], end[mine]).any():
                yield f"person {facts.log.people[person].name}: at work though absent on day {day}"


def _in_shift_of(facts: Facts, person: int, day: int, start: Floats, end: Floats) -> Bools:
    """Which pieces of work lie in the shift that began on a day, or in the overtime that follows it at once."""
    crew = facts.log.people[person].crew
    calendar, overtime = facts.log.crew_calendars[crew], facts.overtime_of[crew]
    starts, ends = np.array(calendar.starts), np.array(calendar.ends)
    mine = np.array(calendar.start_days) == day
    follows = np.isin(overtime.starts, ends[mine])
    opens = np.concatenate((starts[mine], overtime.starts[follows]))
    closes = np.concatenate((ends[mine], overtime.ends[follows]))
    overlap = np.minimum(end[:, None], closes[None, :]) - np.maximum(start[:, None], opens[None, :])
    return np.asarray((overlap > SLIVER_MIN).any(axis=1))


def _overtime(facts: Facts) -> Iterator[str]:
    """Overtime paid for must be that of the people whose spans show it."""
    spans = person_spans_of(facts)
    crew = facts.crew_of[spans.person] if len(spans.person) else spans.person
    there = spans.overtime & (spans.state != ABSENT) & (spans.state != OFF_SHIFT)
    shown = np.bincount(crew[there], (spans.end - spans.start)[there], minlength=len(facts.log.crews))
    start, end = facts.column("overtime", "start"), facts.column("overtime", "end")
    inside = np.maximum(np.minimum(end, facts.log.horizon_min) - start, 0.0) * facts.column("overtime", "people")
    booked = np.bincount(facts.code("overtime", "crew"), inside, minlength=len(facts.log.crews))
    for name, one, other in zip(facts.log.crews, shown.tolist(), booked.tolist(), strict=True):
        if abs(one - other) > SLIVER_MIN * max(1.0, other):
            yield f"crew {name}: {other:.3f} person-minutes of overtime booked, {one:.3f} in the spans"
