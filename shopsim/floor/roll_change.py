"""Bringing another roll onto a printer: a full change with its tail, or a join to the old web; lots; the plate."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopsim.craft.fixation import stabilise_min
from shopsim.floor.gangs import Gang
from shopsim.floor.web import Roll
from shopsim.shop.materials import Fabric
from shopsim.shop.printers import InlineFixation

if TYPE_CHECKING:
    from shopsim.floor.printer import PrinterProcess

_SLACK_M = 1e-9
ROOM_C = 20.0


class RollChanger:
    """Changes rolls and plate temperature of one printer."""

    def __init__(self, printer: PrinterProcess) -> None:
        self.printer = printer
        self.model = printer.model.roll_change
        name, draws = f"printer/{printer.model.id}", printer.floor.draws
        self._full_min = draws.line(f"{name}/roll change", self.model.full_min)
        self._join_min = draws.line(f"{name}/join", self.model.join_min)
        self._luck = draws.luck(f"{name}/seam luck")
        self._heating: float | None = None
        self._hot_at = -1.0

    def wanted(self, gang: Gang) -> bool:
        """Whether the gang cannot go on with the mounted roll. A lot nobody has any more is not waited for."""
        roll, next_m = self.printer.roll, gang.bands[gang.next].left_m
        if roll is None or roll.fabric != gang.fabric or roll.left_m < next_m - _SLACK_M:
            return True
        lot = self._lot(gang)
        if lot is None or lot == roll.lot:
            return False
        if self.printer.room.shelves[gang.fabric].holds(lot, next_m + self.model.leader_m):
            return True
        gang.break_lot()
        return False

    def _lot(self, gang: Gang) -> int | None:
        """The lot the gang must have: the one an order was begun on; for a fresh order one that reaches to its end."""
        if not gang.one_lot:
            return None
        lot, roll = gang.wanted_lot, self.printer.roll
        if lot is None and gang.started < 0:
            mounted = roll if roll is not None and roll.fabric == gang.fabric else None
            shelf = self.printer.room.shelves[gang.fabric]
            lot = shelf.lot_that_reaches(gang.left_m, self.model.leader_m, mounted)
        return lot

    def change(self) -> None:
        """Put the roll the gang needs on the printer, or give the gang back if there is none."""
        printer = self.printer
        gang = printer.gang
        assert gang is not None
        join = printer.room.policy.roll_change == "join" and printer.roll is not None
        if printer.path.loaded and (not join or printer.plate_c != printer.fabric_of(gang).plate_c):
            printer.then(printer.path.feed_tail)
        printer.then(self._take, join)

    def _take(self, join: bool) -> None:
        printer, old = self.printer, self.printer.roll
        gang = printer.gang
        assert gang is not None
        lead_m = self.model.join_waste_m if join else self.model.leader_m
        new = self._pick(gang, lead_m)
        if new is None:
            printer.give_back(gang)
            return
        if old is not None:
            printer.room.shelves[old.fabric].put_back(old, printer.index)
        # In the hands of whoever changes it, but no longer on the shelf.
        printer.roll = new
        self._begin_heating(printer.fabric_of(gang))
        if join:
            printer.then(printer.hands, "join", self._join_min.next())
            printer.then(self._seam_made)
        else:
            printer.then(printer.hands, "roll_change", self._full_min.next(), self.model.people, self.model.needs_lift)
            printer.then(printer.path.empty_take_up)
        printer.then(self._is_on, lead_m, "join" if join else "leader")

    def _seam_made(self) -> None:
        if self._luck.next() < self.model.seam_trouble_pct / 100:
            # CHG-15: the seam is made once more.
            self.printer.then(self.printer.hands, "join", self._join_min.next())

    def _is_on(self, lead_m: float, cause: str) -> None:
        self.printer.use_web(lead_m, cause)
        self.printer.nozzles.roll_changed()

    def _pick(self, gang: Gang, lead_m: float) -> Roll | None:
        shelf = self.printer.room.shelves[gang.fabric]
        least_m = gang.bands[gang.next].left_m + lead_m
        need_m = max(least_m, gang.left_m + lead_m)
        lot = self._lot(gang)
        roll = shelf.take(need_m, least_m, lot)
        if roll is None and lot is not None:
            roll = shelf.take(need_m, least_m, None)
            if roll is not None:
                gang.break_lot()
        return roll

    def _begin_heating(self, fabric: Fabric) -> None:
        """The plate goes to its new set point while hands change the roll."""
        printer = self.printer
        fixation = printer.model.fixation
        if isinstance(fixation, InlineFixation) and printer.plate_c != fabric.plate_c:
            minutes = stabilise_min(printer.plate_c, fabric.plate_c, fixation.up_min_per_10c, fixation.down_min_per_10c)
            # The warm-up of the day has just brought a cold plate to whatever the first fabric needs.
            self._hot_at = printer.env.now + (0.0 if printer.plate_c == ROOM_C else minutes)
            self._heating = fabric.plate_c

    def set_plate(self) -> None:
        """Wait until the plate has the fabric's temperature; printed web is fed through at the old one first."""
        printer = self.printer
        if printer.path.loaded and printer.plate_c != ROOM_C:
            printer.then(printer.path.feed_tail)
        printer.then(self._heat)

    def _heat(self) -> None:
        printer = self.printer
        assert printer.gang is not None
        fabric = printer.fabric_of(printer.gang)
        if self._heating != fabric.plate_c:
            self._begin_heating(fabric)
        if printer.env.now < self._hot_at:
            printer.enter("set_point")
            printer.wait(self._hot_at - printer.env.now)
        printer.then(self._is_hot, fabric.plate_c)

    def _is_hot(self, plate_c: float) -> None:
        self.printer.plate_c, self._heating = plate_c, None
