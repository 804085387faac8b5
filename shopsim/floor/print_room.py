"""The print room: what waits to be printed, how it is ganged, who is there, and what comes off the printers."""

from __future__ import annotations

import heapq
from collections import deque
from typing import TYPE_CHECKING

from shopsim.calendars import Calendar, union
from shopsim.craft.layout import nest_shelves, nest_skyline, usable_width_m
from shopsim.floor.calender import CalenderLine
from shopsim.floor.gangs import Gang, Job, Portion
from shopsim.floor.orders import Bundle, Line, Order
from shopsim.floor.people import Crew
from shopsim.floor.rules import LANE_NORMAL, LANE_RUSH
from shopsim.floor.timing import after
from shopsim.floor.web import Shelf
from shopsim.shop.materials import Fabric
from shopsim.shop.route_times import feed_m_per_min

if TYPE_CHECKING:
    from shopsim.floor.printer import PrinterProcess
    from shopsim.floor.run import Floor

_SLACK_MIN = 1e-6


class Group:
    """Waiting jobs that can share a run: one fabric, one mode, the same printers."""

    def __init__(self, fabric: int, mode: str, able: tuple[int, ...]) -> None:
        self.fabric = fabric
        self.mode = mode
        self.able = able
        self.heap: list[tuple[int, float, int, Job]] = []
        self.arrivals: deque[Job] = deque()
        self.web_m = 0.0
        self.urgent = 0
        self.ready_since: float | None = None

    def oldest(self) -> Job | None:
        """The job that has waited longest."""
        while self.arrivals and not self.arrivals[0].open:
            self.arrivals.popleft()
        return self.arrivals[0] if self.arrivals else None


