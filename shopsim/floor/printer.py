"""One printer as a process: each turn of its loop does one thing, then looks again at what is needed.

A turn is: stand down while nobody is there; set right what has failed; start the shift; or, with a gang at hand, one of
change the roll, bring the plate to temperature, change the mode, check nozzles, first article, print a stretch; without
one, feed the tail, change the take-up, wait. Rolls are `roll_change`, the tail and take-up `web_path`, stretches
`print_run`, checks and stops `stoppages`.
"""

from __future__ import annotations

import math
from collections.abc import Generator
from typing import TYPE_CHECKING, Any

import simpy
from simpy.events import Timeout

from shopsim.clock import MINUTES_PER_DAY, MINUTES_PER_WEEK
from shopsim.craft.layout import usable_width_m
from shopsim.floor.gangs import Gang
from shopsim.floor.print_run import PrintRun
from shopsim.floor.record import INK_CAUSES, KIND, STATE
from shopsim.floor.roll_change import ROOM_C, RollChanger
from shopsim.floor.rules import LANE_ROUNDS, LANE_STOPPED
from shopsim.floor.stoppages import FirstArticles, NozzleCare, RunningStops
from shopsim.floor.tasks import Task
from shopsim.floor.timing import later_at
from shopsim.floor.web import Roll, book
from shopsim.floor.web_path import WebPath
from shopsim.shop.materials import Fabric
from shopsim.shop.printers import InlineFixation, Mode, OfflineFixation, Printer
from shopsim.shop.products import Product
from shopsim.shop.route_times import printers_for

if TYPE_CHECKING:
    from shopsim.floor.print_room import PrintRoom
    from shopsim.floor.run import Floor

Turn = Generator[simpy.Event, Any, None]
_SLACK_M = 1e-9
# A clock that is set by adding minutes may be off by the last bit.
_SLACK_MIN = 1e-9


