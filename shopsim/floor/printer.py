"""One printer: each turn does one thing, step by step, then it looks again at what is needed.

A turn is: stand down while nobody is there; set right what has failed; start the shift; or, with a gang at hand, one of
change the roll, bring the plate to temperature, change the mode, check nozzles, first article, print a stretch; without
one, feed the tail, change the take-up, wait. Rolls are `roll_change`, the tail and take-up `web_path`, stretches
`print_run`, checks and stops `stoppages`. What is left of a turn is the printer's agenda (`steps`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from shopsim.clock import MINUTES_PER_DAY, MINUTES_PER_WEEK
from shopsim.craft.layout import usable_width_m
from shopsim.floor.gangs import Gang
from shopsim.floor.print_run import PrintRun
from shopsim.floor.record import INK_CAUSES, KIND, KINDS, STATE
from shopsim.floor.roll_change import ROOM_C, RollChanger
from shopsim.floor.rules import LANE_ROUNDS, LANE_STOPPED
from shopsim.floor.steps import Stepwise
from shopsim.floor.stoppages import FirstArticles, NozzleCare, RunningStops
from shopsim.floor.tasks import Task
from shopsim.floor.timing import after, later_at
from shopsim.floor.web import Roll, book
from shopsim.floor.web_path import WebPath
from shopsim.shop.materials import Fabric
from shopsim.shop.printers import InlineFixation, Mode, OfflineFixation, Printer
from shopsim.shop.products import Product
from shopsim.shop.route_times import printers_for

if TYPE_CHECKING:
    from shopsim.floor.print_room import PrintRoom
    from shopsim.floor.run import Floor

_SLACK_M = 1e-9
# A clock that is set by adding minutes may be off by the last bit.
_SLACK_MIN = 1e-9


class PrinterProcess(Stepwise):
    """State and turns of one printer."""

    def __init__(self, floor: Floor, room: PrintRoom, index: int, model: Printer) -> None:
        super().__init__(floor.env)
        self.floor = floor
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
        # While there is nothing to do: until when at the longest, and whether somebody has called meanwhile.
        self._idle_until: float | None = None
        self._called = False
        self._looks_up_at = -1.0
        self._state = STATE["off"]
        self._state_since = 0.0
        self.path = WebPath(self)
        self.rolls = RollChanger(self)
        self.stops = RunningStops(self)
        self.nozzles = NozzleCare(self)
        self.articles = FirstArticles(self)
        self.printing = PrintRun(self)

    # -- what others ask ----------------------------------------------------------------------------------------------

    def can_print(self, product: Product, fabric: Fabric, width_m: float) -> bool:
        """Whether this printer may print pieces of a product this wide across the web."""
        if self.model not in printers_for(self.floor.scenario, product):
            return False
        margin_m = self.floor.scenario.supplies.edge_margin_m
        return width_m <= usable_width_m(self.model.print_width_m, fabric.roll_width_m, margin_m) + _SLACK_M

    def wake(self) -> None:
        """Something may have come to do."""
        if self._idle_until is not None and not self._called:
            self._called = True
            after(self.env, 0.0, self._looks_up)

    @property
    def idle(self) -> bool:
        """Whether there is nothing to do."""
        return self._idle_until is not None

    @property
    def prints(self) -> bool:
        """Whether a stretch is being printed."""
        return self._state == STATE["printing"]

    def look_again(self) -> None:
        """Whatever it has waited for may come at another minute now."""
        if self._idle_until is not None:
            self._idle_until = self.env.now
            self.wake()

    def fabric_of(self, gang: Gang) -> Fabric:
        """The fabric a gang is printed on."""
        return self.floor.scenario.fabrics[gang.fabric]

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

    def hands(self, kind: str, minutes: float, people: int = 1, lift: bool = False) -> None:
        """Step: wait for somebody's hands for so many minutes; the machine stands meanwhile."""
        if minutes <= 0:
            return
        if self.hot and self.path.loaded and kind != "minor_stop" and not self._web_can_stand(minutes):
            self.then(self.path.feed_tail)
        self.then(self._call_hands, kind, minutes, people, lift)

    def _call_hands(self, kind: str, minutes: float, people: int, lift: bool) -> None:
        task = Task(
            self.floor.hands, KIND[kind], minutes, self.hands_done, place=self.floor.print_place, people=people,
            needs_lift=lift, lane=LANE_STOPPED, watcher=self,
        )  # fmt: skip
        task.seat = self.index
        self.wait_for_hands()
        self.floor.hands.submit(task)
        self.stand_by()

    def hands_done(self, _: object) -> None:
        """Hands are off the machine: it goes on once whoever was there has taken on other work."""
        after(self.env, 0.0, self.go_on)

    def began(self, task: Task) -> None:
        """Hands are on the machine."""
        kind = KINDS[task.kind]
        self.enter("cleaning" if kind == "head_service" else kind)

    def paused(self, task: Task) -> None:
        """Hands have left it unfinished."""
        self.wait_for_hands()

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
            later_at(self.env, until, self._day_over)

    def _day_over(self, _: object) -> None:
        if self._state == STATE["waiting_operator"]:
            self.wait_for_hands()

    def post_rounds(self, minutes: float) -> None:
        """Looking after the running machine takes the operator's time but not the machine's."""
        wanted = minutes * self.model.attention_pct / 100
        if wanted <= 0 or (self._rounds is not None and self._rounds.part == 0):
            return
        self._rounds = Task(
            self.floor.hands, KIND["attention"], wanted, self._looked_after, place=self.floor.print_place,
            lane=LANE_ROUNDS,
        )  # fmt: skip
        self._rounds.seat = self.index
        self.floor.hands.submit(self._rounds)

    def _looked_after(self, task: Task) -> None:
        if task is self._rounds:
            self._rounds = None

    # -- turns --------------------------------------------------------------------------------------------------------

    def look_round(self) -> None:
        """One turn after another."""
        now = self.env.now
        attended = self.room.attendance.until(now) > now
        if not attended and not (self.model.unattended_running and self.hot):
            self._stand_down()
        elif self.stops.ages and self.stops.is_due(now, may_renew=attended and self.gang is None):
            self.stops.set_right()
        elif attended and self._is_new_shift(now):
            self._start_shift(now)
        else:
            self.gang = self.gang or self.room.take(self)
            if self.gang is not None:
                self._further(self.gang)
            else:
                self._nothing_to_print()

    def _further(self, gang: Gang) -> None:
        if self.rolls.wanted(gang):
            self.rolls.change()
        elif self.inline and self.plate_c != self.fabric_of(gang).plate_c:
            self.rolls.set_plate()
        elif self.mode != gang.mode:
            self._change_mode(gang.mode)
        elif self.nozzles.due:
            self.nozzles.check()
        elif not gang.first_article:
            self.articles.check()
        else:
            self.printing.stretch()

    def _nothing_to_print(self) -> None:
        if self.path.loaded:
            self.path.feed_tail()
        elif self.path.wound:
            self.path.change_take_up()
        else:
            self._wait_for_work()

    def _wait_for_work(self) -> None:
        """Stand ready until work or cloth comes, or people come or go."""
        now = self.env.now
        until = self.room.attendance.until(now)
        until = min(until, self.room.attendance.next_shift(now)) if until > now else self.room.attendance.next(now)
        if self.stops.ages:
            until = min(until, self.stops.fails_at)
        self.enter("waiting_material" if self.lacks_cloth else "waiting_job")
        self.room.wake_at(until)
        self._idle_until, self._called = until, False
        self.stand_by()

    def _looks_up(self, _: object) -> None:
        assert self._idle_until is not None
        self._called = False
        # Where several printers wait the first takes all there is; the others wait on without another turn.
        if self.env.now < self._idle_until - _SLACK_MIN and not self.lacks_cloth and not self.room.has_work(self):
            return
        self._idle_until = None
        self.go_on()

    def wait_until(self, at: float) -> None:
        """Go on at `at`, after all work ending then; never, if that lies beyond the horizon."""
        super().wait_until(min(at, self.log.horizon_min + 1))

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

    def _stand_down(self) -> None:
        """Nobody is there: the plate goes off, or stays hot where the shop leaves it so."""
        self._switch_off()
        self.wait_until(self.room.attendance.next(self.env.now))

    def _start_shift(self, now: float) -> None:
        """Switch on; service and care while it warms up; nozzles are due."""
        # Whoever comes first switches on, even if a roll left from yesterday kept the printer until now.
        self._shift_key = self.room.attendance.shift_key(now)
        if now >= self._service_at:
            if self.hot and self.path.loaded:
                self.then(self.path.feed_tail)
            self.then(self._service)
            self.then(self._switch_on, now, None)
        else:
            on_at = max(self.room.attendance.calendar.shift_start(now), self.stops.up_since)
            self._switch_on(now, on_at)

    def _service(self) -> None:
        care = self.model.care
        self.enter("service")
        self._service_at = self.env.now + (care.service_every_days or math.inf) * MINUTES_PER_DAY
        self.wait_until(self.room.attendance.calendar.finish(self.env.now, care.service_h * 60))

    def _switch_on(self, came_at: float, on_at: float | None) -> None:
        now = self.env.now
        hot_at = now if self.hot else (now if on_at is None else on_at) + self._warm_up_min
        self.then(self.hands, "care", self._care_due_min(came_at))
        if self.nozzles.slow:
            self.then(self.nozzles.service)
        self.then(self._warm_up, hot_at)
        self.then(self._is_ready)

    def _warm_up(self, hot_at: float) -> None:
        if self.env.now < hot_at:
            self.enter("warming")
            self.wait(hot_at - self.env.now)

    def _is_ready(self) -> None:
        self.hot = True
        self.nozzles.shift_begins()

    def warm_up_again(self) -> None:
        """Repaired after a night: the plate went cold unless the shop leaves it hot."""
        if not self.model.hot_overnight:
            self.plate_c = ROOM_C
            self.enter("warming")
            self.wait(self._warm_up_min)

    def _care_due_min(self, now: float) -> float:
        care, minutes = self.model.care, 0.0
        if int(now // MINUTES_PER_DAY) != self._care_day:
            minutes += care.daily_min
        if int(now // MINUTES_PER_WEEK) != self._care_week:
            minutes += care.weekly_min
        self._care_day, self._care_week = int(now // MINUTES_PER_DAY), int(now // MINUTES_PER_WEEK)
        return minutes

    def _change_mode(self, mode: str) -> None:
        if self.mode and self.model.mode_change_min:
            self.enter("mode_change")
            self.wait(self.model.mode_change_min)
        self.then(self._is_in_mode, mode)

    def _is_in_mode(self, mode: str) -> None:
        self.mode = mode
