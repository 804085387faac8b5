"""Start reading here: `simulate(scenario, order_lines, replication)` runs one shop once and returns its records.

It draws the orders, sets up the floor (crews, stations, print room), plans what comes first (shifts, arrivals,
dispatch), runs to the horizon and closes the log. The horizon is half-open: what would happen at the last minute does
not.
"""

from __future__ import annotations

import gc
import itertools
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import lru_cache, partial

import simpy

from shopsim.calendars import Calendar, union
from shopsim.clock import MINUTES_PER_WEEK
from shopsim.floor.attendance import Attendance
from shopsim.floor.calender import CalenderLine, DrumStation
from shopsim.floor.dispatch import Dispatch
from shopsim.floor.draws import ReplicationDraws
from shopsim.floor.fleets import FleetOut, fleet_name
from shopsim.floor.flow import Flow
from shopsim.floor.hours import Hours, OvertimeDesk
from shopsim.floor.interrupts import InterruptedStation
from shopsim.floor.listed_print import PrinterList
from shopsim.floor.listed_station import ListedStation
from shopsim.floor.order_table import OrderDraw, OrderMaker
from shopsim.floor.orders import Intake, Order, Receipt
from shopsim.floor.people import Crew, make_crew
from shopsim.floor.print_room import PrintRoom
from shopsim.floor.printer import PrinterProcess
from shopsim.floor.record import RunLog
from shopsim.floor.rooms import RoomFlow, RoomStation
from shopsim.floor.routes import ProductPlan
from shopsim.floor.side_work import SideWorkCrew
from shopsim.floor.stations import Station
from shopsim.floor.timing import run_to
from shopsim.floor.turns import PlannedLists
from shopsim.shop.order_book import OrderLine
from shopsim.shop.people import Shift
from shopsim.shop.scenario import Scenario
from shopsim.shop.skills import HELPER, PRINTING, skill_for_calenders
from shopsim.shop.work_centres import WorkCentre

_REACH_MIN = 4 * MINUTES_PER_WEEK


def simulate(scenario: Scenario, order_lines: Sequence[OrderLine] = (), replication: int = 0) -> RunLog:
    """Run a checked scenario once.

    The same scenario, order lines, seed (`scenario.study.seed`) and replication give identical records.
    """
    with no_collection():
        floor = Floor(scenario, order_lines, replication)
        floor.run_to_end()
    return floor.log


@contextmanager
def no_collection() -> Iterator[None]:
    """Without Python's search for cycles, which finds nothing to free in a run."""
    gc_was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if gc_was_on:
            gc.enable()


