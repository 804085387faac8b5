"""Work centres on paper: places after (and before) the printer where people work at seats or machines."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from shopsim.shop.base import Base, Count, Id, Label, NotNegative, Percent, Positive, Spread, row
from shopsim.shop.materials import CutMethod
from shopsim.shop.printers import Breakdowns, MachineMoney

CentreKind = Literal["prepress", "cutting", "sewing", "finishing", "inspection", "packing", "repair", "general"]
InterruptedBy = Literal["nothing", "rush", "more_urgent"]
QueueRule = Literal["first_come", "due_date", "shortest", "longest", "same_set_up"]


class WorkCentre(Base):
    """Seats or machines of one type, and the skill they need.

    `spread` multiplies every piece's standard minutes (mean 1 for an unbiased shop). `set_up_min` is paid for
    each bundle, `change_over_min` when the seat's last work was of another kind (another roll at a cutter, another
    edge at a sewing machine). `stops` fail a seat by its running hours.

    `room_before_bundles`: the table or rack before the place holds so many bundles besides those on its seats, a free
    seat one more. While it is full a bundle finished elsewhere keeps its seat there, with nobody at it. Bundles that
    come off a printer or calender, from rest, from outside or new to the floor lie where they are and need no seat.
    Repairs, and pieces made again, are always let in.

    `interrupted_by` lets waiting work that is more urgent interrupt work here: `rush` means rush orders, reprints and
    repairs, `more_urgent` any class of `products[].priority` as well. The least urgent piece in work, of several the
    one begun last, is put aside beside its seat, and its people and seat go over. What was done of it is not lost: it
    goes on on any seat, first in line of its class, with the handover minutes of whoever else goes on with it and a new
    change-over if the seat has done other work meanwhile.
    """

    id: Id
    name: Label = ""
    kind: CentreKind = "general"
    seats: Count = 1
    skill: Id | None = None
    queue_rule: QueueRule = "due_date"
    interrupted_by: InterruptedBy = "nothing"
    set_up_min: Spread = row(0.0, "SEW-43", 0, 8, validate_default=True)
    change_over_min: NotNegative = 0
    room_before_bundles: int | None = Field(default=None, ge=0, le=10_000)
    spread: Spread = row(1.0, "section 0", validate_default=True)
    allowance_pct: Percent = row(0, "SEW-31", 0, 25)
    method: CutMethod | None = None
    eyelet_press: Literal["hand", "automatic"] = "hand"
    second_person_above_m: Positive | None = row(None, "SEW-41", 4, 6)
    second_person_above_m2: Positive | None = row(None, "SEW-41", 8, 15)
    two_person_labour_factor: float = row(1.7, "SEW-41", 1.4, 2.0, ge=1, le=2)
    stops: Breakdowns | None = None
    running_kw: NotNegative = 0
    money: MachineMoney = MachineMoney()

    @property
    def needed_skill(self) -> str:
        """The skill a person must have to work here: `skill`, or the kind's own name."""
        return self.skill or self.kind
