"""Writes frame_fabric_orders.csv, the invented order book of one quarter of the frame-fabric demo shop.

    python make_frame_fabric_orders.py

Running it gives the committed file byte for byte: the seed stands below, and only plain uniform numbers are drawn and
turned into everything else here, so that no change of a library's samplers can change the book. Ids in brackets are
rows of the trade handbook.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from pathlib import Path
from statistics import NormalDist
from typing import TypeVar

import numpy as np

SEED = 260808
STARTS = date(2026, 8, 3)
WEEKS = 13
ORDERS_PER_WEEK = 132.0  # the mean week of a year
CLOSED = (date(2026, 9, 21), date(2026, 10, 13))  # Lantern Monday and Founders' Day, as in the scenario

MONTH_INDEX = {8: 0.80, 9: 1.25, 10: 1.15, 11: 0.95}  # DEM-19
WEEKDAY_SHARES = (21.0, 22.0, 21.0, 19.0, 14.0, 2.0, 1.0)  # DEM-16
HOUR_SHARES = {7: 4, 8: 8, 9: 11, 10: 14, 11: 14, 12: 7, 13: 7, 14: 12, 15: 12, 16: 7, 17: 2, 19: 1, 20: 1}  # DEM-17
DAY_DISPERSION = 1.8  # DEM-18
LINES = {1: 68, 2: 18, 3: 8, 4: 4, 6: 2}  # DEM-12
RUSH = {8: 0.12, 9: 0.20, 10: 0.20, 11: 0.15}  # DEM-14: usual, and in the show season
STANDARD_LEAD_DAYS = (2, 4, 7)  # DEM-13, a day shorter: what buyers of frame fabrics are used to
RUSH_LEAD_DAYS = (1, 2, 3)  # DEM-13
APPROVAL_H = (3.0, 26.0)  # PRE-08: median, 90th percentile
SENT_BACK = 0.18  # PRE-06
CORRECTED_H = (5.0, 30.0)  # PRE-07
LONGEST_APPROVAL_DAYS = 7  # then the order desk rings the customer up
CANCELLED_BEFORE, CANCELLED_AFTER = 0.026, 0.005  # DEM-23: about 3 % in all
LATEST_CAMPAIGN_WEEK, CAMPAIGNS, CAMPAIGN_PIECES, CAMPAIGN_LEAD_DAYS = 10, 5, (50, 90, 200), (9, 11, 14)  # DEM-21
CUT_OFF = time(16, 30)  # FIN-11: what is approved later counts from the next day

# Share of order lines, and median and 90th percentile of pieces before rounding up (DEM-01, 02, 03, 05).
PRODUCTS = {
    "front_frame": (47, 1.5, 5.0),
    "back_frame": (23, 0.9, 3.6),
    "eyelet_banner": (13, 1.6, 9.5),
    "pocket_banner": (8, 1.6, 9.5),
    "block_out_wall": (9, 0.6, 2.2),
}
# Finished sizes, cm, with weights. Frames come in steps of a centimetre; most follow the frame makers' stock lengths.
FRAMES = {
    (60, 80): 4, (70, 100): 5, (85, 200): 8, (100, 100): 7, (100, 140): 6, (100, 200): 12, (100, 250): 9, (120, 180): 5,
    (150, 100): 5, (150, 200): 6, (150, 250): 5, (200, 100): 6, (200, 200): 6, (200, 250): 7, (248, 248): 3,
    (250, 250): 6, (300, 200): 5, (300, 225): 5, (300, 250): 8, (300, 300): 3, (400, 250): 5, (500, 250): 3,
    (600, 250): 1,
}  # fmt: skip
LIGHT_BOXES = {
    (50, 70): 5, (60, 90): 5, (70, 100): 7, (80, 120): 6, (85, 200): 6, (100, 100): 6, (100, 150): 8, (100, 200): 12,
    (100, 250): 8, (120, 180): 6, (150, 100): 6, (200, 100): 6, (200, 200): 5, (200, 250): 6, (300, 100): 4,
    (300, 250): 6, (400, 250): 2,
}  # fmt: skip
SIZES = {
    "front_frame": FRAMES,
    "back_frame": LIGHT_BOXES,
    "eyelet_banner": {(200, 100): 10, (300, 100): 10, (250, 150): 5, (300, 150): 6, (400, 125): 3, (600, 150): 1},
    "pocket_banner": {(80, 200): 8, (100, 250): 8, (100, 300): 4, (150, 400): 2},
    "block_out_wall": {(300, 250): 8, (400, 250): 7, (500, 250): 5, (600, 300): 3, (250, 250): 5},
}
CAMPAIGN_SIZES = ((85, 200), (100, 140), (70, 100), (100, 200))
# A third of the frames are built to measure: the stock size gives or takes some centimetres.
MADE_TO_MEASURE, OFF_CM = 0.33, 12

REGULARS, REGULAR_ORDERS = 48, 0.70
REPEAT_REGULAR, REPEAT_OTHER = 0.58, 0.12  # together about 45 % of orders (DEM-22)
OWN_SIZE = 0.65  # a regular customer has frames already, and orders new fabric for them

COLUMNS = (
    "order_id", "received", "due", "product", "pieces", "width_m", "height_m", "rush", "repeat", "approved",
    "cancelled",
)  # fmt: skip

Size = tuple[int, int]
Option = TypeVar("Option")


class Dice:
    """Numbers of all shapes from uniform ones."""

    def __init__(self, seed: int) -> None:
        self._rng = np.random.Generator(np.random.PCG64(seed))

    def uniform(self) -> float:
        """A number above 0 and below 1."""
        return min(max(float(self._rng.random()), 1e-12), 1 - 1e-12)

    def chance(self, share: float) -> bool:
        """Whether something of this chance happens."""
        return self.uniform() < share

    def pick(self, options: Sequence[Option], weights: Sequence[float]) -> Option:
        """One of the options by weight."""
        level = self.uniform() * sum(weights)
        for option, weight in zip(options, weights, strict=True):
            level -= weight
            if level < 0:
                return option
        return options[-1]

    def weighted(self, table: dict[Option, float] | dict[Option, int]) -> Option:
        """One of the keys of a table of weights."""
        return self.pick(list(table), list(table.values()))

    def triangular(self, low: float, mode: float, high: float) -> float:
        """Low, typical, high."""
        level, turn = self.uniform(), (mode - low) / (high - low)
        if level < turn:
            return low + math.sqrt(level * (high - low) * (mode - low))
        return high - math.sqrt((1 - level) * (high - low) * (high - mode))

    def log_normal(self, median: float, p90: float) -> float:
        """By median and 90th percentile."""
        sigma = math.log(p90 / median) / NormalDist().inv_cdf(0.9)
        return median * math.exp(sigma * NormalDist().inv_cdf(self.uniform()))

    def poisson(self, mean: float) -> int:
        """A count."""
        level, term, count = self.uniform(), math.exp(-mean), 0
        while level > term:
            level -= term
            count += 1
            term *= mean / count
        return count


@dataclass
class Customer:
    """A regular customer: mostly one product, in the sizes of the frames that hang there already."""

    product: str
    sizes: list[Size]


@dataclass
class Order:
    """An order as it stands in the book."""

    received: datetime
    due: date
    rush: bool
    repeat: bool
    approved: datetime | None
    cancelled: datetime | None = None
    lines: list[tuple[str, int, Size]] = field(default_factory=list)


def is_open(day: date) -> bool:
    """Whether the shop and its customers work on this day."""
    return day.weekday() < 5 and day not in CLOSED


def add_working_days(day: date, days: int) -> date:
    """The day so many working days on; with 0, the day itself or the next working day."""
    while not is_open(day):
        day += timedelta(days=1)
    for _ in range(days):
        day += timedelta(days=1)
        while not is_open(day):
            day += timedelta(days=1)
    return day


def in_office_hours(dice: Dice, moment: datetime) -> datetime:
    """A moment at which somebody answers: in the night and on days off the answer comes the next morning."""
    if is_open(moment.date()) and 7 <= moment.hour < 18:
        return moment.replace(second=0, microsecond=0)
    day = moment.date() + timedelta(days=1 if moment.hour >= 18 else 0)
    morning = datetime.combine(add_working_days(day, 0), time(7, 30))
    return morning + timedelta(minutes=int(dice.uniform() * 150))


def due_date(start: datetime, lead_days: int) -> date:
    """Working days from the first collection after the start."""
    day = start.date() + timedelta(days=1 if start.time() > CUT_OFF else 0)
    return add_working_days(day, lead_days)


def rank_weight(rank: int) -> float:
    """How often a customer orders: the best one far more often than the last."""
    return 1 / (rank + 3)


def make_customers(dice: Dice) -> list[Customer]:
    """The regular customers, the best one first; together they order the shop's usual mix."""
    missing = dict.fromkeys(PRODUCTS, 0.0)
    shares = {name: share for name, (share, _, _) in PRODUCTS.items()}
    customers = []
    for rank in range(REGULARS):
        for name, share in shares.items():
            missing[name] += rank_weight(rank) * share / sum(shares.values())
        product = max(missing, key=lambda name: missing[name])
        missing[product] -= rank_weight(rank)
        customers.append(Customer(product, [new_size(dice, product) for _ in range(1 + int(dice.uniform() * 4))]))
    return customers