class Floor:
    """Everything on the floor in one replication, and the counters all share.

    Without `starts` nothing happens on it until a state is put into it (`snapshot`).
    """

    def __init__(
        self, scenario: Scenario, order_lines: Sequence[OrderLine], replication: int, starts: bool = True,
        starts_min: float = 0.0,
    ) -> None:  # fmt: skip
        self.scenario = scenario
        self.env = simpy.Environment(starts_min)
        self.log = RunLog(scenario.horizon_min, scenario.warm_up_min, scenario.study.seed, replication)
        self.draws = ReplicationDraws(scenario.study.seed, replication, starts_min)
        self.lifts_free = scenario.policies.lifts
        self.reprints_first = scenario.policies.printing.reprints_first
        self.rush_first = scenario.policies.printing.rush_first
        self.open_orders: dict[int, Order] = {}
        # Running numbers, for tasks and for orders in order of receipt.
        self.next_task_number = itertools.count(1).__next__
        self.next_order_number = itertools.count().__next__
        self.crews = self._hire_crews()
        self._listed = {each.at: each.orders for each in scenario.policies.sequences}
        self.lists = PlannedLists() if self._listed else None
        self.stations: dict[str, Station] = {}
        self.rooms: list[RoomStation] = []
        self._set_up_stations()
        self.dispatch = Dispatch(self)
        self.flow = RoomFlow(self) if self.rooms else Flow(self)
        self.print_room: PrintRoom | None = self._set_up_print_room() if scenario.printers else None
        self._man_stations()
        self.plans = self._make_plans()
        self.intake = Intake(self)
        self.fleets = [FleetOut(self, i, fleet) for i, fleet in enumerate(scenario.demand.hire_fleets)]
        self.receipt = Receipt(self, self._make_orders(OrderMaker(scenario, order_lines, self.draws)))
        self.hours = [Hours(self.env, crew) for crew in self.crews]
        rules = {name: rule for rule in scenario.policies.overtime for name in rule.crews}
        self.overtime = {
            crew.index: OvertimeDesk(self.env, crew, rules[crew.model.id], self.log)
            for crew in self.crews
            if crew.model.id in rules
        }
        if starts:
            self._start()

    # -- setting up ---------------------------------------------------------------------------------------------------

    def _hire_crews(self) -> list[Crew]:
        shifts: dict[str, Shift] = self.scenario.by_id("shifts")
        # Beyond the horizon, so that work in progress at the end has a known end.
        reach_min = self.scenario.horizon_min + _REACH_MIN
        calendars = {name: _laid_out(shift, reach_min, self.scenario.closed_days) for name, shift in shifts.items()}
        crews = []
        for i, model in enumerate(self.scenario.crews):
            shift = shifts[model.shift]
            new = partial(SideWorkCrew, self) if model.side_work is not None else Crew
            crews.append(make_crew(i, model, shift, calendars[model.shift], self.log, self.draws, new))
        self.log.crews = [crew.model.id for crew in crews]
        self.log.crew_calendars = [crew.calendar for crew in crews]
        self.log.fabrics = [fabric.id for fabric in self.scenario.fabrics]
        self.log.products = [product.id for product in self.scenario.products]
        self.log.printers = [printer.id for printer in self.scenario.printers]
        return crews

    def _add_place(self, name: str, seats: int | None) -> int:
        self.log.places.append(name)
        self.log.place_seats.append(seats)
        self.log.place_calendars.append(None)
        return len(self.log.places) - 1

    def _set_up_stations(self) -> None:
        any_room = any(model.room_before_bundles is not None for model in self.scenario.work_centres)
        for model in self.scenario.work_centres:
            place = self._add_place(model.id, model.seats)
            station = self._make_room(model, place) if any_room else self._make_station(model, place)
            if model.stops is not None:
                station.add_stops(model.stops, self.draws)
            self.stations[model.id] = station
        for drum in self.scenario.calenders:
            skill = skill_for_calenders(self.scenario)
            place = self._add_place(drum.id, drum.count)
            self.stations[drum.id] = DrumStation(self, drum, place, skill)
        self.print_place = self._add_place("print room", None)
        self.hands = Station(self, "print room", self.print_place, PRINTING, None, "first_come")

    def _make_station(self, model: WorkCentre, place: int) -> Station:
        if model.interrupted_by != "nothing":
            return InterruptedStation(self, model, place)
        orders = self._listed.get(model.id)
        as_said = (self, model.id, place, model.needed_skill, model.seats, model.queue_rule, model.change_over_min)
        if self.lists is None or orders is None:
            return Station(*as_said)
        station = ListedStation(*as_said, orders)
        self.lists.turns.append(station.turns)
        return station

    def _make_room(self, model: WorkCentre, place: int) -> Station:
        station = RoomStation(self, model.id, place, model.needed_skill, model.seats, model.queue_rule,
                              model.change_over_min, model.room_before_bundles)  # fmt: skip
        self.rooms.append(station)
        return station

    def _set_up_print_room(self) -> PrintRoom:
        room = PrintRoom(self, self.attendance())
        self._stock(room)
        room.calenders = {
            model.id: CalenderLine(self, model, self.stations[model.id]) for model in self.scenario.calenders
        }
        room.printers = [PrinterProcess(self, room, i, model) for i, model in enumerate(self.scenario.printers)]
        for i, printer in enumerate(room.printers):
            if self.lists is not None and printer.model.id in self._listed:
                listed = room.lists[i] = PrinterList(self._listed[printer.model.id])
                listed.turns.on_next = printer.wake
                self.lists.turns.append(listed.turns)
        return room

    def attendance(self) -> Attendance:
        """Who looks after the printers, and when, as far as absences are known."""
        printing = [crew for crew in self.crews if PRINTING in crew.model.skills]
        attendance = Attendance(printing, self._may_stay_on())
        self.log.attended = attendance.calendar
        return attendance

    def _may_stay_on(self) -> set[str]:
        """The crews that may have overtime."""
        return {name for rule in self.scenario.policies.overtime for name in rule.crews}

    def _stock(self, room: PrintRoom) -> None:
        """Shelves open with the stock of the scenario."""
        for shelf in room.shelves:
            shelf.order_if_low()

    def _make_orders(self, maker: OrderMaker) -> list[OrderDraw]:
        """The orders still to come."""
        return maker.make()

    def _man_stations(self) -> None:
        """Tell stations who can work there (home crews first, then the most skilled), and crews where to look first."""
        for station in [*self.stations.values(), self.hands]:
            able = [crew for crew in self.crews if station.skill in crew.model.skills]
            able.sort(key=lambda crew: self._preference(crew, station))
            station.crews = able
            station.helpers = [
                c for c in self.crews if HELPER in c.model.skills and station.skill not in c.model.skills
            ]
            if able:
                station.calendar = _union(tuple(dict.fromkeys(crew.calendar for crew in able)))
            station.manned()
            self.log.place_calendars[station.place] = station.calendar
            for crew in station.helpers:
                crew.helped.append(station)
        for crew in self.crews:
            mine = [s for s in [self.hands, *self.stations.values()] if s.skill in crew.model.skills]
            by_skill = [[s for s in mine if s.skill == skill] for skill in crew.model.skills]
            crew.places = [places for places in by_skill if places]

    def _make_plans(self) -> list[ProductPlan]:
        """One plan a product, then one a hire fleet."""
        products = self.scenario.products
        numbers = {product.id: i for i, product in enumerate(products)}
        named = [(i, product.id) for i, product in enumerate(products)]
        named += [
            (numbers[fleet.product], fleet_name(number, fleet))
            for number, fleet in enumerate(self.scenario.demand.hire_fleets)
        ]
        return [ProductPlan(i, products[i], self.scenario, self.stations, self.draws, name) for i, name in named]

    @staticmethod
    def _preference(crew: Crew, station: Station) -> tuple[int, int, int]:
        skills = list(crew.model.skills)
        return (skills.index(station.skill), -crew.model.skills[station.skill], len(skills))

    def _start(self) -> None:
        for fleet in self.fleets:
            fleet.start()
        self.receipt.start()
        for station in self.stations.values():
            if isinstance(station, DrumStation | InterruptedStation):
                station.start()
        for crew, hours in zip(self.crews, self.hours, strict=True):
            hours.start()
            if crew.index in self.overtime:
                self.overtime[crew.index].start()
        if self.print_room is not None:
            for printer in self.print_room.printers:
                self._start_printer(printer)

    def _start_printer(self, printer: PrinterProcess) -> None:
        printer.go_on()

    # -- shared by all ------------------------------------------------------------------------------------------------

    def return_lift(self) -> None:
        """A lift is free again: whoever waits for one may start."""
        self.lifts_free += 1
        if self.hands.waiting:
            self.hands.pull(self.env.now)

    def working_days_later(self, days: float) -> float:
        """The same time of day, so many working days on."""
        return self.dispatch.working_days_later(days)

    def shared_hours(self, one: Crew, other: Crew, now: float) -> list[tuple[float, float]]:
        """Intervals from `now` on in which both crews' present shifts (or agreed overtime) are open."""
        return _overlaps(_hours_left(one, now), _hours_left(other, now))

    def forget(self, order: Order) -> None:
        """An order has left: nothing on the floor refers to it any more."""
        self.open_orders.pop(order.number, None)
        # Order and lines refer to each other; cut apart they are freed at once and their memory is used again.
        order.lines.clear()

    # -- the end ------------------------------------------------------------------------------------------------------

    def run_to_end(self) -> None:
        """Let happen what comes before the horizon, and close."""
        run_to(self.env, self.scenario.horizon_min)
        self.close()

    def close(self) -> None:
        """Close spans, write the orders still inside, and count what is left."""
        left, horizon = self.log.leftover, self.log.horizon_min
        for order in self.open_orders.values():
            left.pieces_inside += order.left
            self.dispatch.book_inside(order)
        for room in self.rooms:
            room.close_waits()
        if self.intake.limit is not None:
            self.intake.limit.close()
        for station in self.stations.values():
            if isinstance(station, InterruptedStation):
                station.close()
        if self.print_room is None:
            return
        for printer in self.print_room.printers:
            printer.close_span(horizon)
        for shelf in self.print_room.shelves:
            left.stock_m[shelf.index] = shelf.metres()
            left.mounted_m[shelf.index] = sum(
                printer.roll.left_m
                for printer in self.print_room.printers
                if printer.roll is not None and printer.roll.fabric == shelf.index
            )


# Calendars never change: those of one shop serve all its replications, and all futures from one state.
@lru_cache(maxsize=256)
def _laid_out(shift: Shift, reach_min: float, closed_days: frozenset[int]) -> Calendar:
    return shift.calendar(reach_min, closed_days)


@lru_cache(maxsize=256)
def _union(calendars: tuple[Calendar, ...]) -> Calendar:
    return union(calendars)


def _hours_left(crew: Crew, now: float) -> list[tuple[float, float]]:
    if now < crew.overtime_until:
        return [(now, crew.overtime_until)]
    calendar, hours = crew.calendar, []
    end = calendar.shift_end(now)
    at = now
    while at < end:
        stop = calendar.stretch_end(at)
        hours.append((at, stop))
        at = calendar.next_open(stop) if stop < end else end
    return hours


def _overlaps(one: list[tuple[float, float]], other: list[tuple[float, float]]) -> list[tuple[float, float]]:
    both = [(max(a, c), min(b, d)) for a, b in one for c, d in other]
    return [(start, end) for start, end in sorted(both) if start < end]
