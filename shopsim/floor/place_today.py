"""Laying this morning's pieces where they are: in the print queue, on printers, at places, on seats, outside.

Faults that nobody has seen yet are drawn as usual for the steps a piece has passed; those the look at the printer or an
inspection would have found are not there any more.
"""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING, NamedTuple

from shopsim.floor.gangs import Job, Portion
from shopsim.floor.order_table import minute_of_moment
from shopsim.floor.orders import Bundle, Line, Order
from shopsim.floor.record import KIND
from shopsim.floor.rules import LANE_REPRINT
from shopsim.floor.turns import PRINT_STEP
from shopsim.shop.today_model import OpenOrder, Whereabouts
from shopsim.shop.today_words import CALENDER, DONE, PRINT, PRINTED, PRINTING, calenders_of, steps_by_word

if TYPE_CHECKING:
    from shopsim.floor.run import Floor

_HALF = 0.5


class _Waiting(NamedTuple):
    """Pieces in the print queue, or in a run in work."""

    since: float
    line: Line
    pieces: list[int]
    attempt: int
    lane: int


class Placing:
    """Puts open orders on a floor on which nothing has moved yet."""

    def __init__(self, floor: Floor) -> None:
        self.floor = floor
        self.now = floor.env.now
        self._queue: list[_Waiting] = []
        self._runs: dict[str, list[_Waiting]] = {}
        self._on_take_up: dict[str, list[_Waiting]] = {}
        self._wet: dict[tuple[str, int], list[Bundle]] = {}
        self._rolls: dict[tuple[int, int], int] = {}

    def order(self, order: Order, told: OpenOrder) -> None:
        """One order at its stage."""
        intake, limit = self.floor.intake, self.floor.intake.limit
        order.lots = {self.floor.log.fabrics.index(fabric): lot for fabric, lot in told.lots.items()}
        if self.floor.lists is not None:
            self.floor.lists.expect(order)
        if limit is not None and (limit.turns_away or told.stage in ("released", "order_check")):
            limit.take(order)
        if told.stage == "received":
            intake.check_artwork(order)
        elif told.stage == "approval":
            intake.await_artwork(order)
        else:
            order.released = self.now
            self._released(order, told)

    def _released(self, order: Order, told: OpenOrder) -> None:
        if told.stage == "released":
            for line, said in zip(order.lines, told.lines, strict=True):
                first = line.draw.first_row
                for part in said.where:
                    self._part(line, list(range(first, first + part.pieces)), part)
                    first += part.pieces
                last = line.draw.first_row + line.draw.pieces
                if first < last:
                    self._not_started(line, list(range(first, last)))
            return
        self._passed(order)
        self.floor.log.leftover.pieces_done += order.left
        order.left = 0
        if told.stage == "order_check":
            self.floor.dispatch.complete(order)
        else:
            self.floor.dispatch.ready(order)

    def _passed(self, order: Order) -> None:
        for line in order.lines:
            rows = range(line.draw.first_row, line.draw.first_row + line.draw.pieces)
            self._strike(line, list(rows), len(line.plan.steps))

    def _strike(self, line: Line, pieces: list[int], steps: int) -> None:
        """Tell planners' lists that pieces have passed print and so many steps."""
        if self.floor.lists is not None:
            self.floor.lists.been(line, [PRINT_STEP, *range(steps)], pieces)

    def _not_started(self, line: Line, pieces: list[int]) -> None:
        if line.plan.print_step is not None and self.floor.print_room is not None:
            self._queue.append(_Waiting(self.now, line, pieces, 0, line.order.lane))
        else:
            self._lay(line, pieces, 0, 0, None)

    def _part(self, line: Line, pieces: list[int], part: Whereabouts) -> None:
        attempt = 1 if part.made_again else 0
        lane = LANE_REPRINT if attempt and self.floor.reprints_first else line.order.lane
        waiting = _Waiting(self._since(part.since), line, pieces, attempt, lane)
        if part.at == PRINT and part.outside_until is not None:
            self._strike(line, pieces, len(line.plan.steps))
            assert self.floor.print_room is not None
            self.floor.print_room.await_from_outside(line, len(pieces), self._minute(part.outside_until))
        elif part.at == PRINT:
            self._queue.append(waiting)
        elif part.at == PRINTING:
            self._runs.setdefault(str(part.printer), []).append(waiting)
        elif part.at == PRINTED and part.printer is not None:
            self._strike(line, pieces, 0)
            self._on_take_up.setdefault(part.printer, []).append(waiting)
        elif part.at == DONE:
            self._strike(line, pieces, len(line.plan.steps))
            self.floor.flow.count_finished(line, len(pieces))
        else:
            self._lay(line, pieces, attempt, self._step_of(line, part.at), part)

    @staticmethod
    def _step_of(line: Line, word: str) -> int:
        return 0 if word in (PRINTED, CALENDER) else steps_by_word(line.plan.model)[word]

    def _since(self, since: datetime.datetime | None) -> float:
        return self.now if since is None else self._minute(since)

    def _minute(self, moment: datetime.datetime) -> float:
        return minute_of_moment(moment, self.floor.scenario.shop.starts)

    # -- after the printer --------------------------------------------------------------------------------------------

    def _lay(self, line: Line, pieces: list[int], attempt: int, step: int, part: Whereabouts | None) -> None:
        """Pieces that wait before a step, are in work at it or outside for it, bundle by bundle."""
        self._strike(line, pieces, step)
        size = line.plan.model.bundle_pieces
        run = self._roll(line, part)
        for i in range(0, len(pieces), size):
            bundle = self._bundle(line, pieces[i : i + size], attempt, step, run)
            if part is not None and part.at == CALENDER:
                drum = calenders_of(self.floor.scenario, line.plan.model)[0]
                self._wet.setdefault((drum, run), []).append(bundle)
            else:
                self._at_step(bundle, part, len(pieces))

    def _roll(self, line: Line, part: Whereabouts | None) -> int:
        """Number of the printed roll pieces lie on; those nobody tells apart are of one roll a fabric."""
        room = self.floor.print_room
        if room is None or line.plan.print_step is None:
            return -1
        key = (line.plan.fabric_index, -1 if part is None or part.roll is None else part.roll)
        if key not in self._rolls:
            room.runs += 1
            self._rolls[key] = room.runs
        return self._rolls[key]

    def _bundle(self, line: Line, pieces: list[int], attempt: int, step: int, run: int) -> Bundle:
        flow = self.floor.flow
        bundle = flow.laid(line, pieces, attempt, step, run)
        steps = line.plan.steps
        for number in range(step):
            bundle.step = number
            if steps[number].kind == KIND["sew"]:
                flow.mark_sewing_faults(bundle, None)
            elif steps[number].kind == KIND["inspect"]:
                bundle.faults.clear()
        bundle.step = step
        return bundle

    def _at_step(self, bundle: Bundle, part: Whereabouts | None, of: int) -> None:
        flow, step = self.floor.flow, bundle.line.plan.steps[bundle.step]
        if part is not None and part.until is not None:
            flow.rest_until(bundle, self._minute(part.until))
            return
        if part is not None and part.outside_until is not None and step.station is not None:
            flow.await_from_outside(bundle, step.station.place, self._minute(part.outside_until))
            return
        base, people = bundle.line.steps[bundle.step]
        minutes = step.minutes(base, bundle.pieces, bundle.attempt)
        if step.station is None or (minutes <= 0.0 and step.kind != KIND["work"]):
            flow.advance(bundle)
            return
        task = flow.task_of(bundle, step, minutes, people)
        since = self._since(None if part is None else part.since)
        if part is not None and part.in_work:
            task.minutes = self._left_min(bundle, part, minutes, of)
            step.station.lay_on_seat(task, since)
        else:
            step.station.lay(task, since)

    @staticmethod
    def _left_min(bundle: Bundle, part: Whereabouts, minutes: float, of: int) -> float:
        """Standard minutes left of a bundle's work; several bundles share what is told of them."""
        if part.minutes_left is not None:
            return part.minutes_left * len(bundle.pieces) / of
        if part.pieces_left is not None:
            return minutes * part.pieces_left / part.pieces
        return minutes * _HALF

    # -- the print room -----------------------------------------------------------------------------------------------

    def finish(self) -> None:
        """What takes all orders together: runs, take-ups, wet rolls, the print queue in the order of waiting."""
        room = self.floor.print_room
        for (drum, _), bundles in self._wet.items():
            assert room is not None
            metres = sum(bundle.line.facts.web_m_each * len(bundle.pieces) for bundle in bundles)
            room.calenders[drum].dry(bundles, metres, 0.0)
        if room is None:
            return
        for printer in room.printers:
            on_take_up = self._on_take_up.get(printer.model.id)
            if on_take_up:
                room.runs += 1
                jobs = [_job(each) for each in on_take_up]
                owners = [(job, piece) for job in jobs for piece in job.pieces]
                metres = sum(each.line.facts.web_m_each * len(each.pieces) for each in on_take_up)
                portion = Portion(room.runs, self.now, owners, metres)
                if printer.path.winds_up:
                    printer.path._wound.append(portion)
                    printer.path.wound_m += metres
                else:
                    room.off_printer(printer, portion)
            run = self._runs.get(printer.model.id)
            if run:
                printer.gang = room.lay_run(printer, [(_job(each), each.pieces) for each in run])
                # What has begun has been looked at.
                printer.gang.first_article = True
                for each in run:
                    self._strike(each.line, each.pieces, 0)
        for each in sorted(self._queue, key=lambda waiting: waiting.since):
            room.lay(each.line, each.pieces, each.attempt, each.lane, each.since)


def _job(waiting: _Waiting) -> Job:
    job = Job(waiting.line, waiting.pieces, waiting.attempt, waiting.lane, waiting.since)
    job.open = False
    return job
