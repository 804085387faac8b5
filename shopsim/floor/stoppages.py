"""What stops a printer: nozzle checks with their cleaning ladder, first articles, minor stops, breakdowns, renewals."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from shopsim.distributions import Exponential
from shopsim.floor.failures import Failures
from shopsim.floor.gangs import Gang, Portion
from shopsim.floor.record import KIND
from shopsim.floor.rules import LANE_STOPPED
from shopsim.floor.tasks import Task

if TYPE_CHECKING:
    from shopsim.floor.printer import PrinterProcess

_MOST_CORRECTIONS = 3
_WASTE_WITH_LIFT_M = 0.8  # FIX-10
_WASTE_WITHOUT_LIFT_M = 2.5  # FIX-11
_LOSES_PIECE = 0.8  # FIX-12


class NozzleCare:
    """When nozzles are checked, and what a failed check leads to."""

    def __init__(self, printer: PrinterProcess) -> None:
        self.printer = printer
        self.model = printer.model.nozzle_check
        self.due = self.model is not None and self.model.at_shift_start
        self.slow = False
        self.speed_share = 1.0
        self._since_min = 0.0
        self._last_ran = -math.inf
        draws, name = printer.floor.draws, f"printer/{printer.model.id}/nozzles"
        self._luck = draws.luck(f"{name}/luck")
        if self.model is not None:
            self._minutes = draws.line(f"{name}/check", self.model.minutes)
            self._service = draws.line(f"{name}/service", self.model.service_min)
            self._steps = [draws.line(f"{name}/{i}", step.minutes) for i, step in enumerate(self.model.ladder)]

    def shift_begins(self) -> None:
        """A shift begins at the printer."""
        self.due = self.due or (self.model is not None and self.model.at_shift_start)

    def roll_changed(self) -> None:
        """A roll was changed or joined."""
        self.due = self.due or (self.model is not None and self.model.after_roll_change)

    def ran(self, minutes: float) -> None:
        """The printer printed for so many minutes, up to now."""
        self._since_min += minutes
        self._last_ran = self.printer.env.now
        if self.minutes_to_check() <= 0:
            self.due = True

    def minutes_to_check(self) -> float:
        """Printing minutes until the next check by hours."""
        if self.model is None or self.model.every_running_h is None:
            return math.inf
        return self.model.every_running_h * 60 - self._since_min

    def check(self) -> None:
        """Print and look at a test pattern; clean if it is bad."""
        self.printer.then(self.printer.hands, "nozzle_check", self._minutes.next())
        self.printer.then(self._look_at_pattern)

    def _look_at_pattern(self) -> None:
        printer, model = self.printer, self.model
        assert model is not None
        printer.use_web(model.test_strip_m, "test")
        idle = printer.env.now - self._last_ran >= model.idle_h * 60
        fails = model.fails_after_idle_pct if idle else model.fails_pct
        self.due = False
        self._since_min = 0.0
        self._last_ran = printer.env.now
        if self._luck.next() < fails / 100:
            printer.then(self._clean, 0)

    def _clean(self, step: int) -> None:
        """Climb the ladder until a step cures; past its top the printer goes on slowly until it is serviced."""
        assert self.model is not None
        if step < len(self.model.ladder):
            self.printer.then(self.printer.hands, "cleaning", self._steps[step].next())
            self.printer.then(self._cleaned, step)
        else:
            self.slow = True
            self.speed_share = self.model.slow_speed_share

    def _cleaned(self, step: int) -> None:
        assert self.model is not None
        done = self.model.ladder[step]
        self.printer.use_ink(done.ink_ml, "cleaning")
        if self._luck.next() >= done.cures_pct / 100:
            self.printer.then(self._clean, step + 1)

    def service(self) -> None:
        """Align or change heads; full speed again."""
        self.printer.then(self.printer.hands, "head_service", self._service.next())
        self.printer.then(self._serviced)

    def _serviced(self) -> None:
        self.slow = False
        self.speed_share = 1.0


class FirstArticles:
    """Strips approved before a run goes on."""

    def __init__(self, printer: PrinterProcess) -> None:
        self.printer = printer
        self.model = printer.model.first_article
        draws, name = printer.floor.draws, f"printer/{printer.model.id}/first article"
        self._luck = draws.luck(f"{name}/luck")
        if self.model is not None:
            self._look_min = draws.line(f"{name}/look", self.model.minutes)
            self._correct_min = draws.line(f"{name}/correct", self.model.correction_min)

    def check(self) -> None:
        """Draw whether this run needs a first article, and have one approved if so."""
        gang, model = self.printer.gang, self.model
        assert gang is not None
        gang.first_article = True
        if model is not None and self._luck.next() < model.share_of_runs_pct / 100:
            self._print_strip(self._look_min.next(), 0)

    def _print_strip(self, minutes: float, corrections: int) -> None:
        assert self.model is not None
        self.printer.use_web(self.model.strip_m, "first_article")
        self.printer.then(self.printer.hands, "first_article", minutes)
        self.printer.then(self._judge, corrections)

    def _judge(self, corrections: int) -> None:
        assert self.model is not None
        if self._luck.next() < self.model.passes_pct / 100:
            return
        minutes = self._correct_min.next()
        if corrections < _MOST_CORRECTIONS:
            self.printer.then(self._print_strip, minutes, corrections + 1)


class RunningStops:
    """Minor stops and breakdowns. `ages`: it may also have to be set right when it does not print."""

    def __init__(self, printer: PrinterProcess) -> None:
        self.printer = printer
        draws, name = printer.floor.draws, f"printer/{printer.model.id}"
        self.minor = printer.model.minor_stops
        self._luck = draws.luck(f"{name}/stop luck")
        self._to_minor = math.inf
        if self.minor is not None:
            self._minor_gap = draws.line(f"{name}/minor gap", Exponential(self.minor.every_running_h * 60))
            self._minor_min = draws.line(f"{name}/minor", self.minor.minutes)
            self._to_minor = self._minor_gap.next()
        rule = printer.model.breakdowns
        self.failures: Failures | None = None
        if rule is not None:
            gap, kind = f"{name}/breakdown gap", f"{name}/breakdown kind"
            self.failures = Failures(rule, draws, gap, kind, f"{name}/repair")
        self.ages = rule is not None and (rule.every_calendar_h or rule.renew_after_running_h) is not None
        self.up_since = -math.inf

    @property
    def fails_at(self) -> float:
        """When it fails by the calendar."""
        return math.inf if self.failures is None else self.failures.fails_at

    def next_min(self) -> float:
        """Printing minutes to the next stop of any kind."""
        if self.failures is None:
            return self._to_minor
        return min(self._to_minor, self.failures.minutes_left(self.printer.env.now))

    def ran(self, minutes: float) -> None:
        """So many minutes were printed."""
        self._to_minor -= minutes
        if self.failures is not None:
            self.failures.until_next_min -= minutes

    def live_on(self) -> None:
        """Draw anew when the printer stops next, unless it prints just now."""
        if self.printer.prints:
            return
        if self.minor is not None and self._to_minor > 0.0:
            self._to_minor = self._minor_gap.next()
        if self.failures is not None:
            self.failures.live_on(self.printer.env.now)

    def stop(self) -> None:
        """The stop that has come: metres and perhaps pieces are lost, hands or a repair set it right."""
        printer, failures = self.printer, self.failures
        assert printer.gang is not None
        self._lose_web(printer.gang)
        if failures is not None and failures.minutes_left(printer.env.now) <= self._to_minor:
            self._stand("breakdown", failures.repair_min(), failures)
        else:
            self._to_minor = self._minor_gap.next()
            printer.then(printer.hands, "minor_stop", self._minor_min.next())
        if self.minor is not None and self.minor.restart_min:
            printer.then(self._restart)

    def _restart(self) -> None:
        assert self.minor is not None
        self.printer.enter("minor_stop")
        self.printer.wait(self.minor.restart_min)

    def is_due(self, now: float, may_renew: bool) -> bool:
        """Whether it has failed since it was last looked at, or its part is worn and may be renewed now."""
        failures = self.failures
        return failures is not None and (failures.has_failed(now) or (may_renew and failures.worn))

    def set_right(self) -> None:
        """Repair what failed while nothing was printed, or else renew the part that is worn."""
        printer, failures = self.printer, self.failures
        assert failures is not None
        if failures.has_failed(printer.env.now):
            self._stand("breakdown", failures.repair_min(), failures)
        else:
            if printer.hot and printer.path.loaded:
                printer.then(printer.path.feed_tail)
            printer.then(self._renew)
        printer.then(self._is_up)

    def _renew(self) -> None:
        assert self.failures is not None
        self._stand("service", self.failures.renewal_min(), self.failures)

    def _is_up(self) -> None:
        self.up_since = self.printer.env.now

    def _stand(self, state: str, minutes: float, failures: Failures) -> None:
        printer, rule = self.printer, failures.rule
        last_seen = printer.room.attendance.until(printer.env.now)
        printer.enter(state)
        if rule.repair_at is None:
            printer.wait(minutes)
        else:
            printer.stand_by()
            station = printer.floor.stations[rule.repair_at]
            station.submit(Task(
                station, KIND["machine_repair"], minutes, printer.hands_done, place=station.place, lane=LANE_STOPPED
            ))  # fmt: skip
        printer.then(self._repaired, last_seen)

    def _repaired(self, last_seen: float) -> None:
        printer, now = self.printer, self.printer.env.now
        assert self.failures is not None
        self.failures.as_new(now)
        if printer.hot and last_seen < now < printer.room.attendance.until(now):
            printer.warm_up_again()

    def _lose_web(self, gang: Gang) -> None:
        """FIX-10, FIX-11: metres lost at a stop. FIX-12: a stop inside an image may lose the pieces it crosses."""
        printer, minor = self.printer, self.minor
        waste_m = _WASTE_WITH_LIFT_M if printer.web_lift else _WASTE_WITHOUT_LIFT_M
        chance = _LOSES_PIECE
        if minor is not None:
            waste_m = waste_m if minor.waste_m is None else minor.waste_m
            chance = minor.loses_piece_pct / 100
        band = None if gang.finished else gang.bands[gang.next]
        if band is not None and band.printed_m > 0 and self._luck.next() < chance:
            printer.rebook_as_lost(band.printed_m)
            gang.next += 1
            for job, pieces in Portion(gang.run, gang.started, band.owners, band.printed_m).by_job():
                printer.floor.flow.remake(job.line, pieces, job.attempt, "stop", KIND["print"])
        printer.use_web(waste_m, "stop")
