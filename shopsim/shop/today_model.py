"""The shop this morning, as somebody on the floor can tell it: open orders and where their pieces are, rolls, machines
down, who is away, overtime agreed.

What is not told has a stated default: pieces not told of have not been started, whoever is not named is there, machines
run, and stocks not counted are those of the scenario. One file a morning, read by `today_file`, or made from the status
column of an order book by `today_book`.
"""

from __future__ import annotations

import datetime
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, PlainSerializer, WithJsonSchema, model_validator

from shopsim.shop.base import Base, Count, Id, NotNegative, Positive
from shopsim.shop.order_rows import MOST_PIECES, OrderId, Side, read_time
from shopsim.shop.products import Priority

MOST_ORDERS = 5_000
"""More open orders than this are no morning's work."""
MOST_REASONS = 20
STAGES = ("received", "approval", "released", "order_check", "complete")


def _moment(value: Any) -> Any:
    # The first of these is a date without its hour, which would be a guess.
    return value if isinstance(value, datetime.datetime) else read_time(value)


Moment = Annotated[
    datetime.datetime,
    BeforeValidator(_moment),
    PlainSerializer(lambda moment: moment.isoformat(" ", "seconds" if moment.second else "minutes")),
    WithJsonSchema({"type": "string", "pattern": r"^\d{4}-\d{2}-\d{2} \d{2}:\d{2}(:\d{2})?$"}),
]
"""A local time like `2026-09-16 07:00`."""
StepWord = Annotated[str, Field(pattern=r"^[a-z_]+( [2-9])?$", max_length=40)]


Lot = Annotated[int, Field(ge=0, le=10**9)]
"""A number for a dye lot, as the shop counts them; 0 where it does not."""


class Whereabouts(Base):
    """Where some pieces of an order line are.

    `at` is a step of the product's route (`cut`, `sew`; `sew 2` is the second of that kind): they wait for it, are in
    work there, or are outside for it. `print` is the print queue, `printing` in the run on `printer`, `printed` on the
    take-up of `printer` or, without one, before the first step after printing; `calender` waits for the drum; `done` is
    through the whole route. In work: `minutes_left` standard minutes of it are still to do, or `pieces_left` pieces;
    half of the work if neither is told. `roll` names the printed roll, so that a cutter finishes it before the next.
    """

    at: StepWord
    pieces: int = Field(ge=1, le=MOST_PIECES)
    in_work: bool = False
    minutes_left: NotNegative | None = None
    pieces_left: int | None = Field(default=None, ge=0, le=MOST_PIECES)
    outside_until: Moment | None = None
    until: Moment | None = None
    """Resting or drying until then."""
    since: Moment | None = None
    """Waiting since then; now if it is not told."""
    made_again: bool = False
    printer: Id | None = None
    roll: int | None = Field(default=None, ge=0, le=10**9)

    @model_validator(mode="after")
    def _goes_together(self) -> Whereabouts:
        if (self.minutes_left is not None or self.pieces_left is not None) and not self.in_work:
            raise ValueError("`minutes_left` and `pieces_left` go with `in_work: true`")
        if self.minutes_left is not None and self.pieces_left is not None:
            raise ValueError("give either `minutes_left` or `pieces_left`")
        if self.pieces_left is not None and self.pieces_left > self.pieces:
            raise ValueError(f"`pieces_left` must be at most {self.pieces}, the pieces in work")
        if self.in_work and self.outside_until is not None:
            raise ValueError("pieces are in work here or outside, not both")
        return self


class OpenLine(Base):
    """Pieces of one product; `where` tells where they are, and pieces it does not tell of have not been started."""

    product: Id
    pieces: int = Field(ge=1, le=MOST_PIECES)
    width_m: Side | None = None
    height_m: Side | None = None
    where: tuple[Whereabouts, ...] = Field(default=(), max_length=2_000)

    @model_validator(mode="after")
    def _adds_up(self) -> OpenLine:
        told = sum(part.pieces for part in self.where)
        if told > self.pieces:
            raise ValueError(f"`where` tells of {told} pieces, the line has {self.pieces}")
        return self


