"""A work centre at which more urgent work interrupts what is less urgent, and the rest goes on later.

Only tasks of this place interrupt and are interrupted; nobody is called from another place, from a break or from side
work. A task interrupts when it comes in line, or when people come, and could not start otherwise: as few pieces as it
takes are put aside, least urgent first, and never in vain, so that people and seat come free all at once. Work that
ends at that minute ends first, and what was begun at that very minute counts as not begun.

A piece put aside lies beside its seat, without it. It goes on with its remaining minutes, on any seat, with anybody
able (also where the crew keeps its work at the shift's end), before what has not begun of its lane. Here begun pieces
are first in line within their lane only: what lies on a seat since the shift's end gives the seat up to more urgent
work, so does a kept piece when its keeper comes back. A seat whose machine is down, or that holds a piece of somebody
who is away, is no free seat.

The end of a stretch is not known when it starts, so its row is written when it ends. The rest is a new task of the same
number: the timeout of the old one finds that it is no longer at work.
"""

from __future__ import annotations

from array import array
from typing import TYPE_CHECKING, NamedTuple

from shopsim.clock import SLIVER_MIN
from shopsim.floor.people import Person
from shopsim.floor.record import COLUMNS
from shopsim.floor.rules import LANE_ROUNDS, LANE_RUSH
from shopsim.floor.stations import Station
from shopsim.floor.tasks import Task
from shopsim.floor.timing import later_at
from shopsim.shop.work_centres import WorkCentre

if TYPE_CHECKING:
    from shopsim.floor.run import Floor

_END, _WORKED_MIN, _LAST = (COLUMNS["operations"].index(name) for name in ("end", "worked_min", "last"))


class Stretch(NamedTuple):
    """A stretch in work: its row as it will be if nothing interrupts it, the hours it lies in, how it was begun."""

    row: bytes
    end: float
    hours: list[tuple[float, float]]
    worked_min: float
    pace: float
    standard_min: float
    family_before: int

    @property
    def start(self) -> float:
        """When it began."""
        return self.hours[0][0]

    def done_by(self, now: float) -> tuple[float, float]:
        """End of the work done so far, and its minutes; a break in progress belongs to neither."""
        done = [(start, min(end, now)) for start, end in self.hours if start < now]
        return (done[-1][1], sum(end - start for start, end in done)) if done else (now, 0.0)

    def cut_row(self, end: float, worked_min: float) -> bytes:
        """The row of a stretch that was cut short."""
        cells = array("d", self.row)
        cells[_END], cells[_WORKED_MIN], cells[_LAST] = end, worked_min, False
        return cells.tobytes()


