"""Printing a stretch of a gang: as many whole bands as roll, attended time and take-up reach, or to the next stop."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopsim.floor.gangs import Gang
from shopsim.shop.materials import Fabric
from shopsim.shop.route_times import speed_m_per_min

if TYPE_CHECKING:
    from shopsim.floor.printer import PrinterProcess

_SLACK_M = 1e-9


class PrintRun:
    """Prints the gangs of one printer."""

    def __init__(self, printer: PrinterProcess) -> None:
        self.printer = printer
        self._speeds: dict[tuple[str, int, float], float] = {}

    def _speed(self, gang: Gang, fabric: Fabric) -> float:
        key = (gang.mode, gang.fabric, round(gang.image_width_m, 3))
        speed = self._speeds.get(key)
        if speed is None:
            printer = self.printer
            speed = speed_m_per_min(printer.model, printer.modes[gang.mode], fabric, gang.image_width_m)
            self._speeds[key] = speed
        return speed * self.printer.nozzles.speed_share

    def stretch(self) -> None:
        """Print one stretch, set right what stopped it, and end the gang if it was the last."""
        printer = self.printer
        gang = printer.gang
        assert gang is not None
        if gang.started < 0 and not gang.still_wanted():
            printer.gang = None
            return
        speed = printer.speed = self._speed(gang, printer.fabric_of(gang))
        reach_m = self._reach(gang, speed)
        if reach_m <= 0:
            self._cannot_go_on(gang)
            return
        self._begin(gang)
        to_stop_m = printer.stops.next_min() * speed
        length_m = min(reach_m, to_stop_m)
        minutes = length_m / speed
        printer.enter("printing")
        printer.post_rounds(minutes)
        printer.path.move(length_m, speed)
        gang.days_put_off = 0
        printer.wait(minutes)
        printer.then(self._printed, length_m, minutes)
        if to_stop_m <= reach_m:
            printer.then(printer.stops.stop)
        printer.then(self._end)

    def _printed(self, length_m: float, minutes: float) -> None:
        printer = self.printer
        gang = printer.gang
        assert gang is not None
        self._book(gang, printer.fabric_of(gang), length_m)
        printer.stops.ran(minutes)
        printer.nozzles.ran(minutes)
        printer.path.wound_m += length_m

    def _end(self) -> None:
        printer = self.printer
        gang = printer.gang
        if gang is not None and gang.finished:
            printer.hand_on(gang)
            printer.gang = None

    def _begin(self, gang: Gang) -> None:
        if gang.started < 0:
            assert self.printer.roll is not None
            gang.started = self.printer.env.now
            gang.note_lot(self.printer.roll.lot)
            for job in gang.jobs:
                job.line.order.printed = True

    def _reach(self, gang: Gang, speed: float) -> float:
        """Metres of whole bands that can be printed in one go; a nozzle check by hours ends them early.

        Attended printing leaves time for the tail: nobody goes home before it is through the plate.
        """
        printer = self.printer
        assert printer.roll is not None
        limit_m = printer.roll.left_m
        if not printer.model.unattended_running:
            limit_m = min(limit_m, self._time_left(gang, speed) * speed)
        if printer.path.winds_up:
            # One band longer than a full take-up is wound up all the same, alone.
            full_m = max(printer.model.take_up.full_at_m, gang.bands[gang.next].left_m)
            limit_m = min(limit_m, full_m - printer.path.wound_m)
        check_m = printer.nozzles.minutes_to_check() * speed
        reach_m = 0.0
        for band in gang.bands[gang.next :]:
            if reach_m + band.left_m > limit_m + _SLACK_M or reach_m >= check_m:
                break
            reach_m += band.left_m
        return reach_m

    def _time_left(self, gang: Gang, speed: float) -> float:
        """Minutes to print today. With a band that no day is long enough for somebody stays, from the next day on."""
        printer, now = self.printer, self.printer.env.now
        tail_min = printer.path.tail_min(gang, speed)
        band_min = gang.bands[gang.next].left_m / speed
        fits_no_day = gang.days_put_off > 1 or band_min + tail_min > printer.room.attendance.longest_min
        if gang.days_put_off and fits_no_day:
            return band_min
        return printer.room.attendance.until(now) - now - tail_min

    def _cannot_go_on(self, gang: Gang) -> None:
        """The next band does not fit: the take-up is full, or the day is over."""
        printer = self.printer
        path = printer.path
        full_m = printer.model.take_up.full_at_m
        if path.winds_up and path.wound_m > 0 and path.wound_m + gang.bands[gang.next].left_m > full_m + _SLACK_M:
            path.change_take_up()
        elif path.loaded:
            path.feed_tail()
        else:
            now = printer.env.now
            gang.days_put_off += 1
            printer.enter("waiting_job")
            printer.wait_until(printer.room.attendance.until(now))

    def _book(self, gang: Gang, fabric: Fabric, length_m: float) -> None:
        left_m, pieces_m2 = length_m, 0.0
        while gang.next < len(gang.bands) and left_m >= gang.bands[gang.next].left_m - _SLACK_M:
            band = gang.bands[gang.next]
            left_m -= band.left_m
            band.printed_m = band.length_m
            gang.next += 1
            gang.done += band.owners
            gang.done_m += band.length_m
            gang.done_m2 += band.pieces_m2
            pieces_m2 += band.pieces_m2
        if left_m > _SLACK_M:
            gang.bands[gang.next].printed_m += left_m
        self.printer.use_web(length_m, "printed", pieces_m2)
        printed_ml = pieces_m2 * fabric.ink_ml_per_m2
        idle_share = self.printer.floor.scenario.supplies.idle_ink_pct / 100
        self.printer.use_ink(printed_ml, "printed")
        # NOZ-10 is a share of the ink bought: idle spitting comes on top of what is on the cloth.
        self.printer.use_ink(printed_ml * idle_share / (1 - idle_share), "idle")