class OpenOrder(Base):
    """An order that has been received and is not shipped.

    `stage`: `received` (files not looked at yet), `approval` (with the customer: `asked` since then, or `expected`
    back), `released` (work may begin or has begun), `order_check` (all pieces done, to be checked), `complete` (waits
    for the collection). `repeat` files need no approval.
    `lots`: by fabric the lot it has been begun on, which matters to products of `one_lot`.
    """

    order: OrderId
    received: Moment
    due: datetime.date
    stage: Literal["received", "approval", "released", "order_check", "complete"] = "released"
    asked: Moment | None = None
    expected: Moment | None = None
    rush: bool = False
    repeat: bool = False
    priority: Priority | None = None
    lots: dict[Id, Lot] = Field(default={}, max_length=50)
    lines: tuple[OpenLine, ...] = Field(min_length=1, max_length=500)

    @model_validator(mode="after")
    def _stage_fits(self) -> OpenOrder:
        if self.stage != "approval" and (self.asked is not None or self.expected is not None):
            raise ValueError("`asked` and `expected` go with `stage: approval`")
        if self.asked is not None and self.expected is not None:
            raise ValueError("give either `asked` or `expected`")
        if self.stage != "released" and any(line.where for line in self.lines):
            raise ValueError(f"`where` goes with `stage: released`, found {self.stage}")
        return self

    @property
    def pieces(self) -> int:
        """Pieces of all lines."""
        return sum(line.pieces for line in self.lines)


class PrinterToday(Base):
    """A printer: roll mounted, plate hot or cold, the mode it was last set to, down until then.

    Without `plate`: hot once somebody has been there for the warm-up, else cold. `slow`: with nozzles that no cleaning
    cured, until they are serviced when a shift begins. `ran_h` are running hours since it was
    last as good as new, which matters where breakdowns come by wear; `service_on` is the day of the next planned one.
    """

    printer: Id
    fabric: Id | None = None
    metres_left: NotNegative | None = None
    lot: Lot = 0
    slow: bool = False
    plate: Literal["hot", "cold"] | None = None
    mode: Id | None = None
    down_until: Moment | None = None
    last_printed: Moment | None = None
    ran_h: NotNegative | None = None
    service_on: datetime.date | None = None

    @model_validator(mode="after")
    def _roll_is_whole(self) -> PrinterToday:
        if (self.fabric is None) != (self.metres_left is None):
            raise ValueError("give both `fabric` and `metres_left` of the roll, or neither")
        return self


class SeatsDown(Base):
    """Seats of a work centre whose machines are down until then."""

    place: Id
    seats: Count = 1
    until: Moment


class Arriving(Base):
    """Full rolls ordered and not here yet."""

    rolls: Count
    on: datetime.date


class ClothToday(Base):
    """Rolls of a fabric on the shelf, those on printers left out; `remnants_m` are the metres of begun rolls.

    Rolls of several lots are counted lot by lot; what is `arriving` is of new lots.
    """

    fabric: Id
    lot: Lot = 0
    full_rolls: int = Field(ge=0, le=100_000)
    remnants_m: tuple[Annotated[float, Field(gt=0, le=10_000)], ...] = Field(default=(), max_length=1_000)
    arriving: tuple[Arriving, ...] = Field(default=(), max_length=100)


class AbsentToday(Base):
    """People of a crew who are away today; `back` is their first day again, drawn where it is not known."""

    crew: Id
    people: Count = 1
    back: datetime.date | None = None


class AgreedOvertime(Base):
    """A crew stays on after its shift of that day."""

    crew: Id
    on: datetime.date
    minutes: Positive


class LeftOut(Base):
    """Rows of the order book that are not in this morning, all for one reason; `first` is where the first stands."""

    reason: str = Field(max_length=500)
    rows: int = Field(ge=1)
    first: str = Field(max_length=100)


class Today(Base):
    """A morning, or any other minute of a day."""

    now: Moment
    note: str = Field(default="", max_length=2_000)
    orders: tuple[OpenOrder, ...] = Field(default=(), max_length=MOST_ORDERS)
    printers: tuple[PrinterToday, ...] = Field(default=(), max_length=100)
    down: tuple[SeatsDown, ...] = Field(default=(), max_length=200)
    cloth: tuple[ClothToday, ...] = Field(default=(), max_length=200)
    absent: tuple[AbsentToday, ...] = Field(default=(), max_length=500)
    overtime: tuple[AgreedOvertime, ...] = Field(default=(), max_length=500)
    left_out: tuple[LeftOut, ...] = Field(default=(), max_length=MOST_REASONS)
