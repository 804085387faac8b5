"""House rules on paper: releasing and ganging, roll changes, lanes, quality, overtime, bought-in work, dispatch,
lists, how many orders at once, working time."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from shopsim.shop.base import Base, ClockText, Id, NotNegative, Percent, Positive, Spread, row
from shopsim.shop.people import Weekday
from shopsim.shop.working_time import WorkingTime


class Printing(Base):
    """How work comes to the printers.

    Pieces of one fabric and mode wait until `gang_min_web_m` metres are together or the oldest has waited
    `gang_longest_wait_h`; rush work and reprints never wait, but every class of `products[].priority` does. A run takes
    at most `gang_max_web_m` metres, and only orders due within `gang_window_days` working days of the most urgent one.
    """

    gang_min_web_m: NotNegative = 0
    gang_longest_wait_h: NotNegative = 0
    gang_max_web_m: Positive = 60
    gang_window_days: NotNegative | None = None
    queue_rule: Literal["first_come", "due_date"] = "due_date"
    fabric_choice: Literal["fewest_changes", "most_urgent"] = "fewest_changes"
    stay_on_fabric_h: Positive = 8
    """With `fewest_changes`: once work on another fabric has waited this long, the most urgent comes next, whatever its
    fabric. Rush work and reprints are not kept waiting at all, nor is a class by one less urgent."""
    roll_change: Literal["full", "join"] = "full"
    nesting: Literal["shelves", "skyline"] = "shelves"
    reprints_first: bool = row(True, "QUA-14")
    rush_first: bool = True


class Quality(Base):
    """Faults by piece, where they are seen, and what follows (section 10)."""

    print_fault_pct: Percent = row(4.7, "QUA-01..08", 1.9, 16)
    seen_at_printer_pct: Percent = 35
    cut_loss_pct: Percent = row(0.6, "CUT-10", 0.2, 1.5)
    sewing_fault_pct: Percent = row(2, "SEW-45", 0.5, 5)
    sewing_repaired_pct: Percent = row(80, "SEW-45", 50, 100)
    repair_min: Spread = row([4.0, 8.0, 20.0], "SEW-45", validate_default=True)
    missed_pct: Percent = row(12, "QUA-13", 5, 30)


class Overtime(Base):
    """Crews stay on after the shift when their home queue is longer than `when_queue_h` hours a person."""

    crews: tuple[Id, ...] = Field(min_length=1, max_length=100)
    when_queue_h: NotNegative
    minutes: Positive = 120
    days: tuple[Weekday, ...] = Field(default=("mon", "tue", "wed", "thu", "fri"), min_length=1)
    notice_min: NotNegative = 60
    premium_pct: Percent = row(30, "PPL-18", 25, 50)


class BoughtIn(Base):
    """Work given out when there is more than `when_queue_h` hours a seat waiting; back after working days."""

    at: Id
    when_queue_h: NotNegative
    back_after_days: Spread = Field(default=[2.0, 3.0, 5.0], validate_default=True)
    price_per_piece: NotNegative | None = None


class BoughtInPrint(Base):
    """Whole order lines made outside when more than `when_queue_h` hours a printer wait to be printed."""

    when_queue_h: NotNegative
    back_after_days: Spread = Field(default=[3.0, 4.0, 6.0], validate_default=True)
    price_share_pct: Percent = row(65, "CST-12", 50, 85)


class Dispatch(Base):
    """Collections: an order complete by the cut-off leaves that day, one minute later the next."""

    days: tuple[Weekday, ...] = Field(default=("mon", "tue", "wed", "thu", "fri"), min_length=1)
    cut_off: ClockText = row("16:30", "FIN-11")
    at_once: bool = False
    """Orders leave the minute they are complete (for tests of theory, and shops whose customers collect)."""
    order_check_at: Id | None = None
    order_check_min: Spread = row([2.0, 4.0, 10.0], "FIN-10", validate_default=True)
    courier_days: Spread = row({"discrete": {"values": [1, 2], "weights": [80, 20]}}, "FIN-12", validate_default=True)


class OrderSequence(Base):
    """A planner's fixed list for one work centre or printer: its orders begin there strictly in this order.

    The place waits for the order whose turn it is; its queue rule only ranks that order's pieces. A turn is over when
    all pieces of the order have begun, but for those lost on the way, repaired or given out, which follow when they
    come. Orders not on the list come after those on it. Neighbours on a printer's list share runs as `printing` allows;
    that printer alone prints them, and they are not bought in.
    """

    at: Id
    orders: tuple[Annotated[str, Field(min_length=1, max_length=60)], ...] = Field(min_length=1, max_length=10_000)
    """Ids of the order book."""


class OrdersAtOnce(Base):
    """At most so many orders in the shop at once, and what happens to the next while it is full.

    `turn_away`: the shop says no and the order is lost. An order that is taken has its place from receipt on, artwork
    check and approval included.
    `wait`: every order is taken, but held back when its artwork is approved and released one by one as places come free
    (release by work in process): rush orders first if `printing.rush_first`, then by `release_rule`.
    Either way a place is free again when the order is complete and checked, or cancelled; what waits for the collection
    needs none.
    """

    most: int = Field(ge=1, le=100_000)
    when_full: Literal["turn_away", "wait"]
    release_rule: Literal["first_come", "due_date"] = "due_date"
    """Which of the orders held back comes next; first come counts from the approval."""


class Policies(Base):
    printing: Printing = Printing()
    quality: Quality = Quality()
    overtime: tuple[Overtime, ...] = Field(default=(), max_length=20)
    bought_in: tuple[BoughtIn, ...] = Field(default=(), max_length=20)
    bought_in_print: BoughtInPrint | None = None
    dispatch: Dispatch = Dispatch()
    sequences: tuple[OrderSequence, ...] = Field(default=(), max_length=200)
    orders_at_once: OrdersAtOnce | None = None
    lifts: int = Field(default=1, ge=0, le=100)
    working_time: WorkingTime | None = None
    """Rules on rest and hours by which shifts are judged; left out, those of Directive 2003/88/EC."""
