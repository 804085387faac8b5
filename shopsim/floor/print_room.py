"""The print room: what waits to be printed, how it is ganged, and what comes off the printers."""

from __future__ import annotations

import heapq
import math
from functools import cached_property
from typing import TYPE_CHECKING

from shopsim.craft.layout import nest_shelves, nest_skyline, usable_width_m
from shopsim.floor.attendance import Attendance
from shopsim.floor.calender import CalenderLine
from shopsim.floor.gangs import Gang, Group, Job, Portion, nested_gang
from shopsim.floor.listed_print import PrinterList
from shopsim.floor.orders import Bundle, Line, Order
from shopsim.floor.rules import LANE_REPRINT, LANE_RUSH
from shopsim.floor.timing import after, later_at
from shopsim.floor.web import Shelf
from shopsim.shop.materials import Fabric
from shopsim.shop.route_times import feed_m_per_min
from shopsim.shop.skills import PRINTING

if TYPE_CHECKING:
    from shopsim.floor.printer import PrinterProcess
    from shopsim.floor.run import Floor

_SLACK_MIN = 1e-6
_SLACK_M = 1e-9


class PrintRoom:
    """Queue, gangs and shelves of the print room."""

    def __init__(self, floor: Floor, attendance: Attendance) -> None:
        self.floor = floor
        self.attendance = attendance
        self.policy = floor.scenario.policies.printing
        self.printers: list[PrinterProcess] = []
        self.groups: dict[tuple[int, str, tuple[int, ...]], Group] = {}
        self.shelves = [Shelf(floor, i, fabric, self.cloth_came) for i, fabric in enumerate(floor.scenario.fabrics)]
        self.queued_m2 = 0.0
        self._alarms: set[float] = set()
        self._write_print = floor.log.writer("prints")
        self._able_by_width: dict[tuple[int, float], tuple[int, ...]] = {}
        self.runs = 0
        self._serial = 0
        self._bought_in = floor.scenario.policies.bought_in_print
        if self._bought_in is not None:
            self._back_days = floor.draws.line("bought in/print", self._bought_in.back_after_days)
        self.calenders: dict[str, CalenderLine] = {}
        self.lists: dict[int, PrinterList] = {}

    # -- in line ------------------------------------------------------------------------------------------------------

    def add(self, line: Line, pieces: list[int], attempt: int, lane: int) -> None:
        """Pieces of an order line come to be printed."""
        job = Job(line, pieces, attempt, lane, self.floor.env.now)
        listed = self._list_of(job)
        if listed is not None:
            self._push_listed(listed, job)
            self.wake()
            return
        rule, outside = self._bought_in, line.order.draw.outside == PRINTING
        if not attempt and rule is not None and (outside or self._queue_h() > rule.when_queue_h):
            self._give_out(line, pieces)
            return
        self._in_line(job)

    def lay(self, line: Line, pieces: list[int], attempt: int, lane: int, since: float) -> None:
        """Pieces that are in line already and have waited since then; lay the longest waiting first."""
        job = Job(line, pieces, attempt, lane, since)
        listed = self._list_of(job)
        if listed is not None:
            self._push_listed(listed, job)
        else:
            self._in_line(job)

    def lay_run(self, printer: PrinterProcess, jobs: list[tuple[Job, list[int]]]) -> Gang:
        """The run in work on a printer, of jobs that share cloth and mode."""
        return self._nest(printer, self._group(jobs[0][0].line), jobs)

    def _in_line(self, job: Job) -> None:
        group = self._group(job.line)
        self._push(group, job)
        group.arrivals.append(job)
        self.queued_m2 += job.line.area_m2 * len(job.pieces)
        self._note_ready(group, self.floor.env.now)
        if group.ready_since is not None:
            self.wake()

    def _push(self, group: Group, job: Job) -> None:
        self._serial += 1
        rank = job.ready if self.policy.queue_rule == "first_come" else job.line.order.draw.due
        heapq.heappush(group.heap, (job.lane, rank, self._serial, job))
        group.web_m += job.web_m_each * len(job.pieces)
        group.urgent += job.lane <= LANE_RUSH

    def _list_of(self, job: Job) -> PrinterList | None:
        """The list a job is on; remakes are on none."""
        order = job.line.order
        on = (each for each in self.lists.values() if job.attempt == 0 and each.turns.lists(order))
        return next(on, None)

    def _push_listed(self, listed: PrinterList, job: Job) -> None:
        self._serial += 1
        listed.push(job, self._serial)
        self.queued_m2 += job.line.area_m2 * len(job.pieces)

    def _group(self, line: Line) -> Group:
        plan = line.plan
        assert plan.print_step is not None
        key = (plan.fabric_index, plan.print_step.mode, self._able(line))
        group = self.groups.get(key)
        if group is None:
            group = self.groups[key] = Group(*key)
        return group

    def _able(self, line: Line) -> tuple[int, ...]:
        """The printers that can print a line's pieces, worked out once a product and size."""
        plan, fabric = line.plan, line.plan.fabric
        assert fabric is not None
        width_m = line.facts.narrowest_m
        found = self._able_by_width.get((plan.index, width_m))
        if found is None:
            found = tuple(p.index for p in self.printers if p.can_print(plan.model, fabric, width_m))
            self._able_by_width[(plan.index, width_m)] = found
        return found

    def take_back(self, gang: Gang) -> None:
        """What is not printed of a gang waits again, as long as it has waited."""
        for job, pieces in gang.still_to_print():
            if not job.line.order.gone:
                again = Job(job.line, pieces, job.attempt, job.lane, job.ready)
                listed = self._list_of(again)
                if listed is not None:
                    self._push_listed(listed, again)
                    continue
                group = self._group(job.line)
                self._push(group, again)
                group.arrivals.appendleft(again)
                self.queued_m2 += job.line.area_m2 * len(pieces)
                self._note_ready(group, self.floor.env.now)

    def _note_ready(self, group: Group, now: float) -> None:
        if self._is_ready(group, now):
            if group.ready_since is None:
                group.ready_since = now
            return
        group.ready_since = None
        oldest = group.oldest()
        if oldest is not None:
            # Whatever made the group unready (a run that left some behind, a cancellation), the wait has an end.
            due = oldest.ready + self.policy.gang_longest_wait_h * 60
            if due != group.looks_again_at:
                group.looks_again_at = due
                after(self.floor.env, due - now, self._waited_long, group)

    def _is_ready(self, group: Group, now: float) -> bool:
        oldest = group.oldest()
        if oldest is None:
            return False
        if group.urgent or group.web_m >= self.policy.gang_min_web_m:
            return True
        return now >= oldest.ready + self.policy.gang_longest_wait_h * 60 - _SLACK_MIN

    def _waited_long(self, group: Group) -> None:
        self._note_ready(group, self.floor.env.now)
        if group.ready_since is not None:
            self.wake()

    def wake(self, _: object = None) -> None:
        """Tell waiting printers that there may be something to do, in their order in the file."""
        for printer in self.printers:
            printer.wake()

    def wake_at(self, until: float) -> None:
        """Tell waiting printers at a minute at which people come or go; once, however many ask."""
        if until <= self.floor.log.horizon_min and until not in self._alarms:
            self._alarms.add(until)
            later_at(self.floor.env, until, self.wake)

    def has_work(self, printer: PrinterProcess) -> bool:
        """Whether anything is ready for a printer, with cloth or without."""
        return bool(self._ready_for(printer, self.lists.get(printer.index)))

    def cloth_came(self, fabric: int) -> None:
        """A roll or remnant has come to the shelf: what lacked it may go on."""
        for printer in self.printers:
            printer.lacking.pop(fabric, None)
        self.wake()

    def forget(self, order: Order) -> None:
        """Take a cancelled order's jobs out of line."""
        listed = [group for each in self.lists.values() for group in each.groups.values()]
        for group in (*self.groups.values(), *listed):
            for _, _, _, job in group.heap:
                if job.line.order is order:
                    self._out(group, job, len(job.pieces))
            group.heap = [entry for entry in group.heap if entry[3].open]
            heapq.heapify(group.heap)
            self._note_ready(group, self.floor.env.now)

    def _out(self, group: Group, job: Job, pieces: int) -> None:
        """Count pieces of a job as no longer waiting; closes the job if they are all."""
        group.web_m -= job.web_m_each * pieces
        self.queued_m2 -= job.line.area_m2 * pieces
        if pieces == len(job.pieces):
            job.open = False
            group.urgent -= job.lane <= LANE_RUSH

    # -- gangs --------------------------------------------------------------------------------------------------------

    def take(self, printer: PrinterProcess) -> Gang | None:
        """The next run for a printer, nested; None if nothing is ready or there is no cloth (`printer.lacks_cloth`)."""
        now = self.floor.env.now
        listed = self.lists.get(printer.index)
        ready = self._ready_for(printer, listed)
        stocked = [g for g in ready if self._has_cloth(printer, g, listed)]
        printer.lacks_cloth = bool(ready) and not stocked
        if not stocked:
            return None
        group = self._choose(printer, stocked, now)
        if listed is not None and group in listed.groups.values():
            jobs = listed.gather(group, self.policy.gang_max_web_m)
            self.queued_m2 -= sum(job.line.area_m2 * len(pieces) for job, pieces in jobs)
        else:
            jobs = self._gather(group, now, self._reach_m(printer, group))
            self._note_ready(group, now)
        return self._nest(printer, group, jobs)

    def _ready_for(self, printer: PrinterProcess, listed: PrinterList | None) -> list[Group]:
        """Groups a printer may take from: of a list not yet through only the next, and remakes before it."""
        ready = [g for g in self.groups.values() if printer.index in g.able and g.ready_since is not None]
        if listed is None:
            return ready
        due = listed.next()
        if due is None and listed.turns.through:
            return ready
        remakes = [group for group in ready if group.heap[0][0] == LANE_REPRINT]
        return remakes or ([due] if due is not None else [])

    def _has_cloth(self, printer: PrinterProcess, group: Group, listed: PrinterList | None) -> bool:
        """Whether there is cloth for the first job in line, or, where no list sets the order, for any other."""
        reach_m = self._reach_m(printer, group)
        if group.heap[0][3].longest_m <= reach_m:
            return True
        in_order = listed is not None and group in listed.groups.values()
        return not in_order and any(job.longest_m <= reach_m for _, _, _, job in group.heap)

    def _reach_m(self, printer: PrinterProcess, group: Group) -> float:
        """The longest piece that the mounted roll or one on the shelf can take for a printer now."""
        roll = printer.roll
        mounted_m = roll.left_m if roll is not None and roll.fabric == group.fabric else 0.0
        shelf_m = self.shelves[group.fabric].longest_m() - printer.model.roll_change.leader_m
        lacking_m = printer.lacking.get(group.fabric, math.inf) - self.floor.scenario.supplies.gap_m
        return min(max(mounted_m, shelf_m), lacking_m - _SLACK_M)

    def _choose(self, printer: PrinterProcess, groups: list[Group], now: float) -> Group:
        best = min(groups, key=lambda group: group.heap[0][:3])
        lane = best.heap[0][0]
        if self.policy.fabric_choice == "most_urgent" or printer.roll is None or lane <= LANE_RUSH:
            return best
        groups = [group for group in groups if group.heap[0][0] == lane]
        same = [group for group in groups if group.fabric == printer.roll.fabric]
        limit = self.policy.stay_on_fabric_h * 60
        others_old = any(now - (g.oldest() or g.heap[0][3]).ready >= limit for g in groups if g not in same)
        if not same or (others_old and best not in same):
            return best
        return min(same, key=lambda group: (group.mode != printer.mode, *group.heap[0][:3]))

    def _gather(self, group: Group, now: float, reach_m: float) -> list[tuple[Job, list[int]]]:
        """Take jobs in order until the run is long enough; a job too long is shared between runs.

        Jobs with a piece longer than `reach_m`, for which there is no cloth, stay in line.
        """
        taken: list[tuple[Job, list[int]]] = []
        left_over: list[tuple[int, float, int, Job]] = []
        web_m = 0.0
        lot: int | None = None
        latest = math.inf
        while group.heap and web_m < self.policy.gang_max_web_m:
            entry = heapq.heappop(group.heap)
            job = entry[3]
            own_lot = job.wanted_lot
            other_lot = own_lot is not None and lot is not None and own_lot != lot
            if other_lot or job.longest_m > reach_m or job.line.order.draw.due > latest:
                left_over.append(entry)
                continue
            if not taken:
                latest = self._window_end(job.line.order.draw.due)
            lot = own_lot if lot is None else lot
            count = min(len(job.pieces), max(1, int((self.policy.gang_max_web_m - web_m) / job.web_m_each)))
            taken.append((job, job.pieces[:count]))
            job.gang_ready = max(job.ready, now if group.ready_since is None else group.ready_since)
            web_m += count * job.web_m_each
            self._out(group, job, count)
            if count < len(job.pieces):
                job.pieces = job.pieces[count:]
                left_over.append(entry)
        for entry in left_over:
            heapq.heappush(group.heap, entry)
        return taken

    def _window_end(self, due: float) -> float:
        days = self.policy.gang_window_days
        return float("inf") if days is None else self.floor.dispatch.working_days_after(due, days) + _SLACK_MIN

    def _nest(self, printer: PrinterProcess, group: Group, jobs: list[tuple[Job, list[int]]]) -> Gang:
        fabric: Fabric = self.floor.scenario.fabrics[group.fabric]
        supplies = self.floor.scenario.supplies
        width_m = usable_width_m(printer.model.print_width_m, fabric.roll_width_m, supplies.edge_margin_m)
        sizes = [size for job, pieces in jobs for _ in pieces for size in job.line.web.sizes]
        owners = [(job, piece) for job, pieces in jobs for piece in pieces for _ in job.line.web.sizes]
        layout = None
        if self.policy.nesting == "skyline":
            layout = nest_skyline(sizes, width_m, supplies.gap_m, fabric.may_turn, effort=0)
        if layout is None or max(shelf.length_m for shelf in layout.shelves) > self._longest_band_m(printer, fabric):
            layout = nest_shelves(sizes, width_m, supplies.gap_m, fabric.may_turn)
        self.runs += 1
        return nested_gang(self.runs, group.fabric, group.mode, layout, owners, self.floor.env.now)

    @staticmethod
    def _longest_band_m(printer: PrinterProcess, fabric: Fabric) -> float:
        """What a full roll has behind its leader: a tight nest has bands of many pieces, which may be longer."""
        change = printer.model.roll_change
        return fabric.roll_length_m - max(change.leader_m, change.join_waste_m)

    # -- off the printers ---------------------------------------------------------------------------------------------

    def off_printer(self, printer: PrinterProcess, portion: Portion) -> None:
        """Fixed (or wet) cloth leaves a printer: pieces become bundles, are looked at, and move on."""
        floor = self.floor
        now = floor.env.now
        bundles: list[Bundle] = []
        for job, pieces in portion.by_job():
            if job.line.order.gone:
                continue
            made = floor.flow.launch(job.line, pieces, job.attempt, portion.run, -1)
            for bundle in made:
                self._write_print(
                    printer.index, bundle.order.number, bundle.number, len(bundle.pieces), bundle.attempt, job.ready,
                    job.gang_ready, portion.started, now, portion.run,
                )  # fmt: skip
                floor.flow.seen_at_printer(bundle)
            bundles += made
        line = self.calenders.get(printer.calender) if printer.calender else None
        if line is not None:
            line.dry(bundles, portion.web_m, printer.drying_min)
            return
        for bundle in bundles:
            floor.flow.advance(bundle)

    # -- bought in ----------------------------------------------------------------------------------------------------

    @cached_property
    def _rate_m2_per_h(self) -> float:
        return sum(_full_rate(printer) for printer in self.printers) or 1.0

    def _queue_h(self) -> float:
        return self.queued_m2 / self._rate_m2_per_h

    def _give_out(self, line: Line, rows: list[int]) -> None:
        assert self._bought_in is not None
        floor, pieces = self.floor, len(rows)
        if floor.lists is not None:
            floor.lists.lost(line, rows)
        back = floor.working_days_later(self._back_days.next())
        model = line.plan.model
        price = (model.price_per_m2 * line.area_m2 + model.price_per_piece) * pieces
        floor.log.columns["bought_in"].extend((
            floor.env.now, back, line.order.number, floor.print_place, pieces,
            price * self._bought_in.price_share_pct / 100,
        ))  # fmt: skip
        self.await_from_outside(line, pieces, back)

    def await_from_outside(self, line: Line, pieces: int, back: float) -> None:
        """Pieces of a line are made outside, ready to go when they come back."""
        self.floor.flow.note_outside(line, pieces, self.floor.print_place, back)
        after(self.floor.env, back - self.floor.env.now, self._returned, (line, pieces))

    def _returned(self, outside: tuple[Line, int]) -> None:
        line, pieces = outside
        if not line.order.gone:
            self.floor.flow.count_finished(line, pieces)


def _full_rate(printer: PrinterProcess) -> float:
    width_m = printer.model.print_width_m
    return feed_m_per_min(printer.model, printer.model.modes[0], width_m) * 60 * width_m
