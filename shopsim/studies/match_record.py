"""What really happened in a shop, as a run of the model tells it, and the model made ready for the same weeks.

The recorded orders are the order book: same receipts, due dates, products, pieces and sizes. The shop starts empty some
weeks before those that count; these fill it.
"""

from __future__ import annotations

import datetime
import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray
from pydantic import ValidationError

from shopsim.clock import MINUTES_PER_DAY, minute_of, parse_clock
from shopsim.shop.order_checks import OrderChecker
from shopsim.shop.order_rows import OrderLine
from shopsim.shop.products import Product
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import scenario_or_faults
from shopsim.shop.sequence_checks import check_listed_orders
from shopsim.studies.fit_history import History, PastOrder, order_history
from shopsim.studies.match_ends import never_closed, with_known_ends
from shopsim.studies.match_logs import logged_hours

Floats = NDArray[np.float64]
Rows = Sequence[Mapping[str, Any]]
Start = Literal["empty", "warm"]
LEAST_WEEKS = 2
_WEEK = datetime.timedelta(days=7)
_NOON = datetime.time(12)


@dataclass(frozen=True, slots=True)
class PeriodPlan:
    """Which weeks of the record count, and how the shop is filled before.

    `empty`: the first `run_in_weeks` on record fill the shop and do not count. `warm`: their orders fill it once more
    before, and all weeks count. `hold_out_weeks`: only so many last weeks count, the `run_in_weeks` before fill it.
    """

    run_in_weeks: int = 3
    hold_out_weeks: int = 0
    start: Start = "empty"


@dataclass(frozen=True, slots=True, eq=False)
class Orders:
    """What is known of each order from its receipt on, in the order of receipt: times in minutes since the start.

    `due_day` is a day's number, `area_m2` the finished area, `counted` False for orders that are only work.
    """

    received: Floats
    due_day: Floats
    area_m2: Floats
    counted: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Outcome:
    """What became of the orders: when each was sent out and when it left in any way (infinite: inside at the end).

    `hours` in each week by `printing.ID`, `down.ID`, `work.ID`, NaN in weeks without a log.
    """

    out_min: Floats
    gone_min: Floats
    hours: Mapping[str, Floats]


@dataclass(frozen=True, slots=True, eq=False)
class Record:
    """The scenario over the weeks on record with its order lines, what became of the orders, and what was left out.

    `first` and `last` are the days that count, `run_in_weeks` come before them.
    """

    scenario: Scenario
    lines: tuple[OrderLine, ...]
    orders: Orders
    outcome: Outcome
    first: datetime.date
    last: datetime.date
    run_in_weeks: int
    notes: tuple[str, ...]

    @property
    def weeks(self) -> int:
        """How many weeks count."""
        return ((self.last - self.first).days + 1) // 7


