"""What several measures need of one run, worked out once and only when asked for: columns, hours, pieces of work."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from typing import Any, TypeVar

import numpy as np

from shopsim.floor.record import (
    CANCELLED_AFTER_PRINT,
    CANCELLED_BEFORE_PRINT,
    COLUMNS,
    DISPATCHED,
    KIND,
    STATES,
    TURNED_AWAY,
    RunLog,
)
from shopsim.measures.intervals import Bools, Floats, Intervals, Ints, Window, merged, of_calendar, summed, union
from shopsim.shop.scenario import Scenario
from shopsim.shop.skills import PRINTING, skill_for_calenders

PRINT_ROOM = "print room"
_Found = TypeVar("_Found")
_Values = TypeVar("_Values", Floats, Ints)
# What is the same whatever part of the run is looked at.
_WITHOUT_WINDOW = (
    "crew_of", "crew_sizes", "overtime_of", "crew_hours", "attended", "place_skills", "place_hours", "pieces",
    "side_work", "seat_place", "left", "cancelled", "turned_away", "line_area_m2", "printed_area_m2", "_absent_days",
    "_order_rows",
)  # fmt: skip


class Facts:
    """Records of one run with the scenario it ran; the window is [warm_up_min, horizon_min) unless given."""

    def __init__(self, log: RunLog, scenario: Scenario, window: Window | None = None) -> None:
        self.log = log
        self.scenario = scenario
        self.window = window or Window(log.warm_up_min, log.horizon_min)
        self._columns: dict[tuple[str, str], Floats] = {}
        self._codes: dict[tuple[str, str], Ints] = {}
        self._once: dict[Callable[[Facts], Any], Any] = {}

    def within(self, window: Window) -> Facts:
        """The facts of another window of the same run; what does not depend on the window is taken over."""
        other = Facts(self.log, self.scenario, window)
        other._columns, other._codes = self._columns, self._codes
        other.__dict__.update({name: self.__dict__[name] for name in _WITHOUT_WINDOW if name in self.__dict__})
        return other

    def once(self, work: Callable[[Facts], _Found]) -> _Found:
        """What `work` finds in these facts, worked out when first asked for; nobody may change it."""
        if work not in self._once:
            self._once[work] = work(self)
        found: _Found = self._once[work]
        return found

    # -- columns ------------------------------------------------------------------------------------------------------

    def column(self, table: str, name: str) -> Floats:
        """One column, contiguous; kept, because strided reads of a wide table cost more than the copy."""
        key = (table, name)
        found = self._columns.get(key)
        if found is None:
            found = self._columns[key] = _fixed(np.array(self.log.column(table, name)))
        return found

    def code(self, table: str, name: str) -> Ints:
        """One column of codes or numbers as integers."""
        key = (table, name)
        found = self._codes.get(key)
        if found is None:
            found = self._codes[key] = _fixed(self.column(table, name).astype(np.int64))
        return found

    def rows(self, table: str) -> int:
        """How many rows a table has."""
        return len(self.log.columns[table]) // len(COLUMNS[table])

    # -- hours --------------------------------------------------------------------------------------------------------

    @cached_property
    def crew_of(self) -> Ints:
        """Crew of each person."""
        return np.array([person.crew for person in self.log.people], dtype=np.int64)

    @cached_property
    def crew_sizes(self) -> Ints:
        """People of each crew."""
        return np.bincount(self.crew_of, minlength=len(self.log.crews))

    @cached_property
    def overtime_of(self) -> list[Intervals]:
        """Overtime agreed with each crew."""
        crew, start, end = (self.column("overtime", name) for name in ("crew", "start", "end"))
        return [merged(start[crew == i], end[crew == i]) for i in range(len(self.log.crews))]

    @cached_property
    def crew_hours(self) -> list[Intervals]:
        """When each crew works: its calendar and its overtime, breaks left out."""
        return [
            union([of_calendar(calendar), extra])
            for calendar, extra in zip(self.log.crew_calendars, self.overtime_of, strict=True)
        ]

    @cached_property
    def attended(self) -> Intervals:
        """When somebody looks after the printers, breaks included, overtime too."""
        extra = [self.overtime_of[i] for i, crew in enumerate(self.scenario.crews) if PRINTING in crew.skills]
        return union([of_calendar(self.log.attended), *extra])

    @cached_property
    def place_skills(self) -> list[str]:
        """The skill each place needs."""
        skills = {centre.id: centre.needed_skill for centre in self.scenario.work_centres}
        skills |= {drum.id: skill_for_calenders(self.scenario) for drum in self.scenario.calenders}
        return [skills.get(name, PRINTING) for name in self.log.places]

    @cached_property
    def place_hours(self) -> list[Intervals]:
        """When each place is open: when any able crew works, overtime too."""
        hours = []
        for skill, calendar in zip(self.place_skills, self.log.place_calendars, strict=True):
            able = [self.overtime_of[i] for i, crew in enumerate(self.scenario.crews) if skill in crew.skills]
            hours.append(union([of_calendar(calendar), *able]))
        return hours

    def open_min(self, place: int) -> float:
        """Minutes of the window in which a place is open."""
        return float(self.place_hours[place].minutes(self.window.start_min, self.window.end_min))

    # -- pieces of work -----------------------------------------------------------------------------------------------

    @cached_property
    def pieces(self) -> tuple[Ints, Floats, Floats]:
        """(row of `operations`, start, end) of the time really worked: without breaks, and for two people of different
        crews only while both are at work. Bought-in work has no person and so no pieces."""
        person, helper = self.code("operations", "person"), self.code("operations", "helper")
        start, end = self.column("operations", "start"), self.column("operations", "end")
        crew = np.where(person >= 0, self.crew_of[person], -1) if len(self.crew_of) else person
        partner = np.where(helper >= 0, self.crew_of[helper], crew) if len(self.crew_of) else helper
        parts = []
        for i, hours in enumerate(self.crew_hours):
            mine = np.flatnonzero(crew == i)
            row, begin, finish = hours.cut(start[mine], end[mine])
            parts.append((mine[row], begin, finish))
        row, begin, finish = _joined(parts)
        mixed = partner[row] != crew[row]
        if not mixed.any():
            return row, begin, finish
        parts = [(row[~mixed], begin[~mixed], finish[~mixed])]
        for i, hours in enumerate(self.crew_hours):
            mine = np.flatnonzero(mixed & (partner[row] == i))
            again, first, last = hours.cut(begin[mine], finish[mine])
            parts.append((row[mine[again]], first, last))
        return _joined(parts)

    @cached_property
    def worked(self) -> Floats:
        """Minutes of each piece inside the window."""
        _, start, end = self.pieces
        return self.window.clipped(start, end)

    @cached_property
    def side_work(self) -> Bools:
        """Which pieces are side work: nothing to do was the reason for them."""
        return np.asarray(self.code("operations", "kind")[self.pieces[0]] == KIND["side_work"])

    @cached_property
    def worked_by_person(self) -> Floats:
        """Minutes each person worked in the window, side work left out."""
        row = self.pieces[0]
        people = len(self.log.people)
        total = np.zeros(people)
        for name in ("person", "helper"):
            who = self.code("operations", name)[row]
            there = (who >= 0) & ~self.side_work
            total += summed(who[there], self.worked[there], people)
        return total

    @cached_property
    def seat_place(self) -> Ints:
        """The place whose seat an operation takes, -1 if none.

        A machine repair is booked at the place whose seat failed but takes a seat where the repairers work.
        """
        place, kind = self.code("operations", "place"), self.code("operations", "kind")
        seated = np.array([seats is not None for seats in self.log.place_seats], dtype=np.bool_)
        numbers = {name: i for i, name in enumerate(self.log.places)}
        repairs_at = np.arange(len(self.log.places))
        for centre in self.scenario.work_centres:
            if centre.stops is not None and centre.stops.repair_at is not None:
                repairs_at[numbers[centre.id]] = numbers[centre.stops.repair_at]
        at = np.where(kind == KIND["machine_repair"], repairs_at[place], place)
        return np.where(seated[at] & (self.column("operations", "seat") >= 0), at, -1)

    @cached_property
    def worked_by_place(self) -> Floats:
        """Seat minutes worked at each place in the window; two people at one seat count once. 0 without seats."""
        at = self.seat_place[self.pieces[0]]
        there = at >= 0
        return summed(at[there], self.worked[there], len(self.log.places))

    @cached_property
    def attended_by_crew(self) -> Floats:
        """Person-minutes each crew was there in the window in its regular hours, breaks left out."""
        totals = np.zeros(len(self.log.crews))
        absent = self._absent_days
        for i, calendar in enumerate(self.log.crew_calendars):
            inside = self.window.clipped(np.array(calendar.starts), np.array(calendar.ends))
            # A night shift of the Sunday before the start began on day -1.
            days = np.array(calendar.start_days, dtype=np.int64) + 1
            away = np.bincount(absent[i] + 1, minlength=int(days.max(initial=0)) + 1)
            totals[i] = np.sum(inside * (self.crew_sizes[i] - away[days]))
        return totals

    @cached_property
    def _absent_days(self) -> list[Ints]:
        person, day = self.code("absences", "person"), self.code("absences", "day")
        crew = self.crew_of[person] if len(person) else person
        return [day[crew == i] for i in range(len(self.log.crews))]

    @cached_property
    def overtime_by_crew(self) -> Floats:
        """Person-minutes of overtime of each crew in the window."""
        inside = self.window.clipped(self.column("overtime", "start"), self.column("overtime", "end"))
        return summed(self.code("overtime", "crew"), inside * self.column("overtime", "people"), len(self.log.crews))

    # -- printers -----------------------------------------------------------------------------------------------------

    @cached_property
    def printer_minutes(self) -> tuple[Floats, Floats]:
        """Minutes of each printer (row) in each state (column) in the window: while attended, and while not."""
        start, end = self.column("printer_states", "start"), self.column("printer_states", "end")
        start, end = np.maximum(start, self.window.start_min), np.minimum(end, self.window.end_min)
        end = np.maximum(start, end)
        there = self.attended.minutes(start, end)
        shape = (len(self.log.printers), len(STATES))
        cell = self.code("printer_states", "printer") * len(STATES) + self.code("printer_states", "state")
        size = shape[0] * shape[1]
        with_hands = summed(cell, there, size).reshape(shape)
        alone = summed(cell, end - start - there, size).reshape(shape)
        return with_hands, alone

    # -- orders -------------------------------------------------------------------------------------------------------

    @cached_property
    def left(self) -> Floats:
        """When each order left the shop: dispatched, cancelled, turned away at once; infinity if inside at the end."""
        ended = self.column("orders", "ended")
        return np.where(ended < self.log.horizon_min, ended, np.inf)

    @cached_property
    def dispatched(self) -> Bools:
        """Which orders were dispatched inside the window."""
        return np.asarray((self.column("orders", "ending") == DISPATCHED) & self.window.holds(self.left))

    @cached_property
    def cancelled(self) -> Bools:
        """Which orders were cancelled before the end."""
        ending = self.column("orders", "ending")
        return np.asarray((ending == CANCELLED_BEFORE_PRINT) | (ending == CANCELLED_AFTER_PRINT))

    @cached_property
    def turned_away(self) -> Bools:
        """Which orders were turned away because the shop was full."""
        return np.asarray(self.column("orders", "ending") == TURNED_AWAY)

    @cached_property
    def line_area_m2(self) -> Floats:
        """Finished area of one piece of each order line."""
        return self.column("lines", "width_m") * self.column("lines", "height_m")

    def order_row(self, orders: Ints) -> Ints:
        """Row in `orders` of each order number (orders are written as they leave, not as they come)."""
        return self._order_rows[orders]

    @cached_property
    def _order_rows(self) -> Ints:
        numbers = self.code("orders", "order")
        rows = np.full(int(numbers.max(initial=-1)) + 1, -1)
        rows[numbers] = np.arange(len(numbers))
        return rows

    @cached_property
    def printed_area_m2(self) -> Floats:
        """Finished area of each row of `prints`."""
        bundle = self.code("prints", "bundle")
        order, line = self.code("bundles", "order")[bundle], self.code("bundles", "line")[bundle]
        first = np.full(int(self.column("lines", "order").max(initial=-1)) + 2, 0)
        rows = self.code("lines", "order")
        np.add.at(first, rows + 1, 1)
        start = np.cumsum(first)
        return self.line_area_m2[start[order] + line] * self.column("prints", "pieces")


def _fixed(values: _Values) -> _Values:
    """Values that many measures share; whoever changes them in place is told so."""
    values.flags.writeable = False
    return values


def _joined(parts: list[tuple[Ints, Floats, Floats]]) -> tuple[Ints, Floats, Floats]:
    if not parts:
        return np.empty(0, dtype=np.int64), np.empty(0), np.empty(0)
    row, start, end = (np.concatenate(column) for column in zip(*parts, strict=True))
    order = np.lexsort((start, row))
    return row[order], start[order], end[order]
