"""Rolls of fabric: the shelf with full rolls by lot and remnants, reordering, and metres booked by cause."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from shopsim.floor.record import METRE_CAUSE, RunLog
from shopsim.floor.timing import after
from shopsim.shop.materials import Fabric

if TYPE_CHECKING:
    from shopsim.floor.run import Floor

_OPENING_LOT = 0


class Roll:
    """A roll, full or part; `left_m` metres are on it."""

    __slots__ = ("fabric", "left_m", "lot")

    def __init__(self, fabric: int, lot: int, left_m: float) -> None:
        self.fabric = fabric
        self.lot = lot
        self.left_m = left_m


class Shelf:
    """All rolls of one fabric that are not on a printer.

    Without a reorder level a full roll is bought whenever one is wanted, always of the opening lot.
    """

    def __init__(self, floor: Floor, index: int, model: Fabric, cloth_came: Callable[[int], None]) -> None:
        self.floor = floor
        self.index = index
        self.model = model
        self.unlimited = model.stock.reorder_at_rolls is None
        self.full: dict[int, int] = {} if self.unlimited else {_OPENING_LOT: model.stock.rolls}
        self.remnants: list[Roll] = []
        self.on_order = 0
        self._next_lot = _OPENING_LOT + 1
        self._cloth_came = cloth_came
        self._supply_days = floor.draws.line(f"supply/{model.id}", model.stock.supply_days)
        opening = 0.0 if self.unlimited else model.stock.rolls * model.roll_length_m
        floor.log.leftover.opening_m[index] = opening

    def metres(self) -> float:
        """Metres on the shelf."""
        return sum(self.full.values()) * self.model.roll_length_m + sum(roll.left_m for roll in self.remnants)

    def longest_m(self) -> float:
        """Metres on the longest roll that can be had now."""
        if self.unlimited or any(self.full.values()):
            return self.model.roll_length_m
        return max((roll.left_m for roll in self.remnants), default=0.0)

    def take(self, need_m: float, least_m: float, lot: int | None) -> Roll | None:
        """Take the shortest remnant of at least `need_m`, else a full roll of the oldest lot, else the longest remnant
        of at least `least_m`; of the wanted lot only, if one is given. None if there is nothing."""
        fitting = [r for r in self.remnants if r.left_m >= least_m and lot in (None, r.lot)]
        enough = [r for r in fitting if r.left_m >= need_m]
        if enough:
            return self._take_remnant(min(enough, key=lambda r: (r.left_m, r.lot)))
        roll = self._take_full(lot)
        if roll is None and fitting:
            return self._take_remnant(max(fitting, key=lambda r: (r.left_m, -r.lot)))
        return roll

    def holds(self, lot: int, least_m: float) -> bool:
        """Whether there is a full roll of this lot, or a remnant of at least `least_m`."""
        return bool(self.full.get(lot)) or any(r.lot == lot and r.left_m >= least_m for r in self.remnants)

    def lot_that_reaches(self, need_m: float, leader_m: float, mounted: Roll | None) -> int | None:
        """The lot on the printer if there are `need_m` metres of it without leaders, else the oldest with so many."""
        if self.unlimited:
            return None
        lots = dict.fromkeys(sorted({*self.full, *(roll.lot for roll in self.remnants)}), 0.0)
        if mounted is not None:
            lots = {mounted.lot: mounted.left_m, **{lot: 0.0 for lot in lots if lot != mounted.lot}}
        for lot in lots:
            lots[lot] += self.full.get(lot, 0) * (self.model.roll_length_m - leader_m)
            lots[lot] += sum(max(0.0, roll.left_m - leader_m) for roll in self.remnants if roll.lot == lot)
        return next((lot for lot, metres in lots.items() if metres >= need_m), None)

    def _take_remnant(self, roll: Roll) -> Roll:
        self.remnants.remove(roll)
        return roll

    def _take_full(self, lot: int | None) -> Roll | None:
        if self.unlimited:
            book(self.floor.log, self.floor.env.now, -1, self, _OPENING_LOT, "bought", self.model.roll_length_m)
            return Roll(self.index, _OPENING_LOT, self.model.roll_length_m)
        lots = [number for number, rolls in self.full.items() if rolls and lot in (None, number)]
        if not lots:
            return None
        self.full[lots[0]] -= 1
        if not self.full[lots[0]]:
            del self.full[lots[0]]
        self.order_if_low()
        return Roll(self.index, lots[0], self.model.roll_length_m)

    def put_back(self, roll: Roll, printer: int) -> None:
        """Keep a remnant, or scrap it if it is too short to keep."""
        if roll.left_m >= self.floor.scenario.supplies.remnant_keep_m and roll.left_m > 0:
            self.remnants.append(roll)
            self._cloth_came(self.index)
        elif roll.left_m > 0:
            book(self.floor.log, self.floor.env.now, printer, self, roll.lot, "remnant_scrapped", roll.left_m)

    def recount(self, lots: Sequence[tuple[int, int, Sequence[float]]]) -> None:
        """So much was counted before anything moved: lot, full rolls and metres of remnants, oldest lot first.

        Full rolls of a shelf that never runs empty are not counted.
        """
        if not self.unlimited:
            self.full = {lot: rolls for lot, rolls, _ in lots if rolls}
        self.remnants = [Roll(self.index, lot, metres) for lot, _, remnants in lots for metres in remnants]
        for lot, _, _ in lots:
            self._next_lot = max(self._next_lot, lot + 1)
        self.floor.log.leftover.opening_m[self.index] = self.metres()

    def mount(self, lot: int, left_m: float) -> Roll:
        """A roll that was on a printer before anything moved."""
        self._next_lot = max(self._next_lot, lot + 1)
        self.floor.log.leftover.opening_m[self.index] += left_m
        return Roll(self.index, lot, left_m)

    def expect(self, rolls: int, at: float) -> None:
        """Rolls bought earlier arrive at this minute."""
        self.on_order += rolls
        after(self.floor.env, at - self.floor.env.now, self._delivered, rolls)

    def order_if_low(self) -> None:
        """Buy rolls if there are no more than the reorder level here and on their way."""
        stock = self.model.stock
        if self.unlimited or stock.reorder_at_rolls is None:
            return
        while sum(self.full.values()) + self.on_order <= stock.reorder_at_rolls:
            self.expect(stock.order_rolls, self.floor.working_days_later(self._supply_days.next()))

    def _delivered(self, rolls: int) -> None:
        self.on_order -= rolls
        self.full[self._next_lot] = rolls
        metres = rolls * self.model.roll_length_m
        book(self.floor.log, self.floor.env.now, -1, self, self._next_lot, "bought", metres)
        self._next_lot += 1
        self._cloth_came(self.index)


def book(
    log: RunLog, now: float, printer: int, shelf: Shelf, lot: int, cause: str, metres: float, pieces_m2: float = 0.0
) -> None:
    """Note metres of web bought or used, with their area and the area of pieces on them."""
    if metres:
        log.columns["metres"].extend((
            now, printer, shelf.index, lot, METRE_CAUSE[cause], metres, metres * shelf.model.roll_width_m, pieces_m2,
        ))  # fmt: skip
