"""What somebody who walks through the shop could tell of it: the readable state of a running floor, as `Today`.

It says less than the floor knows: no luck still to come, no fault nobody has seen, no minute of a set-up in progress.
Complete orders that wait for the collection are left out, for nothing can happen to them.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator, Sequence
from functools import partial
from typing import Any

from shopsim.clock import MINUTES_PER_DAY, date_of
from shopsim.floor.gangs import Job, Portion
from shopsim.floor.interrupts import InterruptedStation
from shopsim.floor.orders import Bundle, Line, Order
from shopsim.floor.printer import PrinterProcess
from shopsim.floor.record import COLUMNS, KIND, STATE
from shopsim.floor.rooms import RoomStation
from shopsim.floor.run import Floor, no_collection
from shopsim.floor.seat_repairs import SeatRepairs
from shopsim.floor.stations import Station
from shopsim.floor.tasks import Task
from shopsim.floor.timing import Pending, pending
from shopsim.shop.order_book import OrderLine
from shopsim.shop.scenario import Scenario
from shopsim.shop.today_model import (
    AbsentToday,
    AgreedOvertime,
    Arriving,
    ClothToday,
    OpenLine,
    OpenOrder,
    PrinterToday,
    SeatsDown,
    Today,
    Whereabouts,
)
from shopsim.shop.today_words import CALENDER, PRINT, PRINTED, PRINTING, word_of_step

_SECOND_MIN = 1 / 60


def read_today(floor: Floor) -> Today:
    """The state of a floor at its minute, between two events."""
    return _Reader(floor).today()


def morning_at(
    scenario: Scenario, order_lines: Sequence[OrderLine], until: float, replication: int = 0
) -> Today:  # fmt: skip
    """What could be told of a simulated shop at minute `until`; what happens at that very minute is still to come."""
    with no_collection():
        floor = Floor(scenario, order_lines, replication)
        floor.env.run(until=until)
        return read_today(floor)


def order_name(order: Order) -> str:
    """The id of an order in the book; for one of a forecast its number."""
    return order.draw.name or f"order {order.number}"


class _Reader:
    def __init__(self, floor: Floor) -> None:
        self.floor = floor
        self.now = floor.env.now
        self.starts = floor.scenario.shop.starts
        self.coming = pending(floor.env)
        self._where: dict[tuple[int, int], list[tuple[tuple[int, ...], Whereabouts]]] = {}

    def today(self) -> Today:
        """Everything there is to tell."""
        self._stations()
        self._on_the_way()
        if self.floor.print_room is not None:
            self._print_queue()
            for printer in self.floor.print_room.printers:
                self._on_printer(printer)
        return Today(
            now=self.moment(self.now),
            orders=tuple(self._order(order) for order in self.floor.open_orders.values()),
            printers=tuple(self._printers()),
            down=tuple(self._seats_down()),
            cloth=tuple(self._cloth()),
            absent=tuple(self._absent()),
            overtime=tuple(self._overtime()),
        )

    def moment(self, minute: float) -> datetime.datetime:
        """A minute as local time, in whole seconds, never later than it is."""
        starts = datetime.datetime.combine(self.starts, datetime.time())
        return starts + datetime.timedelta(seconds=math.floor(minute * 60 + 1e-6))

    # -- pieces -------------------------------------------------------------------------------------------------------

    def _put(self, line: Line, pieces: list[int], at: str, attempt: int = 0, **more: Any) -> None:
        if line.order.gone or not pieces:
            return
        part = Whereabouts(at=at, pieces=len(pieces), made_again=attempt > 0, **more)
        self._where.setdefault((line.order.number, line.number), []).append((tuple(pieces), part))

    def _bundle(self, bundle: Bundle, at: str | None = None, **more: Any) -> None:
        word = at if at is not None else word_of_step(bundle.line.plan.model, bundle.step)
        roll = {"roll": bundle.run} if bundle.run >= 0 and bundle.step == 0 else {}
        self._put(bundle.line, list(bundle.pieces), word, bundle.attempt, **roll, **more)

    def _task(self, task: Task, left_min: float | None) -> None:
        """A task in line, or with the standard minutes it has left if it has been begun."""
        if task.kind == KIND["calender"]:
            for carried in task.cargo:
                self._bundle(carried, CALENDER)
            return
        bundle = task.bundle
        if bundle is None:
            return
        more: dict[str, Any] = {"since": self.moment(task.ready)}
        if left_min is not None:
            more |= {"in_work": True, "minutes_left": round(max(0.0, left_min), 2)}
        if task.kind == KIND["repair"]:
            steps = bundle.line.plan.steps
            sewing = next(i for i in range(bundle.step, -1, -1) if steps[i].kind == KIND["sew"])
            self._put(bundle.line, bundle.pieces, word_of_step(bundle.line.plan.model, sewing), 1, **more)
        else:
            self._bundle(bundle, **more)

    def _stations(self) -> None:
        for station in self.floor.stations.values():
            for task in _in_line(station):
                self._task(task, None)
            kept = [task for crew in station.crews for one in crew.members for task in one.kept]
            for task in [*station.paused, *(task for task in kept if task.station is station)]:
                self._task(task, task.minutes if task.seat >= 0 else None)

    def _on_the_way(self) -> None:
        """Work in progress, rests, work outside, wet rolls, cloth on its way through a printer."""
        for _, _, lying in self._standing():
            if lying is not None:
                self._task(lying, None)
        for at, _, _, value in self.coming:
            if isinstance(value, Task) and _at_work(value):
                self._task(value, value.minutes + self._standard_left(value, at))
            elif isinstance(value, Bundle):
                rests = value.line.plan.steps[value.step].kind == KIND["rest"]
                until: dict[str, Any] = {"until" if rests else "outside_until": self.moment(at)}
                self._bundle(value, **until)
            elif isinstance(value, Portion):
                self._portion(value, "")
            elif isinstance(value, tuple) and len(value) == 2 and isinstance(value[0], Line):
                self._put(value[0], [-1] * value[1], PRINT, outside_until=self.moment(at))
            elif isinstance(value, tuple) and len(value) == 2 and isinstance(value[0], list):
                for bundle in value[0]:
                    self._bundle(bundle, CALENDER)

    def _standard_left(self, task: Task, end: float) -> float:
        """Standard minutes of the stretch in progress that are still to be done."""
        person = task.person
        assert person is not None
        crew = person.crew
        open_min = end - self.now
        if self.now >= crew.overtime_until:
            open_min = crew.calendar.work_between(self.now, end)
        pace = person.pace / crew.speed(task.station.skill, self.now)
        if task.partner is not None and task.people > 1:
            other = task.partner
            pace = (pace + other.pace / other.crew.speed(task.station.skill, self.now)) / 2 * task.labour / 2
        return open_min / pace

    def _print_queue(self) -> None:
        room = self.floor.print_room
        assert room is not None
        groups = [*room.groups.values(), *(g for each in room.lists.values() for g in each.groups.values())]
        for group in groups:
            for _, _, _, job in group.heap:
                if job.open:
                    self._put(job.line, job.pieces, PRINT, job.attempt, since=self.moment(job.ready))

    def _on_printer(self, printer: PrinterProcess) -> None:
        name = printer.model.id
        gang = printer.gang
        if gang is not None:
            for job, pieces in gang.still_to_print():
                if gang.started >= 0:
                    self._put(job.line, pieces, PRINTING, job.attempt, printer=name)
                else:
                    self._put(job.line, pieces, PRINT, job.attempt, since=self.moment(job.ready))
            self._owners(gang.done, name)
        for _, portion in printer.path._tail:
            self._portion(portion, name)
        for portion in printer.path._wound:
            self._portion(portion, name)

    def _portion(self, portion: Portion, printer: str) -> None:
        self._owners(portion.owners, printer or self._printer_of_run(portion.run))

    def _owners(self, owners: list[tuple[Job, int]], printer: str) -> None:
        for job, pieces in Portion(0, 0.0, owners, 0.0).by_job():
            self._put(job.line, pieces, PRINTED, job.attempt, printer=printer)

    def _printer_of_run(self, run: int) -> str:
        table = self.floor.log.table("runs")
        rows = table[table[:, COLUMNS["runs"].index("run")] == run]
        return self.floor.log.printers[int(rows[-1][COLUMNS["runs"].index("printer")])]

    # -- orders -------------------------------------------------------------------------------------------------------

    def _order(self, order: Order) -> OpenOrder:
        draw = order.draw
        said: dict[str, Any] = {"stage": self._stage(order)}
        if said["stage"] == "approval" and self._is_held(order):
            # Approved, and waiting for a place in the full shop.
            said["expected"] = self.moment(self.now)
        elif said["stage"] == "approval":
            said["asked"] = self.moment(self._asked(order))
        lines = tuple(self._line(line, said["stage"] == "released") for line in order.lines)
        return OpenOrder(
            order=order_name(order), received=self.moment(draw.received),
            due=date_of(draw.due, self.starts), rush=draw.rush, repeat=draw.repeat,
            priority=draw.priority if draw.priority != min(line.plan.model.priority for line in order.lines) else None,
            lots=self._lots(order), lines=lines, **said,
        )  # fmt: skip

    def _lots(self, order: Order) -> dict[str, int]:
        wanted = any(line.plan.model.one_lot for line in order.lines) and not order.lot_broken
        return {self.floor.log.fabrics[fabric]: lot for fabric, lot in order.lots.items()} if wanted else {}

    def _stage(self, order: Order) -> str:
        if order.released >= 0:
            return "order_check" if order.left == 0 else "released"
        return "approval" if any(event.value is order for event in self._approvals()) else self._unapproved(order)

    def _approvals(self) -> list[Pending]:
        return [
            event for event in self.coming
            if isinstance(event.value, Order) and abs(event.at - event.value.draw.cancel_at) > _SECOND_MIN
        ]  # fmt: skip

    def _unapproved(self, order: Order) -> str:
        return "approval" if self._is_held(order) else "received"

    def _is_held(self, order: Order) -> bool:
        limit = self.floor.intake.limit
        return limit is not None and order.number in limit._held_since

    def _asked(self, order: Order) -> float:
        """When the artwork check ended; without one the order's receipt."""
        table, name = self.floor.log.table("operations"), COLUMNS["operations"].index
        rows = table[(table[:, name("kind")] == KIND["artwork"]) & (table[:, name("order")] == order.number)]
        return float(rows[-1][name("end")]) if len(rows) else order.draw.received

    def _line(self, line: Line, released: bool) -> OpenLine:
        found = sorted(self._where.get((line.order.number, line.number), []), key=lambda each: each[0])
        parts = [part for _, part in found] if released else []
        inside = sum(part.pieces for part in parts)
        done = line.draw.pieces - inside
        if released and done:
            parts.append(Whereabouts(at="done", pieces=done))
        sized = line.draw.width_m > 0
        return OpenLine(
            product=line.plan.model.id, pieces=line.draw.pieces, where=tuple(parts),
            width_m=line.draw.width_m if sized else None, height_m=line.draw.height_m if sized else None,
        )  # fmt: skip

    # -- machines, people, cloth --------------------------------------------------------------------------------------

    def _printers(self) -> Iterator[PrinterToday]:
        if self.floor.print_room is None:
            return
        fabrics = self.floor.log.fabrics
        for printer in self.floor.print_room.printers:
            roll, last = printer.roll, printer.nozzles._last_ran
            service = printer._service_at
            down = self._down_until(printer)
            yield PrinterToday(
                printer=printer.model.id, fabric=None if roll is None else fabrics[roll.fabric],
                metres_left=None if roll is None else round(roll.left_m, 3),
                lot=0 if roll is None else roll.lot, slow=printer.nozzles.slow, plate="hot" if printer.hot else "cold",
                mode=printer.mode or None, down_until=None if down is None else self.moment(down + _SECOND_MIN),
                last_printed=self.moment(last) if math.isfinite(last) else None,
                service_on=self.moment(service).date() if math.isfinite(service) else None,
            )  # fmt: skip

    def _down_until(self, printer: PrinterProcess) -> float | None:
        """The end of the stand in progress; of a repair that waits for hands, if these came now."""
        if printer._state not in (STATE["breakdown"], STATE["service"]):
            return None
        by_clock = [each.at for each in self.coming if each.call == printer.go_on]
        return by_clock[0] if by_clock else self.now + self._repair_min(printer.hands_done)

    def _repair_min(self, then: Any) -> float:
        """Minutes of the repair after which that is called."""
        return sum(task.minutes for task in self._repairs() if task.on_done == then)

    def _repairs(self) -> Iterator[Task]:
        """Repairs that wait for hands or are in theirs."""
        at_work = [each.value for each in self.coming if isinstance(each.value, Task) and _at_work(each.value)]
        begun = [task for station in self.floor.stations.values() for task in [*_in_line(station), *station.paused]]
        return (task for task in [*at_work, *begun] if task.kind == KIND["machine_repair"])

    def _standing(self) -> Iterator[tuple[str, float, Task | None]]:
        """Seats whose machines are down: place, until when, and the piece that lies there."""
        for at, _, call, value in self.coming:
            owner = getattr(call, "__self__", None)
            if isinstance(owner, SeatRepairs) and isinstance(value, tuple):
                yield owner.station.name, at, value[1]
            elif isinstance(owner, Station) and call == owner.up_again:
                yield owner.name, at, None
        for task in self._repairs():
            if isinstance(task.on_done, partial):
                yield self.floor.log.places[task.place], self.now + task.minutes, task.on_done.args[1]

    def _seats_down(self) -> Iterator[SeatsDown]:
        for place, until, _ in self._standing():
            yield SeatsDown(place=place, until=self.moment(max(until, self.now) + _SECOND_MIN))

    def _cloth(self) -> Iterator[ClothToday]:
        if self.floor.print_room is None:
            return
        for shelf in self.floor.print_room.shelves:
            arriving = tuple(
                Arriving(rolls=each.value, on=self.moment(each.at).date())
                for each in self.coming
                if getattr(each.call, "__self__", None) is shelf
            )
            lots = sorted({*shelf.full, *(roll.lot for roll in shelf.remnants)}) or [0]
            for lot in lots:
                yield ClothToday(
                    fabric=shelf.model.id, lot=lot, full_rolls=shelf.full.get(lot, 0),
                    arriving=arriving if lot == lots[-1] else (),
                    remnants_m=tuple(round(r.left_m, 3) for r in shelf.remnants if r.lot == lot and r.left_m > 0.001),
                )  # fmt: skip

    def _absent(self) -> Iterator[AbsentToday]:
        for crew in self.floor.crews:
            today = int(self.now // MINUTES_PER_DAY)
            for away in crew.absent_days:
                if today in away:
                    back = next(day for day in range(today + 1, max(away) + 2) if day not in away)
                    yield AbsentToday(crew=crew.model.id, back=date_of(back * MINUTES_PER_DAY, self.starts))

    def _overtime(self) -> Iterator[AgreedOvertime]:
        for crew in self.floor.crews:
            if crew.overtime_until > self.now and crew.calendar.is_open(self.now):
                minutes = crew.overtime_until - crew.calendar.shift_end(self.now)
                on = date_of(self.now, self.starts)
                yield AgreedOvertime(crew=crew.model.id, on=on, minutes=minutes)


def _at_work(task: Task) -> bool:
    """Whether a stretch of this task is in work; where work is interrupted some timeouts find nothing."""
    station = task.station
    return task.person is not None and not (isinstance(station, InterruptedStation) and task not in station._at_work)


def _in_line(station: Station) -> list[Task]:
    """Tasks that wait and are not begun, those without room included."""
    found = [*station.singles.in_order(), *station.pairs.in_order()]
    return [*found, *station._waits] if isinstance(station, RoomStation) else found