class InterruptedStation(Station):
    """A work centre with `interrupted_by`."""

    def __init__(self, floor: Floor, model: WorkCentre, place: int) -> None:
        super().__init__(
            floor, model.id, place, model.needed_skill, model.seats, model.queue_rule, model.change_over_min
        )
        self._by_class = model.interrupted_by == "more_urgent"
        self._at_work: dict[Task, Stretch] = {}
        self._write_row = self._append_row
        self._append_row = self._keep_row
        self._row = b""
        self._before = (0.0, 0)
        self._looks_again = False
        self._openings: list[float] = []
        self._write_interruption = floor.log.writer("interruptions")

    # -- stretches whose end may change -------------------------------------------------------------------------------

    def _keep_row(self, row: bytes) -> None:
        self._row = row

    def _start(self, task: Task, person: Person, partner: Person | None, now: float) -> None:
        self._before = (task.minutes, self.families[task.seat])
        super()._start(task, person, partner, now)

    def _note_stretch(self, task: Task, person: Person, now: float, end: float, worked_min: float, pace: float) -> None:
        super()._note_stretch(task, person, now, end, worked_min, pace)
        crew = person.crew
        other = crew if task.partner is None else task.partner.crew
        in_one_go = end - now < worked_min + SLIVER_MIN
        hours = [(now, end)] if in_one_go else self.floor.shared_hours(crew, other, now)
        self._at_work[task] = Stretch(self._row, end, hours, worked_min, pace, *self._before)

    def _end_stretch(self, task: Task) -> None:
        stretch = self._at_work.pop(task, None)
        if stretch is not None:
            self._write_row(stretch.row)
            super()._end_stretch(task)

    def close(self) -> None:
        """Write the stretches still in work at the horizon, with the ends they would have."""
        for stretch in self._at_work.values():
            self._write_row(stretch.row)

    # -- in line ------------------------------------------------------------------------------------------------------

    def lay_on_seat(self, task: Task, since: float) -> None:
        """What has been begun lies beside its seat here, and waits in line."""
        self.lay(task, since)

    def _in_line(self, task: Task) -> None:
        super()._in_line(task)
        if not self._looks_again and any(self._yields(other, task) for other in (*self._at_work, *self.paused)):
            self._looks_again = True
            later_at(self.env, self.env.now, self._look_again)

    def manned(self) -> None:
        """People come at these minutes."""
        self._openings = sorted({start for crew in (*self.crews, *self.helpers) for start in crew.calendar.starts})

    def start(self) -> None:
        """Look again whenever people come, once all who come at that minute have taken on work."""
        self._await(0)

    def _await(self, opening: int) -> None:
        while opening < len(self._openings) and self._openings[opening] < self.env.now:
            opening += 1  # before the simulation began
        if opening == len(self._openings):
            return
        if self._openings[opening] > self.env.now:
            later_at(self.env, self._openings[opening], self._people_come, opening)
        else:
            self._people_come(opening)

    def _people_come(self, opening: int) -> None:
        later_at(self.env, self._openings[opening], self._people_are_there, opening)

    def _people_are_there(self, opening: int) -> None:
        later_at(self.env, self._openings[opening], self._look_again)
        self._await(opening + 1)

    def urgency(self) -> tuple[int, float]:
        """Lane and due date of the most urgent task in line, begun or not."""
        return min(((task.lane, task.due) for task in self._in_order()), default=(LANE_ROUNDS + 1, 0.0))

    def _in_order(self) -> list[Task]:
        """What may be next: begun pieces and the head of each line, by lane; begun ones first within a lane."""
        lines = sorted((line for line in (self.singles, self.pairs) if line), key=lambda line: line.rank())
        return sorted([*self.paused, *(line.head() for line in lines)], key=lambda task: (task.lane, task.part == 0))

    def _sweep(self, now: float) -> None:
        """Put away what belongs to cancelled orders."""
        self._sweep_lines()
        for task in [task for task in self.paused if _is_gone(task)]:
            self.paused.remove(task)
            self._out_of_line(task)
            if task.seat >= 0:
                self._leave_seat(task, now)

    def _sweep_lines(self) -> None:
        for line in (self.singles, self.pairs):
            while line and _is_gone(line.head()):
                self._out_of_line(line.pop())

    # -- handing out --------------------------------------------------------------------------------------------------

    def offer(self, person: Person, now: float) -> bool:
        """Give a person who is here and free the most urgent task that can start, work in hand put aside for it."""
        freed = self._make_way(now, person)
        # A seat left may have given this very person other work.
        started = person.busy or any(self._take(task, person, now) for task in self._in_order())
        for other in freed or ():
            other.crew.look_round(other, now)
        return started

    def _take(self, task: Task, person: Person, now: float) -> bool:
        if task.part:
            return self._go_on(task, person, now)
        if not self.free_seats:
            return False
        if task.people > 1:
            return self._offer_pair(person, now)
        single = self.singles.pop({self.families[seat] for seat in self.free_seats} if self.change_over_min else None)
        self._out_of_line(single)
        if _is_gone(single):
            return self.offer(person, now)
        self._seat(single, now)
        self._start(single, person, None, now)
        return True

    def _go_on(self, task: Task, person: Person, now: float) -> bool:
        aside = task.seat < 0
        if aside and not self.free_seats:
            return False
        found, partner, _ = self._team(task, person, now)
        if not found:
            return False
        self.paused.remove(task)
        self._out_of_line(task)
        if aside:
            self._seat(task, now)
            if self.change_over_min and self.families[task.seat] != task.family:
                task.minutes += self.change_over_min
        self._start(task, person, partner, now)
        return True

    def resume(self, task: Task, person: Person, now: float) -> bool:
        """The person who kept a task goes on with it, unless it is put aside for what waits."""
        self._sweep_lines()
        first = next((other for other in self._in_order() if self._yields(task, other) and not _is_gone(other)), None)
        if first is None or _is_gone(task):
            return super().resume(task, person, now)
        self._put_aside(task, first, now)
        return False

    # -- interrupting -------------------------------------------------------------------------------------------------

    def _look_again(self, _: object) -> None:
        self._looks_again = False
        now = self.env.now
        while (freed := self._make_way(now)) is not None:
            self.pull(now)
            for person in freed:
                person.crew.look_round(person, now)

    def _make_way(self, now: float, person: Person | None = None) -> list[Person] | None:
        """Put work aside for the most urgent task that can start in no other way, with `person` at hand who may not
        stand idle yet. Returns the people set free; None if nothing was put aside."""
        self._sweep(now)
        for task in self._in_order():
            yielding = self._enough_for(task, now, person)
            if yielding is not None:
                freed = [each for other in yielding for each in self._interrupt(other, task, now)]
                return freed if yielding else None
        return None

    def _yields(self, task: Task, waiting: Task) -> bool:
        return waiting.lane <= (waiting.lane if self._by_class else LANE_RUSH) < task.lane

    def _enough_for(self, task: Task, now: float, person: Person | None) -> list[Task] | None:
        """The fewest pieces that must yield for a task to start, none if it can start; None if it cannot even so."""
        able = sum(len(crew.idle) for crew in self.crews if now < crew.open_until)
        able += person is not None and not person.idle
        hands = able + sum(len(crew.idle) for crew in self.helpers if now < crew.open_until)
        chosen: list[Task] = []
        seated = task.seat >= 0 or bool(self.free_seats)
        if not seated:
            lying = [other for other in self.paused if other.seat >= 0 and self._yields(other, task)]
            chosen = [max(reversed(lying), key=lambda other: other.lane)] if lying else []
            seated = bool(chosen)
        yielding = [other for other in self._at_work if self._yields(other, task) and self._can_stop(other, now)]
        yielding.sort(key=lambda other: (other.lane, self._at_work[other].start, other.number))
        while not (seated and able and hands >= task.people):
            if not yielding:
                return None
            other = yielding.pop()
            chosen.append(other)
            seated = True
            able += sum(each.crew in self.crews for each in _people(other))
            hands += len(_people(other))
        return chosen

    def _can_stop(self, task: Task, now: float) -> bool:
        """Whether all its people are at work, and not done at this minute."""
        return self._at_work[task].end - now > SLIVER_MIN and all(now < each.crew.open_until for each in _people(task))

    def _interrupt(self, task: Task, waiting: Task, now: float) -> tuple[Person, ...]:
        """Put a piece aside, in work or lying on a seat; returns the people it sets free."""
        if task not in self._at_work:
            self.paused.remove(task)
            self._out_of_line(task)
            self._put_aside(task, waiting, now)
            return ()
        stretch = self._at_work.pop(task)
        end, done_min = stretch.done_by(now)
        if self.stops is not None:
            self.stops[task.seat].until_next_min += stretch.worked_min - done_min
        rest = task.again()
        rest.person = rest.partner = None
        if task.part == 1 and done_min <= 0.0:
            self._not_begun(rest, stretch, now)
        else:
            self._write_row(stretch.cut_row(end, done_min))
            rest.left_min += stretch.worked_min - done_min
            rest.minutes = rest.left_min / stretch.pace
            self._put_aside(rest, waiting, now)
        for person in _people(task):
            person.crew.rest(person)
        return _people(task)

    def _put_aside(self, task: Task, waiting: Task, now: float) -> None:
        self._write_interruption(now, task.number, task.part - 1, waiting.number)
        self._leave_seat(task, now)
        task.seat = -1
        self.wait_again(task)

    def _not_begun(self, task: Task, stretch: Stretch, now: float) -> None:
        """A task begun at this very minute goes back into line."""
        self.families[task.seat] = stretch.family_before
        self._leave_seat(task, now)
        task.seat, task.part = -1, 0
        task.minutes, task.last_person = stretch.standard_min, None
        (self.singles if task.people == 1 else self.pairs).push(task)
        self._in_line(task)


def _people(task: Task) -> tuple[Person, ...]:
    return tuple(person for person in (task.person, task.partner) if person is not None)


def _is_gone(task: Task) -> bool:
    return task.order is not None and task.order.gone
