"""The web from the head to the take-up: the tail that must pass the plate, and when printed cloth comes off.

A portion of printed pieces is off the printer once `tail_m` metres more have passed, whatever moves the web: the next
run on the same web (then the tail costs nothing) or a feed of blank web at the end of a run.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopsim.floor.gangs import Gang, Portion
from shopsim.floor.timing import after
from shopsim.shop.printers import InlineFixation
from shopsim.shop.route_times import speed_cap_m_per_min

if TYPE_CHECKING:
    from shopsim.floor.printer import PrinterProcess

_SLACK_M = 1e-9


class WebPath:
    """Printed web of one printer that is not yet off it."""

    def __init__(self, printer: PrinterProcess) -> None:
        self.printer = printer
        fixation = printer.model.fixation
        self.tail_m = fixation.tail_m if isinstance(fixation, InlineFixation) else fixation.head_to_take_up_m
        self.at_cap = isinstance(fixation, InlineFixation) and fixation.tail_at_cap_speed
        self.winds_up = printer.model.take_up.leaves == "at_run_end"
        self.wound_m = 0.0
        self._tail: list[tuple[float, Portion]] = []
        self._wound: list[Portion] = []
        self._change_min = printer.floor.draws.line(
            f"printer/{printer.model.id}/take-up", printer.model.take_up.change_min
        )

    @property
    def loaded(self) -> bool:
        """Whether printed web waits before the plate's exit."""
        gang = self.printer.gang
        return bool(self._tail) or (gang is not None and bool(gang.done))

    @property
    def wound(self) -> bool:
        """Whether printed cloth waits on the take-up."""
        return bool(self._wound)

    def tail_speed(self, gang: Gang | None, speed: float) -> float:
        """Metres a minute at which a tail is fed: printing speed, or the plate's cap where the shop feeds faster."""
        if gang is not None and self.at_cap:
            return speed_cap_m_per_min(self.printer.model, self.printer.floor.scenario.fabrics[gang.fabric])
        return speed

    def tail_min(self, gang: Gang | None, speed: float) -> float:
        """Minutes to feed a full tail."""
        return self.tail_m / self.tail_speed(gang, speed)

    def load(self, portion: Portion) -> None:
        """Printed pieces begin their way from the head to the plate's exit."""
        self._tail.append((self.tail_m, portion))
        if not self.tail_m:
            self.move(0.0, self.printer.speed)

    def move(self, length_m: float, speed: float) -> None:
        """The web moves on: portions that pass the exit on the way are off the printer at that minute."""
        staying = []
        for metres, portion in self._tail:
            if metres <= length_m + _SLACK_M:
                after(self.printer.env, metres / speed, self._fixed, portion)
            else:
                staying.append((metres - length_m, portion))
        self._tail = staying

    def feed_tail(self) -> None:
        """Step: feed the printed web through the plate; blank web is drawn in behind it while the roll has any."""
        printer = self.printer
        if printer.gang is not None:
            printer.hand_on(printer.gang)
        if not self._tail:
            return
        length_m = max(metres for metres, _ in self._tail)
        speed = self.tail_speed(printer.last_gang, printer.speed)
        printer.enter("tail")
        self.move(length_m, speed)
        printer.use_web(length_m, "tail_blank")
        printer.wait(length_m / speed)

    def _fixed(self, portion: Portion) -> None:
        if self.winds_up:
            self._wound.append(portion)
        else:
            self.printer.room.off_printer(self.printer, portion)

    def empty_take_up(self) -> None:
        """The printed roll is off: its pieces can be worked on."""
        portions, self._wound, self.wound_m = self._wound, [], 0.0
        for portion in portions:
            self.printer.room.off_printer(self.printer, portion)

    def change_take_up(self) -> None:
        """Cut the printed roll off and put a new core on."""
        printer = self.printer
        if self.loaded:
            printer.then(self.feed_tail)
        printer.then(printer.hands, "take_up_change", self._change_min.next())
        printer.then(self.empty_take_up)
