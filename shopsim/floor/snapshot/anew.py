"""Another future of the same shop: the state is kept, what nobody can know yet is drawn anew.

Kept: all orders received, with what is known of them (size, due date, when their files come, whether they are
cancelled); where everything is; work in hand, repairs, deliveries and rests with their ends; faults made already; what
waits for hands at printers and desks; everybody's pace; who is away today, until back.

Drawn anew: orders yet to come, but for those of an order book; minutes of work on pieces that wait for it, and of all
that follows; faults, losses and stops from now on; when machines fail next, given how long they have run; who falls ill
from tomorrow on. A printer in the midst of a stretch keeps its next stop.
"""

from __future__ import annotations

from bisect import bisect_left
from typing import Any

from shopsim.clock import MINUTES_PER_DAY
from shopsim.floor.people import Crew
from shopsim.floor.printer import PrinterProcess
from shopsim.floor.rooms import RoomStation
from shopsim.floor.run import Floor
from shopsim.floor.seat_repairs import SeatRepairs
from shopsim.floor.snapshot.document import put
from shopsim.floor.stations import Station
from shopsim.floor.tasks import Task
from shopsim.floor.timing import Pending, pending, set_clock


def draw_anew(floor: Floor, state: dict[str, Any], now: float) -> None:
    """Put a state onto a floor that has not started, which goes on with the floor's own draws. Raises SnapshotError."""
    to_come = [order for order in floor.receipt.table if order.received >= now]
    drawn = [crew.absent_days for crew in floor.crews]
    put(floor, {**state, "draws": []}, now)
    for crew, days in zip(floor.crews, drawn, strict=True):
        _fall_ill(floor, crew, days, int(now // MINUTES_PER_DAY))
    printers = floor.print_room.printers if floor.print_room is not None else []
    if floor.print_room is not None:
        floor.print_room.attendance = floor.attendance()
    stood_down = [printer for printer in printers if _stands_down(printer)]
    _leave_out(floor, now, stood_down)
    floor.receipt.expect(to_come, state["numbers"][2])
    for station in floor.stations.values():
        _work(floor, station)
        if station.repairs is not None:
            station.repairs.live_on()
    for printer in printers:
        printer.stops.live_on()
        if printer in stood_down:
            printer.go_on()
        else:
            printer.look_again()


def _fall_ill(floor: Floor, crew: Crew, drawn: list[set[int]], today: int) -> None:
    """Who is away stays away until back; later days are those drawn."""
    planned = sorted(set(crew.calendar.start_days))
    for i, person in enumerate(crew.members):
        kept = crew.absent_days[i]
        known = bisect_left(planned, today + 1)
        if known and planned[known - 1] in kept:
            while known < len(planned) and planned[known] in kept:
                known += 1
        later = {day for day in planned[known:] if day in drawn[i]}
        crew.absent_days[i] = {day for day in planned[:known] if day in kept} | later
        for day in sorted(later):
            floor.log.columns["absences"].extend((person.index, day))


def _stands_down(printer: PrinterProcess) -> bool:
    """Whether a printer waits for somebody to come, with nothing begun."""
    now = printer.env.now
    return not printer.agenda and not printer.idle and printer.room.attendance.until(now) <= now


def _leave_out(floor: Floor, now: float, stood_down: list[PrinterProcess]) -> None:
    """Take out of what is to come: the next order, failures by the calendar, and printers that look for people."""

    def stays(each: Pending) -> bool:
        owner: Any = getattr(each.call, "__self__", None)
        if isinstance(owner, SeatRepairs):
            return each.call != owner.clock_struck
        return owner is not floor.receipt and not (owner in stood_down and each.call == owner.go_on)

    set_clock(floor.env, now, [each for each in pending(floor.env) if stays(each)])


def _work(floor: Floor, station: Station) -> None:
    """Draw the minutes of pieces that wait for work, in line or outside, and rank them again."""
    lines = [station.singles, station.pairs]
    if isinstance(station, RoomStation):
        lines.append(station.outside)
    for line in lines:
        for task in line.in_order():
            minutes = _minutes(floor, task)
            station.queued_min += minutes - task.minutes
            task.minutes = minutes
        line.rank_again()


def _minutes(floor: Floor, task: Task) -> float:
    bundle = task.bundle
    if bundle is None or task.part or task.on_done != floor.flow.done:
        return task.minutes
    base, _ = bundle.line.steps[bundle.step]
    drawn = bundle.line.plan.steps[bundle.step].minutes(base, bundle.pieces, bundle.attempt)
    # What is in line needs the step; only how long it takes is not known.
    return drawn if drawn > 0.0 else task.minutes
