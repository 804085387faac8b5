"""A shop simulated from a morning on: open orders where they are, rolls, people and machines as told, the rest as ever.

The clock is the scenario's own, so calendars, rotations and closures fall where they fall; what lay before is empty.
The run ends when the open orders and requests have left, so that many futures take seconds.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from shopsim.calendars import Calendar
from shopsim.clock import MINUTES_PER_DAY, MINUTES_PER_WEEK, minute_of, parse_clock
from shopsim.floor.failures import Failures
from shopsim.floor.hours import AgreedOvertime
from shopsim.floor.order_table import OrderDraw, OrderMaker, minute_of_moment
from shopsim.floor.orders import Order
from shopsim.floor.people import Crew, absent_days
from shopsim.floor.place_today import Placing
from shopsim.floor.print_room import PrintRoom
from shopsim.floor.printer import PrinterProcess
from shopsim.floor.record import RunLog
from shopsim.floor.run import Floor, no_collection
from shopsim.floor.today_orders import TodayOrders, names_to_come
from shopsim.shop.order_book import OrderLine
from shopsim.shop.scenario import Scenario
from shopsim.shop.today_model import PrinterToday, SeatsDown
from shopsim.shop.today_start import Start

# Events of this priority come before all others of their minute, so that the end is half-open like a horizon.
_BEFORE_ALL = 0
_AFTER_THE_LAST_MIN = 0.5
# Rolls announced for a day are there when it begins.
_ROLLS_COME = "08:00"


def simulate_from(
    scenario: Scenario, order_lines: Sequence[OrderLine], replication: int, start: Start
) -> RunLog:  # fmt: skip
    """Run a checked scenario once from a morning that fits it, until its open orders and requests have left.

    Orders are numbered from 0: the open ones as they stand in the file, then requests, then those still to come. The
    window of the records begins now. Equal arguments give identical records.
    """
    with no_collection():
        floor = TodayFloor(scenario, order_lines, replication, start)
        floor.run_to_end()
    return floor.log


class TodayFloor(Floor):
    """A floor whose minute of beginning is now."""

    def __init__(self, scenario: Scenario, order_lines: Sequence[OrderLine], replication: int, start: Start) -> None:
        self.start = start
        self.today = start.today
        self.now_min = start.now_min(scenario)
        self._lines = order_lines
        self._inside = len(start.watched)
        self._last_out = max(start.runs_until, self.now_min)
        super().__init__(scenario, order_lines, replication, starts_min=self.now_min)
        self.log.warm_up_min = self.now_min
        if not start.watched:
            self._end_at(self._last_out)

    # -- people -------------------------------------------------------------------------------------------------------

    def _hire_crews(self) -> list[Crew]:
        crews = super()._hire_crews()
        del self.log.columns["absences"][:]
        away = dict.fromkeys((crew.model.id for crew in crews), 0)
        back: dict[str, list[int | None]] = {name: [] for name in away}
        for told in self.today.absent:
            day = None if told.back is None else self._day(told.back)
            back[told.crew] += [day] * told.people
        for crew in crews:
            self._absences(crew, back[crew.model.id])
        return crews

    def _day(self, date: Any) -> int:
        return int(minute_of(date, self.scenario.shop.starts) // MINUTES_PER_DAY)

    def _absences(self, crew: Crew, back: list[int | None]) -> None:
        """Those told to be away come back as told or drawn; who is here today may fall ill from the next day on."""
        today = _day_of_shift(crew.calendar, self.now_min)
        absence = None if _round_the_clock(self.scenario, crew) else crew.model.absence
        for i, person in enumerate(crew.members):
            name = f"people/{crew.model.id}/{i}"
            first = today + 1
            away: set[int] = set()
            if i < len(back):
                told = back[i]
                if told is None:
                    spell = 1.0 if absence is None else absence.spell_days.sample(
                        self.draws.generator(f"{name}/away today"), 1).item()  # fmt: skip
                    told = today + max(1, math.ceil(spell))
                first = told
                away = {day for day in crew.calendar.start_days if today <= day < told}
            away |= absent_days(name, absence, crew.calendar, self.draws, first)
            crew.absent_days[i] = away
            for day in sorted(away):
                self.log.columns["absences"].extend((person.index, day))

    def _may_stay_on(self) -> set[str]:
        return super()._may_stay_on() | {agreed.crew for agreed in self.today.overtime}

    # -- cloth and printers -------------------------------------------------------------------------------------------

    def _stock(self, room: PrintRoom) -> None:
        comes = parse_clock(_ROLLS_COME)
        for shelf in room.shelves:
            cloth = [told for told in self.today.cloth if told.fabric == shelf.model.id]
            if cloth:
                lots = sorted((told.lot, told.full_rolls, told.remnants_m) for told in cloth)
                shelf.recount(lots)
            for arriving in (each for told in cloth for each in told.arriving):
                at = minute_of(arriving.on, self.scenario.shop.starts, comes)
                shelf.expect(arriving.rolls, max(at, self.now_min))
            shelf.order_if_low()

    def _start(self) -> None:
        self.over = self.env.event()
        self.over._ok, self.over._value = True, None
        self._end_at(self.scenario.horizon_min)
        self._place_orders()
        super()._start()
        for crew in self.crews:
            minutes = {self._day(told.on): told.minutes for told in self.today.overtime if told.crew == crew.model.id}
            if minutes:
                AgreedOvertime(self.env, crew, minutes, self.log).start()
        for seats in self.today.down:
            self._stand(seats)

    def run_to_end(self) -> None:
        """Let happen what comes before the orders that are watched have left, and close."""
        self.env.run(until=self.over)
        self.log.horizon_min = self.env.now
        self.close()

    def _start_printer(self, printer: PrinterProcess) -> None:
        told = next((each for each in self.today.printers if each.printer == printer.model.id), None)
        set_up_printer(self, printer, told)
        down = -1.0 if told is None or told.down_until is None else self._minute(told.down_until)
        if down > self.now_min:
            _go_down(printer, down)
        else:
            printer.go_on()

    def _minute(self, moment: Any) -> float:
        return minute_of_moment(moment, self.scenario.shop.starts)

    def _stand(self, told: SeatsDown) -> None:
        """Seats whose machines are under repair."""
        station = self.stations[told.place]
        until = self._minute(told.until)
        for seat in station.free_seats[-told.seats :]:
            station.stand_until(seat, max(until, self.now_min))

    # -- orders -------------------------------------------------------------------------------------------------------

    def _make_orders(self, maker: OrderMaker) -> list[OrderDraw]:
        opened, to_come, requests = TodayOrders(self.scenario, maker, self.draws, self.start).make()
        self._to_place = [*opened, *requests]
        return to_come

    def _place_orders(self) -> None:
        placing = Placing(self)
        entered = [self.intake.enter(draw) for draw in self._to_place]
        if self.lists is not None:
            known = {draw.name for draw in self._to_place}
            self.lists.only(known | names_to_come(self._lines, self.start, self.scenario))
        for order, told in zip(entered, self.start.orders, strict=True):
            placing.order(order, told)
        placing.finish()

    def forget(self, order: Order) -> None:
        """As ever; once the last order that is watched has been booked, the run ends when it has left."""
        super().forget(order)
        if order.number in self.start.watched:
            self._inside -= 1
            self._last_out = max(self._last_out, self.env.now)
            if order.complete >= 0.0:
                self._last_out = max(self._last_out, self.dispatch.leaves(order.complete))
            if not self._inside:
                self._end_at(self._last_out)

    def _end_at(self, minute: float) -> None:
        end = min(minute + _AFTER_THE_LAST_MIN, self.scenario.horizon_min)
        self.env.schedule(self.over, _BEFORE_ALL, end - self.env.now)  # type: ignore[arg-type]


def set_up_printer(floor: TodayFloor, printer: PrinterProcess, told: PrinterToday | None) -> None:
    """Roll, plate, mode, checks and clocks of a printer as they are now."""
    now, attendance, room = floor.now_min, printer.room.attendance, printer.room
    if told is not None and told.fabric is not None and told.metres_left is not None:
        shelf = next(shelf for shelf in room.shelves if shelf.model.id == told.fabric)
        printer.roll = shelf.mount(told.lot, told.metres_left)
    if told is not None and told.slow and printer.model.nozzle_check is not None:
        printer.nozzles.slow = True
        printer.nozzles.speed_share = printer.model.nozzle_check.slow_speed_share
    if told is not None and told.mode is not None:
        printer.mode = told.mode
    at_work = attendance.until(now) > now
    since = attendance.calendar.shift_start(now) if attendance.calendar.is_open(now) else now
    plate = told.plate if told is not None else None
    runs = told is None or told.down_until is None
    hot = plate == "hot" or (plate is None and runs and at_work and now - since >= printer._warm_up_min)
    if hot or (plate is None and runs and printer.model.hot_overnight):
        printer.hot = True
        if printer.roll is not None:
            printer.plate_c = floor.scenario.fabrics[printer.roll.fabric].plate_c
    if hot and at_work:
        printer._shift_key = attendance.shift_key(now)
        printer.nozzles.due = False
    _care_done(printer, now)
    last = told.last_printed if told is not None else None
    if last is not None:
        printer.nozzles._last_ran = floor._minute(last)
    elif hot and at_work:
        printer.nozzles._last_ran = now
    _clocks(floor, printer, told)


def _care_done(printer: PrinterProcess, now: float) -> None:
    """Daily and weekly care are done when the first shift of the day and of the week begins."""
    day, week = int(now // MINUTES_PER_DAY), int(now // MINUTES_PER_WEEK)
    attendance = printer.room.attendance
    if attendance.next_shift(day * MINUTES_PER_DAY - 1.0) < now:
        printer._care_day = day
    if attendance.next_shift(week * MINUTES_PER_WEEK - 1.0) < now:
        printer._care_week = week


def _clocks(floor: TodayFloor, printer: PrinterProcess, told: PrinterToday | None) -> None:
    failures: Failures | None = printer.stops.failures
    if failures is not None and told is not None and told.ran_h is not None:
        failures.has_lived(told.ran_h * 60, floor.now_min)
    every = printer.model.care.service_every_days
    if told is not None and told.service_on is not None:
        printer._service_at = minute_of(told.service_on, floor.scenario.shop.starts)
    elif every is not None:
        # The rhythm since the scenario's start.
        printer._service_at = math.ceil(floor.now_min / MINUTES_PER_DAY / every) * every * MINUTES_PER_DAY


def _go_down(printer: PrinterProcess, until: float) -> None:
    """A printer is under repair until then, as good as new afterwards; a cold plate is switched on only then."""
    printer.enter("breakdown")
    printer.wait(until - printer.env.now)
    if printer.stops.failures is not None:
        printer.then(printer.stops._repaired, until)
    printer.then(printer.stops._is_up)


def _day_of_shift(calendar: Calendar, now: float) -> int:
    """The day whose absences are known: that of the shift in progress, else today's."""
    for start, end, day in zip(calendar.starts, calendar.ends, calendar.start_days, strict=True):
        if start <= now < end:
            return day
        if start > now:
            break
    return int(now // MINUTES_PER_DAY)


def _round_the_clock(scenario: Scenario, crew: Crew) -> bool:
    return bool(scenario.by_id("shifts")[crew.model.shift].round_the_clock)