def new_size(dice: Dice, product: str) -> Size:
    """A size from the product's list, or near to one where frames are built to measure."""
    width, height = dice.weighted(SIZES[product])
    if product.endswith("_frame") and dice.chance(MADE_TO_MEASURE):
        # No wider than the web takes: one side stays at 3 m or below.
        width = max(40, width + int((dice.uniform() * 2 - 1) * OFF_CM))
        height = max(40, height + int((dice.uniform() * 2 - 1) * OFF_CM))
        if min(width, height) > 300:
            height = 300
    return width, height


def day_orders(dice: Dice, day: date) -> list[datetime]:
    """Times at which the orders of one day come in."""
    mean_month = sum((1.05, 1.10, 1.20, 1.05, 1.15, 1.00, 0.75, 0.80, 1.25, 1.15, 0.95, 0.55)) / 12
    mean = ORDERS_PER_WEEK * MONTH_INDEX[day.month] / mean_month * WEEKDAY_SHARES[day.weekday()] / sum(WEEKDAY_SHARES)
    if day in CLOSED:
        mean *= 0.1
    # A level of the day on top of chance gives the count its dispersion: variance = mean + mean² x variance of level.
    sigma = math.sqrt(math.log(1 + (DAY_DISPERSION - 1) / mean))
    level = math.exp(sigma * NormalDist().inv_cdf(dice.uniform()) - sigma**2 / 2)
    moments = []
    for _ in range(dice.poisson(mean * level)):
        hour, minute = dice.weighted(HOUR_SHARES), int(dice.uniform() * 60)
        moments.append(datetime.combine(day, time(hour, minute)))
    return sorted(moments)