class PrintRoom:
    """Queue, gangs, shelves and attendance of the print room."""

    def __init__(self, floor: Floor) -> None:
        self.floor = floor
        self.policy = floor.scenario.policies.printing
        self.printers: list[PrinterProcess] = []
        self.groups: dict[tuple[int, str, tuple[int, ...]], Group] = {}
        self.shelves = [Shelf(floor, i, fabric, self.wake) for i, fabric in enumerate(floor.scenario.fabrics)]
        self.queued_m2 = 0.0
        self._able_by_width: dict[tuple[int, float], tuple[int, ...]] = {}
        self.runs = 0
        self._serial = 0
        self._rate_m2_per_h = 1.0
        self._bought_in = floor.scenario.policies.bought_in_print
        if self._bought_in is not None:
            self._back_days = floor.draws.line("bought in/print", self._bought_in.back_after_days)
        self.calendar = Calendar([], [], [])
        self.crews: list[Crew] = []
        self.calenders: dict[str, CalenderLine] = {}

    def staff(self, crews: list[Crew]) -> None:
        """Name the crews that look after the printers; somebody is there when any of their people is."""
        self.crews = crews
        present = []
        for crew in crews:
            if crew.absent_days:
                away = set.intersection(*crew.absent_days)
                present.append(crew.calendar.without_days(away).envelope())
        self.calendar = union(present) if present else self.calendar
        self._rate_m2_per_h = sum(_full_rate(printer) for printer in self.printers) or 1.0

    # -- who is there -------------------------------------------------------------------------------------------------

    def attended_until(self, now: float) -> float:
        """Until when somebody is there, breaks included; `now` itself if nobody is."""
        until = self.calendar.stretch_end(now) if self.calendar.is_open(now) else now
        return max(until, *(crew.overtime_until for crew in self.crews), now) if self.crews else now

    def next_attended(self, now: float) -> float:
        """When somebody is there next."""
        return self.calendar.next_open(now)

    def shift_key(self, now: float) -> float:
        """Names the attended stretch in progress."""
        return self.calendar.shift_start(now) if self.calendar.is_open(now) else -1.0

    # -- in line ------------------------------------------------------------------------------------------------------

    def add(self, line: Line, pieces: list[int], attempt: int, lane: int) -> None:
        """Pieces of an order line come to be printed."""
        now = self.floor.env.now
        area = line.area_m2 * len(pieces)
        if not attempt and self._bought_in is not None and self._queue_h() > self._bought_in.when_queue_h:
            self._give_out(line, len(pieces))
            return
        job = Job(line, pieces, attempt, lane, now)
        group = self._group(line)
        self._push(group, job)
        group.arrivals.append(job)
        self.queued_m2 += area
        self._note_ready(group, now)
        if group.ready_since is None:
            wait = self.policy.gang_longest_wait_h * 60
            after(self.floor.env, wait, self._waited_long, group)
        else:
            self.wake()

    def _push(self, group: Group, job: Job) -> None:
        self._serial += 1
        rank = job.ready if self.policy.queue_rule == "first_come" else job.line.order.draw.due
        heapq.heappush(group.heap, (job.lane, rank, self._serial, job))
        group.web_m += job.web_m_each * len(job.pieces)
        group.urgent += job.lane < LANE_NORMAL

    def _group(self, line: Line) -> Group:
        plan = line.plan
        assert plan.print_step is not None
        key = (plan.fabric_index, plan.print_step.mode, self._able(line))
        group = self.groups.get(key)
        if group is None:
            group = self.groups[key] = Group(*key)
        return group

    def _able(self, line: Line) -> tuple[int, ...]:
        """The printers that can print a line's pieces, worked out once a product and width."""
        plan, fabric = line.plan, line.plan.fabric
        assert fabric is not None
        width_m = max(min(size) if fabric.may_turn else size.across_m for size in line.web.sizes)
        found = self._able_by_width.get((plan.index, width_m))
        if found is None:
            found = tuple(p.index for p in self.printers if p.can_print(plan.model, fabric, width_m))
            self._able_by_width[(plan.index, width_m)] = found
        return found

    def _note_ready(self, group: Group, now: float) -> None:
        if not self._is_ready(group, now):
            group.ready_since = None
        elif group.ready_since is None:
            group.ready_since = now

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

    def wake(self) -> None:
        """Tell waiting printers that there may be something to do, in their order in the file."""
        for printer in self.printers:
            printer.wake()

    def forget(self, order: Order) -> None:
        """Take a cancelled order's jobs out of line."""
        for group in self.groups.values():
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
            group.urgent -= job.lane < LANE_NORMAL

    # -- gangs --------------------------------------------------------------------------------------------------------

    def take(self, printer: PrinterProcess) -> Gang | None:
        """The next run for a printer, nested; None if nothing is ready, or there is no cloth (`printer.lacks_cloth`)."""
        now = self.floor.env.now
        ready = [g for g in self.groups.values() if printer.index in g.able and g.ready_since is not None]
        stocked = [g for g in ready if self._has_cloth(printer, g)]
        printer.lacks_cloth = bool(ready) and not stocked
        if not stocked:
            return None
        group = self._choose(printer, stocked, now)
        jobs = self._gather(group, now)
        self._note_ready(group, now)
        return self._nest(printer, group, jobs)

    def _has_cloth(self, printer: PrinterProcess, group: Group) -> bool:
        roll = printer.roll
        least_m = group.heap[0][3].longest_m + printer.model.roll_change.leader_m
        return (roll is not None and roll.fabric == group.fabric and roll.left_m > group.heap[0][3].longest_m) or (
            self.shelves[group.fabric].has(least_m)
        )

    def _choose(self, printer: PrinterProcess, groups: list[Group], now: float) -> Group:
        best = min(groups, key=lambda group: group.heap[0][:3])
        if self.policy.fabric_choice == "most_urgent" or printer.roll is None:
            return best
        same = [group for group in groups if group.fabric == printer.roll.fabric]
        limit = self.policy.stay_on_fabric_h * 60
        others_old = any(now - (g.oldest() or g.heap[0][3]).ready >= limit for g in groups if g not in same)
        if not same or (others_old and best not in same) or best.heap[0][0] < LANE_RUSH:
            return best
        return min(same, key=lambda group: (group.mode != printer.mode, *group.heap[0][:3]))

    def _gather(self, group: Group, now: float) -> list[tuple[Job, list[int]]]:
        """Take jobs in order until the run is long enough; a job too long is shared between runs."""
        taken: list[tuple[Job, list[int]]] = []
        left_over: list[Job] = []
        web_m = 0.0
        lot: int | None = None
        first_due = group.heap[0][3].line.order.draw.due
        latest = self._window_end(first_due)
        while group.heap and web_m < self.policy.gang_max_web_m:
            job = heapq.heappop(group.heap)[3]
            own_lot = job.wanted_lot
            if (own_lot is not None and lot is not None and own_lot != lot) or job.line.order.draw.due > latest:
                left_over.append(job)
                continue
            lot = own_lot if lot is None else lot
            count = min(len(job.pieces), max(1, int((self.policy.gang_max_web_m - web_m) / job.web_m_each)))
            taken.append((job, job.pieces[:count]))
            job.gang_ready = max(job.ready, group.ready_since or now)
            web_m += count * job.web_m_each
            self._out(group, job, count)
            if count < len(job.pieces):
                job.pieces = job.pieces[count:]
                left_over.append(job)
        for job in left_over:
            self._serial += 1
            rank = job.ready if self.policy.queue_rule == "first_come" else job.line.order.draw.due
            heapq.heappush(group.heap, (job.lane, rank, self._serial, job))
        return taken

    def _window_end(self, due: float) -> float:
        days = self.policy.gang_window_days
        return float("inf") if days is None else due + days * 1440 + _SLACK_MIN

    def _nest(self, printer: PrinterProcess, group: Group, jobs: list[tuple[Job, list[int]]]) -> Gang:
        fabric: Fabric = self.floor.scenario.fabrics[group.fabric]
        supplies = self.floor.scenario.supplies
        width_m = usable_width_m(printer.model.print_width_m, fabric.roll_width_m, supplies.edge_margin_m)
        sizes = [size for job, pieces in jobs for _ in pieces for size in job.line.web.sizes]
        owners = [(job, piece) for job, pieces in jobs for piece in pieces for _ in job.line.web.sizes]
        if self.policy.nesting == "skyline":
            layout = nest_skyline(sizes, width_m, supplies.gap_m, fabric.may_turn, effort=0)
        else:
            layout = nest_shelves(sizes, width_m, supplies.gap_m, fabric.may_turn)
        self.runs += 1
        return Gang(self.runs, group.fabric, group.mode, layout, owners, self.floor.env.now)

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
                floor.log.columns["prints"].extend((
                    printer.index, bundle.order.number, bundle.number, len(bundle.pieces), bundle.attempt, job.ready,
                    job.gang_ready, portion.started, now, portion.run,
                ))  # fmt: skip
                floor.flow.seen_at_printer(bundle)
            bundles += made
        line = self.calenders.get(printer.calender) if printer.calender else None
        if line is not None:
            line.dry(bundles, portion.web_m, printer.drying_min)
            return
        for bundle in bundles:
            floor.flow.advance(bundle)

    # -- bought in ----------------------------------------------------------------------------------------------------

    def _queue_h(self) -> float:
        return self.queued_m2 / self._rate_m2_per_h

    def _give_out(self, line: Line, pieces: int) -> None:
        assert self._bought_in is not None
        floor = self.floor
        back = floor.working_days_later(self._back_days.next())
        model = line.plan.model
        price = (model.price_per_m2 * line.area_m2 + model.price_per_piece) * pieces
        floor.log.columns["bought_in"].extend((
            floor.env.now, back, line.order.number, floor.print_place, pieces,
            price * self._bought_in.price_share_pct / 100,
        ))  # fmt: skip
        floor.flow.note_outside(line, pieces, floor.print_place, back)

        def returned(_: object) -> None:
            if not line.order.gone:
                floor.flow.count_finished(line, pieces)

        after(floor.env, back - floor.env.now, returned)


def _full_rate(printer: PrinterProcess) -> float:
    width_m = printer.model.print_width_m
    return feed_m_per_min(printer.model, printer.model.modes[0], width_m) * 60 * width_m
