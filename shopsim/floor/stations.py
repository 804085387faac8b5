"""Stations: seats, a line of tasks, and the crews able to work there. One timeout a stretch of work.

A stretch ends when the task is done, when the person's shift ends, or when the seat's machine fails (`seat_repairs`);
its end is known when it starts. What is left stays on its seat, first in line for the next able person (or for the same
one, where the crew keeps its work). People, seat and lift are taken all at once or not at all.
"""

from __future__ import annotations

from collections import deque
from typing import TYPE_CHECKING

from shopsim.calendars import Calendar
from shopsim.floor.draws import ReplicationDraws
from shopsim.floor.failures import Failures
from shopsim.floor.people import Crew, Person
from shopsim.floor.rules import LANE_ROUNDS, RULES, RankedQueue, SetUpQueue
from shopsim.floor.seat_repairs import SeatRepairs
from shopsim.floor.tasks import Task
from shopsim.floor.timing import after
from shopsim.shop.printers import Breakdowns

if TYPE_CHECKING:
    from shopsim.floor.run import Floor

_NO_FAMILY = -2


class Station:
    """A work centre, the calenders, or the hands of the print room (which need no seat)."""

    def __init__(self, floor: Floor, name: str, place: int, skill: str, seats: int | None, rule: str,
                 change_over_min: float = 0.0) -> None:  # fmt: skip
        self.floor = floor
        self.env = floor.env
        self.name = name
        self.place = place
        self.skill = skill
        self.seats = seats
        self.change_over_min = change_over_min
        self.free_seats: list[int] = list(range(seats)) if seats is not None else []
        self.families = [_NO_FAMILY] * (seats or 0)
        queue = SetUpQueue if rule == "same_set_up" else RankedQueue
        self.singles = queue(RULES[rule])
        self.pairs = RankedQueue(RULES[rule])
        self.paused: deque[Task] = deque()
        self.waiting = 0
        self.queued_min = 0.0
        self.crews: list[Crew] = []
        self.helpers: list[Crew] = []
        self.calendar: Calendar | None = None
        self.stops: list[Failures] | None = None
        self.repairs: SeatRepairs | None = None
        self._full_min = 0.0
        self._full_since = -1.0
        self._pack_row, self._append_row = floor.log.row_format("operations")

    def add_stops(self, rule: Breakdowns, draws: ReplicationDraws) -> None:
        """Let seats fail."""
        names = [f"stops/{self.name}/{seat}" for seat in range(self.seats or 0)]
        self.stops = [Failures(rule, draws, f"{name}/gap", f"{name}/kind", f"{name}/repair") for name in names]
        self.repairs = SeatRepairs(self, self.stops)

    def manned(self) -> None:
        """It is known who can work here, and when."""

    # -- in line ------------------------------------------------------------------------------------------------------

    def submit(self, task: Task) -> None:
        """A task comes in; it starts at once if people, seat and lift are there."""
        now = self.env.now
        task.ready = now
        task.number = self.floor.next_task_number()
        task.full_at = self._full_min if self._full_since < 0.0 else self._full_minutes(now)
        alone = task.people == 1 and not task.needs_lift
        if alone and not self.waiting and self._start_at_once(task, now):
            return
        (self.singles if alone else self.pairs).push(task)
        self._in_line(task)
        if self.seats is None or self.free_seats:
            self.pull(now)

    def lay(self, task: Task, since: float) -> None:
        """A task that is in line already and has waited since then; nobody is at work yet."""
        self._number(task, since)
        (self.singles if task.people == 1 and not task.needs_lift else self.pairs).push(task)
        self._in_line(task)

    def lay_on_seat(self, task: Task, since: float) -> None:
        """A task that has been begun: it lies on a seat set up for it, first in line, with the minutes it has left."""
        now = self.env.now
        self._number(task, since)
        self._seat(task, now)
        self.families[task.seat] = task.family
        self.wait_again(task)

    def stand_until(self, seat: int, until: float) -> None:
        """The machine of a free seat is down until then, and as good as new afterwards."""
        self.take_seat(seat, self.env.now)
        after(self.env, until - self.env.now, self.up_again, seat)

    def up_again(self, seat: int) -> None:
        """The machine of a seat that stood runs again."""
        now = self.env.now
        if self.repairs is not None:
            self.repairs.as_new(seat, now)
        self.leave_seat(seat, now)
        self.pull(now)

    def _number(self, task: Task, since: float) -> None:
        task.ready = since
        task.number = self.floor.next_task_number()
        task.full_at = self._full_min if self._full_since < 0.0 else self._full_minutes(self.env.now)

    def _start_at_once(self, task: Task, now: float) -> bool:
        """Start a task for one person where nobody is in line; False if no seat or no person is free."""
        if self.seats is not None and not self.free_seats:
            return False
        person = self._idle_person(now)
        if person is None:
            return False
        self._seat(task, now)
        self._start(task, person, None, now)
        return True

    def urgency(self) -> tuple[int, float]:
        """Lane and due date of the most urgent task in line; unfinished pieces on their seats come before any."""
        if self.paused:
            return -1, self.paused[0].due
        heads = [queue.head() for queue in (self.singles, self.pairs) if queue]
        return min(((task.lane, task.due) for task in heads), default=(LANE_ROUNDS + 1, 0.0))

    def pull(self, now: float) -> None:
        """Hand out waiting tasks while there is someone to take them."""
        while self.waiting:
            person = self._idle_person(now)
            if person is None or not self.offer(person, now):
                return

    def _idle_person(self, now: float) -> Person | None:
        for crew in self.crews:
            if crew.idle and now < crew.open_until:
                return crew.idle[0]
        return None

    def offer(self, person: Person, now: float) -> bool:
        """Give a person who is here and free the best task that can start; False if there is none."""
        if self.paused and self._offer_paused(person, now):
            return True
        singles, pairs = self.singles, self.pairs
        while self.seats is None or self.free_seats:
            if pairs and (not singles or pairs.rank() < singles.rank()) and self._offer_pair(person, now):
                return True
            if not singles:
                return False
            if self.change_over_min:
                task = singles.pop({self.families[seat] for seat in self.free_seats})
            else:
                task = singles.pop()
            self._out_of_line(task)
            if task.order is not None and task.order.gone:
                continue
            self._seat(task, now)
            self._start(task, person, None, now)
            return True
        return False

    def _offer_pair(self, person: Person, now: float) -> bool:
        while self.pairs:
            task = self.pairs.head()
            if task.order is not None and task.order.gone:
                self._out_of_line(self.pairs.pop())
                continue
            found, partner, lift = self._team(task, person, now)
            if not found:
                return False
            self._out_of_line(self.pairs.pop())
            self._seat(task, now)
            self._use_lift(task, lift)
            self._start(task, person, partner, now)
            return True
        return False

    def _offer_paused(self, person: Person, now: float) -> bool:
        for task in list(self.paused):
            if task.order is not None and task.order.gone:
                self.paused.remove(task)
                self._out_of_line(task)
                self._leave_seat(task, now)
                # What comes free may have given work to this very person, or started others of these pieces.
                return person.busy or self._offer_paused(person, now)
            found, partner, lift = self._team(task, person, now)
            if not found:
                continue
            self.paused.remove(task)
            self._out_of_line(task)
            self._use_lift(task, lift)
            self._start(task, person, partner, now)
            return True
        return False

    def _in_line(self, task: Task) -> None:
        self.waiting += 1
        self.queued_min += task.minutes

    def _out_of_line(self, task: Task) -> None:
        self.waiting -= 1
        self.queued_min -= task.minutes

    def _team(self, task: Task, person: Person, now: float) -> tuple[bool, Person | None, bool]:
        """Whether the task can start with this person: (yes, second person, lift). Without a lift two people lift."""
        people = task.people
        lift = task.needs_lift and self.floor.lifts_free > 0
        if task.needs_lift and not lift:
            if people > 1:
                return False, None, False
            people = 2
        if people == 1:
            return True, None, lift
        for crew in (*self.crews, *self.helpers):
            if now < crew.open_until:
                for other in crew.idle:
                    if other is not person:
                        return True, other, lift
        return False, None, False

    def _use_lift(self, task: Task, lift: bool) -> None:
        task.lift = lift
        if lift:
            self.floor.lifts_free -= 1

    # -- seats --------------------------------------------------------------------------------------------------------

    def _seat(self, task: Task, now: float) -> None:
        if self.seats is None:
            return
        free = self.free_seats
        best = 0
        if self.change_over_min:
            for i, seat in enumerate(free):
                if self.families[seat] == task.family:
                    best = i
                    break
        task.seat = free.pop(best)
        if not free and self.calendar is not None:
            self._full_since = now

    def take_seat(self, seat: int, now: float) -> None:
        """A free seat is free no more, though nobody works there."""
        self.free_seats.remove(seat)
        if not self.free_seats and self.calendar is not None:
            self._full_since = now

    def _leave_seat(self, task: Task, now: float) -> None:
        if self.seats is not None:
            self.leave_seat(task.seat, now)

    def leave_seat(self, seat: int, now: float) -> None:
        """A seat has nothing on it any more: it is free, unless its machine must be seen to."""
        if not self.free_seats and self.calendar is not None:
            self._full_min = self._full_minutes(now)
            self._full_since = -1.0
        self.free_seats.append(seat)
        self.free_seats.sort()
        if self.repairs is not None:
            self.repairs.left(seat, now)

    def _full_minutes(self, now: float) -> float:
        """Open minutes so far during which every seat was taken."""
        if self._full_since < 0 or self.calendar is None:
            return self._full_min
        return self._full_min + self.calendar.work_between(self._full_since, now)

    # -- at work ------------------------------------------------------------------------------------------------------

    def resume(self, task: Task, person: Person, now: float) -> bool:
        """The person who kept a task goes on with it; False if its order was cancelled meanwhile."""
        if task.order is not None and task.order.gone:
            self._leave_seat(task, now)
            return False
        self._start(task, person, None, now)
        return True

    def _start(self, task: Task, person: Person, partner: Person | None, now: float) -> None:
        crew = person.crew
        crew.take(person)
        pace = person.pace / crew.speed(self.skill, now)
        if partner is not None:
            pace = self._join_in(task, partner, pace, now)
        minutes = task.minutes * pace
        if task.part:
            if task.last_person is not person:
                minutes += crew.handover_min
        elif self.change_over_min and self.families[task.seat] != task.family:
            minutes += self.change_over_min * pace
        if self.seats is not None:
            self.families[task.seat] = task.family
        run_min = minutes if self.stops is None else min(minutes, self.stops[task.seat].until_next_min)
        end, left = now + run_min, 0.0
        if partner is not None and partner.crew is not crew:
            end, left = self._together(crew, partner.crew, now, run_min)
        elif end > crew.open_until:
            end, left = crew.past_break(now, run_min)
        task.person, task.partner, task.last_person = person, partner, person
        if self.repairs is not None:
            end, left = self.repairs.runs(task, now, end, run_min, left)
        task.left_min = left + (minutes - run_min)
        task.minutes = task.left_min / pace
        self._note_stretch(task, person, now, end, run_min - left, pace)
        task.part += 1
        if task.watcher is not None:
            task.watcher.began(task)
        after(self.env, end - now, self._end_stretch, task)

    def _join_in(self, task: Task, partner: Person, pace: float, now: float) -> float:
        """A second person joins; returns the pace of both. Whoever only stands in for a lift changes no pace."""
        partner.crew.take(partner)
        if task.people == 1:
            return pace
        return (pace + partner.pace / partner.crew.speed(self.skill, now)) / 2 * task.labour / 2

    def _note_stretch(self, task: Task, person: Person, now: float, end: float, worked_min: float, pace: float) -> None:
        order, bundle, partner = task.order, task.bundle, task.partner
        # Whoever starts for the first time has just found a free seat: no span of all seats taken is in progress.
        wait_seat = self._full_min - task.full_at if task.part == 0 and self.seats is not None else 0.0
        self._append_row(self._pack_row(
            task.number, task.part, task.kind, task.place, task.seat, person.index,
            -1 if partner is None else partner.index, -1 if order is None else order.number,
            -1 if bundle is None else bundle.number, task.pieces, task.attempt, task.ready, now, end, worked_min,
            wait_seat, task.left_min == 0.0,
        ))  # fmt: skip

    def _together(self, one: Crew, other: Crew, now: float, minutes: float) -> tuple[float, float]:
        """End of a stretch of two people of different crews, and minutes left: they work while both are at work."""
        open_min = 0.0
        at = now
        for start, end in self.floor.shared_hours(one, other, now):
            if start < at:
                start = at
            if open_min + (end - start) >= minutes:
                return start + (minutes - open_min), 0.0
            open_min += end - start
            at = end
        return at, minutes - open_min

    def _end_stretch(self, task: Task) -> None:
        now = self.env.now
        person, partner = task.person, task.partner
        assert person is not None
        if task.lift:
            task.lift = False
            self.floor.return_lift()
        if task.left_min > 0.0:
            self._put_down(task, person, now)
        else:
            self._leave_seat(task, now)
            task.on_done(task)
        if partner is None:
            person.crew.free(person, now)
        else:
            # Both stand idle before either takes on more, so that what they leave together they can go on with.
            person.crew.rest(person)
            partner.crew.rest(partner)
            person.crew.look_round(person, now)
            partner.crew.look_round(partner, now)
        if self.waiting and (self.seats is None or self.free_seats or self.paused):
            self.pull(now)

    def _put_down(self, task: Task, person: Person, now: float) -> None:
        if task.watcher is not None:
            task.watcher.paused(task)
        if self.repairs is not None and self.repairs.stopped(task, now):
            return
        if person.crew.keeps_work and task.partner is None and not task.needs_lift:
            person.kept.append(task)
        else:
            self.wait_again(task)

    def set_aside(self, seat: int) -> Task | None:
        """The unfinished piece on a seat at which nobody works, taken from whoever would go on with it."""
        for task in self.paused:
            if task.seat == seat:
                self.paused.remove(task)
                self._out_of_line(task)
                return task
        for person in (person for crew in self.crews for person in crew.members):
            for task in person.kept:
                if task.station is self and task.seat == seat:
                    person.kept.remove(task)
                    return task
        return None

    def wait_again(self, task: Task) -> None:
        """An unfinished piece lies on its seat, first in line for whoever can go on with it."""
        self.paused.append(task)
        self._in_line(task)