def approval(dice: Dice, received: datetime, repeat: bool) -> datetime | None:
    """When the artwork is approved; None for repeats, whose files are ready."""
    if repeat:
        return None
    hours = dice.log_normal(*APPROVAL_H)
    if dice.chance(SENT_BACK):
        hours += dice.log_normal(*CORRECTED_H)
    return in_office_hours(dice, received + timedelta(hours=min(hours, LONGEST_APPROVAL_DAYS * 24)))


def cancel(dice: Dice, order: Order) -> None:
    """Few orders are withdrawn: most of them early, some when they are printed already."""
    level = dice.uniform()
    if level >= CANCELLED_BEFORE + CANCELLED_AFTER:
        return
    part = dice.uniform() / 3 if level < CANCELLED_BEFORE else 0.5 + dice.uniform() / 4
    span = datetime.combine(order.due, CUT_OFF) - order.received
    order.cancelled = in_office_hours(dice, order.received + part * span)


def make_order(dice: Dice, received: datetime, customers: list[Customer]) -> Order:
    """One order of the daily business."""
    regular = dice.chance(REGULAR_ORDERS)
    customer = dice.pick(customers, [rank_weight(rank) for rank in range(len(customers))]) if regular else None
    repeat = dice.chance(REPEAT_REGULAR if regular else REPEAT_OTHER)
    rush = dice.chance(RUSH[received.month])
    approved = approval(dice, received, repeat)
    lead = round(dice.triangular(*(RUSH_LEAD_DAYS if rush else STANDARD_LEAD_DAYS)))
    order = Order(received, due_date(approved or received, lead), rush, repeat, approved)
    for _ in range(dice.weighted(LINES)):
        order.lines.append(make_line(dice, customer))
    cancel(dice, order)
    return order