class PrinterProcess:
    """State and turns of one printer."""

    def __init__(self, floor: Floor, room: PrintRoom, index: int, model: Printer) -> None:
        self.floor = floor
        self.env = floor.env
        self.log = floor.log
        self.room = room
        self.index = index
        self.model = model
        self.modes: dict[str, Mode] = {mode.id: mode for mode in model.modes}
        fixation = model.fixation
        self.inline = isinstance(fixation, InlineFixation)
        self.web_lift = fixation.web_lift if isinstance(fixation, InlineFixation) else True
        self.calender = fixation.calender if isinstance(fixation, OfflineFixation) else None
        self.drying_min = fixation.drying_min if isinstance(fixation, OfflineFixation) else 0.0
        self._warm_up_min = fixation.warm_up_min if isinstance(fixation, InlineFixation) else 0.0
        self.roll: Roll | None = None
        self.gang: Gang | None = None
        self.last_gang: Gang | None = None
        self.mode = ""
        self.plate_c = ROOM_C
        self.speed = 1.0
        self.hot = False
        self.lacks_cloth = False
        # Fabrics of which there was no roll long enough, until cloth comes.
        # Metres for which a fabric has lately had no roll; shorter pieces of it may still be printed.
        self.lacking: dict[int, float] = {}
        self._shift_key = -1.0
        self._care_day = self._care_week = -1
        self._service_at = (model.care.service_every_days or math.inf) * MINUTES_PER_DAY
        self._rounds: Task | None = None
        self._wake_up: simpy.Event | None = None
        self._looks_up_at = -1.0
        self._state = STATE["off"]
        self._state_since = 0.0
        self.path = WebPath(self)
        self.rolls = RollChanger(self)
        self.stops = RunningStops(self)
        self.nozzles = NozzleCare(self)
        self._articles = FirstArticles(self)
        self._printing = PrintRun(self)

    # -- what others ask ----------------------------------------------------------------------------------------------

    def can_print(self, product: Product, fabric: Fabric, width_m: float) -> bool:
        """Whether this printer may print pieces of a product this wide across the web."""
        if self.model not in printers_for(self.floor.scenario, product):
            return False
        margin_m = self.floor.scenario.supplies.edge_margin_m
        return width_m <= usable_width_m(self.model.print_width_m, fabric.roll_width_m, margin_m) + _SLACK_M

    def wake(self) -> None:
        """Something may have come to do."""
        if self._wake_up is not None and not self._wake_up.triggered:
            self._wake_up.succeed()

    # -- state and what is used ---------------------------------------------------------------------------------------

    def enter(self, state: str) -> None:
        """Be in a state from now on; the span before is closed."""
        code = STATE[state]
        if code != self._state:
            self.close_span(self.env.now)
            self._state = code

    def close_span(self, now: float) -> None:
        """Write the span of the state in progress up to `now`."""
        if now > self._state_since:
            self.log.columns["printer_states"].extend((self.index, self._state, self._state_since, now))
        self._state_since = now

    def use_web(self, metres: float, cause: str, pieces_m2: float = 0.0) -> None:
        """Take metres off the mounted roll, no more than it has."""
        roll = self.roll
        if roll is not None:
            used = min(metres, roll.left_m)
            roll.left_m -= used
            self._book(roll, cause, used, pieces_m2)

    def rebook_as_lost(self, metres: float) -> None:
        """Metres printed in a band that is lost were waste after all."""
        assert self.roll is not None
        self._book(self.roll, "printed", -metres, 0.0)
        self._book(self.roll, "stop", metres, 0.0)

    def _book(self, roll: Roll, cause: str, metres: float, pieces_m2: float) -> None:
        book(self.log, self.env.now, self.index, self.room.shelves[roll.fabric], roll.lot, cause, metres, pieces_m2)

    def use_ink(self, millilitres: float, cause: str) -> None:
        """Note ink used."""
        if millilitres:
            self.log.columns["ink"].extend((self.env.now, self.index, INK_CAUSES.index(cause), millilitres))

    # -- hands --------------------------------------------------------------------------------------------------------

    def hands(self, kind: str, minutes: float, *, people: int = 1, lift: bool = False) -> Turn:
        """Wait for somebody's hands for so many minutes; the machine stands meanwhile."""
        if minutes <= 0:
            return
        if self.hot and self.path.loaded and kind != "minor_stop" and not self._web_can_stand(minutes):
            yield from self.path.feed_tail()
        done = self.env.event()
        task = Task(
            self.floor.hands, KIND[kind], minutes, lambda _: done.succeed(), place=self.floor.print_place,
            people=people, needs_lift=lift, lane=LANE_STOPPED, watcher=HandsWatcher(self, kind),
        )  # fmt: skip
        task.seat = self.index
        self.wait_for_hands()
        self.floor.hands.submit(task)
        yield done

    def _web_can_stand(self, minutes: float) -> bool:
        """Whether printed web may stand at the plate while hands are needed for so many minutes.

        Without a lift a stop scorches it (NOZ-12); and the tail must be through before everybody goes home.
        """
        left_min = self.room.attendance.until(self.env.now) - self.env.now
        return self.web_lift and left_min >= minutes + self.path.tail_min(self.last_gang, self.speed)

    def wait_for_hands(self) -> None:
        """Stand until somebody comes: switched off once the day is over."""
        now = self.env.now
        until = self.room.attendance.until(now)
        if until <= now:
            self._switch_off()
            return
        self.enter("waiting_operator")
        if until != self._looks_up_at and until <= self.log.horizon_min:
            self._looks_up_at = until
            later_at(self.env, until).callbacks.append(self._day_over)

    def _day_over(self, _: simpy.Event) -> None:
        if self._state == STATE["waiting_operator"]:
            self.wait_for_hands()

    def post_rounds(self, minutes: float) -> None:
        """Looking after the running machine takes the operator's time but not the machine's."""
        wanted = minutes * self.model.attention_pct / 100
        if wanted <= 0 or (self._rounds is not None and self._rounds.part == 0):
            return
        self._rounds = Task(
            self.floor.hands, KIND["attention"], wanted, lambda _: None, place=self.floor.print_place, lane=LANE_ROUNDS
        )
        self._rounds.seat = self.index
        self.floor.hands.submit(self._rounds)

    # -- the loop -----------------------------------------------------------------------------------------------------

    def run(self) -> Turn:
        """Process: one turn after another."""
        while True:
            now = self.env.now
            attended = self.room.attendance.until(now) > now
            if not attended and not (self.model.unattended_running and self.hot):
                yield from self._stand_down()
            elif self.stops.ages and self.stops.is_due(now, may_renew=attended and self.gang is None):
                yield from self.stops.set_right()
            elif attended and self._is_new_shift(now):
                yield from self._start_shift(now)
            else:
                self.gang = self.gang or self.room.take(self)
                yield from self._further(self.gang) if self.gang is not None else self._nothing_to_print()

    def _further(self, gang: Gang) -> Turn:
        fabric = self.floor.scenario.fabrics[gang.fabric]
        if self.rolls.wanted(gang):
            return self.rolls.change(gang, fabric)
        if self.inline and self.plate_c != fabric.plate_c:
            return self.rolls.set_plate(fabric)
        if self.mode != gang.mode:
            return self._change_mode(gang)
        if self.nozzles.due:
            return self.nozzles.check()
        if not gang.first_article:
            return self._articles.check(gang)
        return self._printing.stretch(gang, fabric)

    def _nothing_to_print(self) -> Turn:
        if self.path.loaded:
            return self.path.feed_tail()
        if self.path.wound:
            return self.path.change_take_up()
        return self.wait_for_work()

    def wait_for_work(self) -> Turn:
        """Stand ready until work or cloth comes, or people come or go."""
        now = self.env.now
        until = self.room.attendance.until(now)
        until = min(until, self.room.attendance.next_shift(now)) if until > now else self.room.attendance.next(now)
        if self.stops.ages:
            until = min(until, self.stops.fails_at)
        self.enter("waiting_material" if self.lacks_cloth else "waiting_job")
        self.room.wake_at(until)
        looking = True
        while looking:
            self._wake_up = self.env.event()
            yield self._wake_up
            # Where several printers wait the first takes all there is; the others wait on without another turn.
            looking = self.env.now < until - _SLACK_MIN and not self.lacks_cloth and not self.room.has_work(self)
        self._wake_up = None

    def wait_until(self, at: float) -> simpy.Event:
        """An event at `at` after all work ending then; never, if that lies beyond the horizon."""
        return later_at(self.env, min(at, self.log.horizon_min + 1))

    def hand_on(self, gang: Gang) -> None:
        """What is printed of a gang begins its way to the take-up."""
        web_m, m2, pieces = gang.done_m, gang.done_m2, len(gang.done)
        portion = gang.portion()
        if portion is None:
            return
        self.last_gang = gang
        self.log.columns["runs"].extend((
            gang.run, self.index, gang.fabric, list(self.modes).index(gang.mode), gang.started, self.env.now, web_m,
            m2, pieces, self.speed,
        ))  # fmt: skip
        if self.calender is not None:
            self.use_web(self.room.calenders[self.calender].model.waste_m_per_roll, "calender")
        self.path.load(portion)

    def give_back(self, gang: Gang) -> None:
        """There is no cloth for the rest of a gang: it goes back into line, and other work may go on."""
        self.hand_on(gang)
        band = gang.bands[gang.next]
        self.lacking[gang.fabric] = min(band.left_m, self.lacking.get(gang.fabric, band.left_m))
        if band.printed_m:
            self.rebook_as_lost(band.printed_m)
        self.gang = None
        self.room.take_back(gang)

    # -- beginning and end of the day ---------------------------------------------------------------------------------

    def _is_new_shift(self, now: float) -> bool:
        key = self.room.attendance.shift_key(now)
        return key >= 0 and key != self._shift_key

    def _switch_off(self) -> None:
        if not self.model.hot_overnight:
            self.hot = False
            self.plate_c = ROOM_C
        self.enter("waiting_job" if self.hot else "off")

    def _stand_down(self) -> Turn:
        """Nobody is there: the plate goes off, or stays hot where the shop leaves it so."""
        self._switch_off()
        yield self.wait_until(self.room.attendance.next(self.env.now))

    def _start_shift(self, now: float) -> Turn:
        """Switch on; service and care while it warms up; nozzles are due."""
        # Whoever comes first switches on, even if a roll left from yesterday kept the printer until now.
        self._shift_key = self.room.attendance.shift_key(now)
        on_at = max(self.room.attendance.calendar.shift_start(now), self.stops.up_since)
        if now >= self._service_at:
            if self.hot and self.path.loaded:
                yield from self.path.feed_tail()
            yield from self._service()
            on_at = self.env.now
        hot_at = self.env.now if self.hot else on_at + self._warm_up_min
        yield from self.hands("care", self._care_due_min(now))
        if self.nozzles.slow:
            yield from self.nozzles.service()
        if self.env.now < hot_at:
            self.enter("warming")
            yield Timeout(self.env, hot_at - self.env.now)
        self.hot = True
        self.nozzles.shift_begins()

    def warm_up_again(self) -> Turn:
        """Repaired after a night: the plate went cold unless the shop leaves it hot."""
        if not self.model.hot_overnight:
            self.plate_c = ROOM_C
            self.enter("warming")
            yield Timeout(self.env, self._warm_up_min)

    def _service(self) -> Turn:
        care = self.model.care
        self.enter("service")
        self._service_at = self.env.now + (care.service_every_days or math.inf) * MINUTES_PER_DAY
        yield self.wait_until(self.room.attendance.calendar.finish(self.env.now, care.service_h * 60))

    def _care_due_min(self, now: float) -> float:
        care, minutes = self.model.care, 0.0
        if int(now // MINUTES_PER_DAY) != self._care_day:
            minutes += care.daily_min
        if int(now // MINUTES_PER_WEEK) != self._care_week:
            minutes += care.weekly_min
        self._care_day, self._care_week = int(now // MINUTES_PER_DAY), int(now // MINUTES_PER_WEEK)
        return minutes

    def _change_mode(self, gang: Gang) -> Turn:
        if self.mode and self.model.mode_change_min:
            self.enter("mode_change")
            yield Timeout(self.env, self.model.mode_change_min)
        self.mode = gang.mode


class HandsWatcher:
    """Shows in the printer's states when hands are on it and when it waits for them."""

    __slots__ = ("_printer", "_state")

    def __init__(self, printer: PrinterProcess, kind: str) -> None:
        self._printer = printer
        self._state = "cleaning" if kind == "head_service" else kind

    def began(self, task: Task) -> None:
        """Hands are on the machine."""
        self._printer.enter(self._state)

    def paused(self, task: Task) -> None:
        """Hands have left it unfinished."""
        self._printer.wait_for_hands()