def read_record(scenario: Scenario, orders: Rows, printer_log: Rows, work_log: Rows, plan: PeriodPlan) -> Record:
    """The record in rows of our own columns.

    Raises ValueError where it covers too few weeks, no order of it was shipped, or the scenario cannot run with it.
    """
    history = order_history(orders)
    first, last, run_in = _period(history, plan)
    begin = first - run_in * _WEEK
    notes: list[str] = []
    taken = [order for order in history.orders if begin <= order.received.date() <= last]
    taken = _with_clocks(with_known_ends(taken, notes), scenario, notes)
    unclosed = never_closed(taken, notes)
    ready = _ready(scenario, begin, run_in, (last - first).days // 7 + 1)
    book = _book(taken, ready, notes)
    copies: list[tuple[PastOrder, tuple[OrderLine, ...]]] = []
    if plan.start == "warm" and not plan.hold_out_weeks:
        copies = [
            _before(order, lines, run_in) for order, lines in book if order.received.date() < first + run_in * _WEEK
        ]
    every = sorted([*copies, *book], key=lambda each: each[0].received)
    lines = tuple(line for _, order_lines in every for line in order_lines)
    faults = check_listed_orders(ready, lines)
    if faults:
        raise ValueError(f"the scenario's lists of orders do not fit the record: {faults[0][1]}")
    if all(order.shipped is None for order, _ in book):
        raise ValueError("no order on record has a time at which it was shipped; map the column `shipped`")
    if all(order.approved is None for order, _ in book) and scenario.demand.artwork is not None:
        notes.append("when artwork was approved is not on record: the runs take every order as approved on receipt")
    counted = {order.order_id for order, _ in book} - unclosed
    hours = logged_hours(ready, printer_log, work_log, notes)
    return Record(ready, lines, _orders(every, ready, counted), _outcome(every, ready, hours), first, last, run_in,
                  tuple(notes))  # fmt: skip


def earlier_rows(rows: Rows, before: datetime.date, column: str) -> list[Mapping[str, Any]]:
    """Rows of a table that begin before a day: what a fit may see while the weeks from then on are held out."""
    return [row for row in rows if row[column].date() < before]


def held_out_from(orders: Rows, weeks: int) -> datetime.date:
    """The first day of the last whole weeks on record. Raises ValueError where too few would be left."""
    history = order_history(orders)
    if history.weeks - weeks < LEAST_WEEKS:
        raise ValueError(f"{weeks} held-out weeks of {history.weeks} leave less than {LEAST_WEEKS} to fit from")
    return history.last - weeks * _WEEK + datetime.timedelta(days=1)


def _period(history: History, plan: PeriodPlan) -> tuple[datetime.date, datetime.date, int]:
    """First and last day that count, and how many weeks the shop is run before."""
    if plan.hold_out_weeks:
        first = history.last - plan.hold_out_weeks * _WEEK + datetime.timedelta(days=1)
        before = (first - history.first).days // 7
        if before < 0:
            raise ValueError(f"{plan.hold_out_weeks} weeks are to be held out, the record has {history.weeks}")
        return first, history.last, min(plan.run_in_weeks, before)
    if plan.start == "warm":
        return history.first, history.last, min(plan.run_in_weeks, history.weeks)
    if history.weeks - plan.run_in_weeks < LEAST_WEEKS:
        raise ValueError(
            f"{history.weeks} whole weeks on record, the first {plan.run_in_weeks} of which fill the shop, leave less "
            f"than {LEAST_WEEKS} to compare"
        )
    return history.first + plan.run_in_weeks * _WEEK, history.last, plan.run_in_weeks


def _with_clocks(orders: Sequence[PastOrder], scenario: Scenario, notes: list[str]) -> list[PastOrder]:
    """Days without clock times: receipts at noon, approvals at noon or receipt, shipments at the cut-off."""
    cut_off = _clock(parse_clock(scenario.policies.dispatch.cut_off))
    dates = {
        name: _without_clock([at for order in orders if (at := getattr(order, name)) is not None])
        for name in ("received", "approved", "shipped")
    }
    if dates["received"]:
        notes.append("receipts have no clock times: taken as at noon")
    made = []
    for order in orders:
        received = _at(order.received, _NOON) if dates["received"] else order.received
        approved, shipped = order.approved, order.shipped
        if approved is not None:
            approved = max(received, _at(approved, _NOON) if dates["approved"] else approved)
        if shipped is not None:
            shipped = max(received, _at(shipped, cut_off) if dates["shipped"] else shipped)
        cancelled = None if order.cancelled is None else max(received, order.cancelled)
        made.append(replace(order, received=received, approved=approved, shipped=shipped, cancelled=cancelled))
    return made


def _without_clock(times: Sequence[datetime.datetime]) -> bool:
    return sum(at.time() == datetime.time() for at in times) > len(times) / 2


def _at(day: datetime.datetime, clock: datetime.time) -> datetime.datetime:
    return datetime.datetime.combine(day.date(), clock)


def _clock(minutes: int) -> datetime.time:
    return datetime.time(minutes // 60, minutes % 60) if minutes < MINUTES_PER_DAY else datetime.time(23, 59)


def _ready(scenario: Scenario, begin: datetime.date, run_in: int, weeks: int) -> Scenario:
    """The scenario from the first day of the record on, with a book in place of its own orders."""
    values = scenario_values(scenario)
    moved = (begin - scenario.shop.starts).days // 7
    values["shop"] = {**values["shop"], "starts": begin}
    for shift, model in zip(values["shifts"], scenario.shifts, strict=True):
        if model.weeks:
            # A rotation goes on as if it had begun at the scenario's own start.
            shift["first_week"] = (model.first_week + moved) % len(model.weeks)
    demand = {**values["demand"], "order_book": {"file": "record.csv"}}
    for source in ("forecast", "hire_fleets", "cancellations"):
        demand.pop(source, None)
    values["demand"] = demand
    opening = {"opening": "warm", "warm_up_weeks": float(run_in)} if run_in else {"opening": "empty"}
    values["study"] = {**values.get("study", {}), **opening, "weeks": float(weeks)}
    made = scenario_or_faults(values)
    if not isinstance(made, Scenario):
        raise ValueError(f"the scenario cannot run from {begin} on: {made[0][1]}")
    return made


def _book(
    orders: Sequence[PastOrder], scenario: Scenario, notes: list[str]
) -> list[tuple[PastOrder, tuple[OrderLine, ...]]]:
    """Orders with their lines; orders that do not fit the scenario are told by what keeps them from it."""
    checker = OrderChecker(scenario)
    book, reasons = [], Counter[str]()
    for order in orders:
        try:
            lines = _lines(order)
        except ValidationError as fault:
            reasons[str(fault.errors()[0]["msg"])] += 1
            continue
        faults = [
            text
            for number, line in enumerate(lines)
            for _, text in checker.faults(number, {k: v for k, v in line if v is not None}, set())
        ]
        if faults:
            reasons[faults[0]] += 1
        else:
            book.append((order, lines))
    left = sum(reasons.values())
    if left:
        told = "; ".join(f"{count} because {text}" for text, count in reasons.most_common(3))
        notes.append(f"{left} of {len(orders)} orders left out, their work is missing in the runs: {told}")
    if not book:
        raise ValueError(f"no order on record fits the scenario: {next(iter(reasons), 'there are none')}")
    return book


def _lines(order: PastOrder) -> tuple[OrderLine, ...]:
    return tuple(
        OrderLine(
            order_id=order.order_id, received=order.received, due=order.due, product=line.product, pieces=line.pieces,
            width_m=line.width_m, height_m=line.height_m, rush=bool(order.rush), repeat=bool(order.repeat),
            approved=order.approved, cancelled=order.cancelled, priority=order.priority,
        )
        for line in order.lines
    )  # fmt: skip


def _before(order: PastOrder, lines: tuple[OrderLine, ...], weeks: int) -> tuple[PastOrder, tuple[OrderLine, ...]]:
    """The same order some weeks earlier, under another name."""
    back = weeks * _WEEK

    def moved(at: Any) -> Any:
        return None if at is None else at - back

    name = f"{order.order_id[:50]} (before)"
    times = ("received", "due", "approved", "cancelled")
    shifted = [
        line.model_copy(update={"order_id": name} | {key: moved(getattr(line, key)) for key in times}) for line in lines
    ]
    return replace(order, order_id=name, received=moved(order.received), shipped=None), tuple(shifted)


def _orders(every: Sequence[tuple[PastOrder, tuple[OrderLine, ...]]], scenario: Scenario, counted: set[str]) -> Orders:
    products: dict[str, Product] = scenario.by_id("products")
    start = scenario.shop.starts
    return Orders(
        np.array([_minute(order.received, start) for order, _ in every]),
        np.array([float((lines[0].due - start).days) for _, lines in every]),
        np.array([sum(_area_m2(line, products[line.product]) for line in lines) for _, lines in every]),
        np.array([order.order_id in counted for order, _ in every], dtype=np.bool_),
    )


def _outcome(
    every: Sequence[tuple[PastOrder, tuple[OrderLine, ...]]], scenario: Scenario, hours: Mapping[str, Floats]
) -> Outcome:
    start, end = scenario.shop.starts, scenario.horizon_min

    def minute(at: datetime.datetime | None) -> float:
        found = math.inf if at is None else _minute(at, start)
        return found if found < end else math.inf

    out = np.array([minute(order.shipped) for order, _ in every])
    withdrawn = np.array([minute(order.cancelled) for order, _ in every])
    return Outcome(out, np.minimum(out, withdrawn), hours)


def _area_m2(line: OrderLine, product: Product) -> float:
    width, height = line.width_m, line.height_m
    if width is None or height is None:
        if not product.sizes:
            return 0.0
        width, height = product.sizes[0].width_m, product.sizes[0].height_m
    return width * height * line.pieces


def _minute(at: datetime.datetime, start: datetime.date) -> float:
    return minute_of(at.date(), start, at.hour * 60 + at.minute + at.second / 60)