def make_line(dice: Dice, customer: Customer | None) -> tuple[str, int, Size]:
    """One line: product, pieces, size."""
    own = customer is not None and dice.chance(OWN_SIZE)
    if customer is not None and own:
        product = customer.product
        size = customer.sizes[int(dice.uniform() * len(customer.sizes))]
    else:
        product = dice.weighted({name: share for name, (share, _, _) in PRODUCTS.items()})
        size = new_size(dice, product)
    _, median, p90 = PRODUCTS[product]
    return product, max(1, math.ceil(dice.log_normal(median, p90))), size


def make_campaign(dice: Dice) -> Order:
    """A roll-out: one customer, one size, many pieces, a longer lead."""
    day = add_working_days(STARTS + timedelta(days=int(dice.uniform() * LATEST_CAMPAIGN_WEEK * 7)), 0)
    received = datetime.combine(day, time(9, 0)) + timedelta(minutes=int(dice.uniform() * 420))
    approved = in_office_hours(dice, received + timedelta(hours=dice.triangular(20, 30, 70)))
    lead = round(dice.triangular(*CAMPAIGN_LEAD_DAYS))
    order = Order(received, due_date(approved, lead), False, False, approved)
    product = "front_frame" if dice.chance(0.7) else "back_frame"
    size = CAMPAIGN_SIZES[int(dice.uniform() * len(CAMPAIGN_SIZES))]
    order.lines.append((product, round(dice.triangular(*CAMPAIGN_PIECES)), size))
    return order


def make_book() -> list[Order]:
    """All orders of the quarter, by time of receipt."""
    dice = Dice(SEED)
    customers = make_customers(dice)
    days = [STARTS + timedelta(days=number) for number in range(WEEKS * 7)]
    orders = [make_order(dice, received, customers) for day in days for received in day_orders(dice, day)]
    orders += [make_campaign(dice) for _ in range(CAMPAIGNS)]
    return sorted(orders, key=lambda order: order.received)


def book_text() -> str:
    """The order book as CSV."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS)
    for number, order in enumerate(make_book(), start=1):
        for product, pieces, (width_cm, height_cm) in order.lines:
            writer.writerow((
                f"WL26-{number:04d}", _moment(order.received), order.due.isoformat(), product, pieces,
                f"{width_cm / 100:.2f}", f"{height_cm / 100:.2f}", "yes" if order.rush else "no",
                "yes" if order.repeat else "no", _moment(order.approved), _moment(order.cancelled),
            ))  # fmt: skip
    return text.getvalue()


def _moment(moment: datetime | None) -> str:
    return moment.strftime("%Y-%m-%d %H:%M") if moment else ""


if __name__ == "__main__":
    Path(__file__).with_name("frame_fabric_orders.csv").write_bytes(book_text().encode())
