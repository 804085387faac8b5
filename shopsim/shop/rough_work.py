"""Standard minutes the orders ask for, week by week: at seats, of skills, and on the printers.

Remakes are in; change-overs, roll changes, checks, stops and every wait are not, for they depend on the sequence.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from shopsim.craft.fixation import calender_speed_m_per_h
from shopsim.craft.layout import PieceSize, usable_width_m
from shopsim.shop.materials import Fabric
from shopsim.shop.printers import Calender, OfflineFixation, Printer
from shopsim.shop.products import At, FrameFit, Iron, Product, Rods
from shopsim.shop.rough_demand import Arrivals, Floats, Flow
from shopsim.shop.route_times import (
    WebPieces,
    people_needed,
    piece_minutes,
    printers_for,
    speed_m_per_min,
    web_pieces,
    web_width_m,
)
from shopsim.shop.scenario import Scenario
from shopsim.shop.skills import skill_for_calenders
from shopsim.shop.work_centres import WorkCentre

_ONE_SHEET = WebPieces((), 0, 0.0)


class Hands(NamedTuple):
    """Who can do some work: people with a skill; for a second pair of hands also helpers."""

    skill: str
    second: bool


class Work:
    """Minutes a week: `seats` by place, `hands` by place and by who can do it, `web` as (minutes a week by printer)."""

    def __init__(self, scenario: Scenario, weeks: int) -> None:
        self.scenario = scenario
        self.weeks = weeks
        self.seats: dict[str, Floats] = defaultdict(lambda: np.zeros(weeks))
        self.hands: dict[str, dict[Hands, Floats]] = defaultdict(lambda: defaultdict(lambda: np.zeros(weeks)))
        self.printing: list[dict[str, Floats]] = []
        self.remakes = remakes(scenario)

    def at(self, place: str, skill: str, minutes: Floats, people: float = 1.0) -> None:
        """Book minutes at a place; `people` says how many pairs of hands, 1 to 2."""
        self.seats[place] += minutes
        self.hands[place][Hands(skill, False)] += minutes
        if people > 1:
            self.hands[place][Hands(skill, True)] += minutes * (people - 1)


def work_of(scenario: Scenario, asked: Arrivals) -> Work:
    """All work that some arrivals bring."""
    work = Work(scenario, len(asked.orders))
    centres: dict[str, WorkCentre] = scenario.by_id("work_centres")
    art, dispatch = scenario.demand.artwork, scenario.policies.dispatch
    if art is not None and art.check_at is not None:
        work.at(art.check_at, centres[art.check_at].needed_skill, asked.artwork_min)
    if dispatch.order_check_at is not None:
        centre = centres[dispatch.order_check_at]
        work.at(centre.id, centre.needed_skill, asked.orders * dispatch.order_check_min.mean)
    for flow in asked.flows:
        _add_flow(work, flow, centres)
    return work


def _add_flow(work: Work, flow: Flow, centres: dict[str, WorkCentre]) -> None:
    scenario, product = work.scenario, flow.product
    pieces = flow.pieces * (work.remakes if product.print_step else 1.0)
    if product.print_step is not None:
        _add_printing(work, flow, pieces)
    for op in product.route:
        if not isinstance(op, At):
            continue
        centre = centres[op.at]
        share = share_of_pieces(op)
        for width_m, height_m, part in flow.sizes:
            minutes, people = piece_at(scenario, product, op, centre, width_m, height_m)
            work.at(centre.id, centre.needed_skill, pieces * part * minutes, people)
        work.at(centre.id, centre.needed_skill, flow.bundles * centre.set_up_min.mean * share)


def share_of_pieces(op: At) -> float:
    """The share of a product's pieces that meet a step."""
    return op.share_pct / 100 if isinstance(op, Iron | Rods | FrameFit) else 1.0


def piece_at(
    scenario: Scenario, product: Product, op: At, centre: WorkCentre, width_m: float, height_m: float
) -> tuple[float, int]:
    """Mean standard minutes of one piece of a size at a step, pieces that skip it counted as 0, and people needed."""
    people = people_needed(op, centre, width_m, height_m) if width_m else 1  # type: ignore[arg-type]
    # Two people take less time each: labour of 1.7 is 0.85 of the minutes, twice.
    factor = centre.two_person_labour_factor / 2 if people == 2 else 1.0
    return _minutes(scenario, product, op, centre, width_m, height_m) * share_of_pieces(op) * factor, people


def _minutes(
    scenario: Scenario, product: Product, op: At, centre: WorkCentre, width_m: float, height_m: float
) -> float:
    if op.minutes is not None:
        return op.minutes.mean
    web = _web(scenario, product, width_m, height_m) if product.print_step else _ONE_SHEET
    return piece_minutes(op, centre, width_m, height_m, web) * centre.spread.mean  # type: ignore[arg-type]


def _web(scenario: Scenario, product: Product, width_m: float, height_m: float) -> WebPieces:
    fabric = _fabric(scenario, product)
    overlap_m = scenario.supplies.panel_overlap_m
    return web_pieces(product, fabric, web_width_m(scenario, product), overlap_m, width_m, height_m)


def _fabric(scenario: Scenario, product: Product) -> Fabric:
    assert product.fabric is not None  # products: what is printed has a fabric
    found: Fabric = scenario.by_id("fabrics")[product.fabric]
    return found


def _add_printing(work: Work, flow: Flow, pieces: Floats) -> None:
    """Minutes a week on each printer, were it to print the whole flow; metres over a calender go to its crew."""
    scenario, product = work.scenario, flow.product
    minutes: dict[str, Floats] = {}
    drums: dict[str, Calender] = scenario.by_id("calenders")
    able = printers_for(scenario, product)
    for printer in able:
        each_m, each_min = printed_piece(scenario, product, flow.sizes, printer)
        minutes[printer.id] = pieces * each_min
        if isinstance(printer.fixation, OfflineFixation):
            # Shared evenly among printers: which one prints is decided later, and the metres differ little.
            _add_calender(work, drums[printer.fixation.calender], pieces * each_m / len(able))
    work.printing.append(minutes)


class Laid(NamedTuple):
    """A piece on the web with others of its size beside it: metres of web it takes, width of that image, its length."""

    length_m: float
    image_m: float
    along_m: float


def printed_piece(
    scenario: Scenario, product: Product, sizes: Sequence[tuple[float, float, float]], printer: Printer
) -> tuple[float, float]:
    """Metres of web and minutes that printing one piece takes on a printer; sizes are (width, height, share)."""
    each_m = each_min = 0.0
    for width_m, height_m, part in sizes:
        laid = laid_on(scenario, product, printer, width_m, height_m)
        each_m += part * laid.length_m
        each_min += part * laid.length_m / _speed(printer, product, _fabric(scenario, product), laid.image_m)
    return each_m, each_min


def laid_on(scenario: Scenario, product: Product, printer: Printer, width_m: float, height_m: float) -> Laid:
    """How a printed product's piece of a finished size lies on the web of a printer."""
    fabric = _fabric(scenario, product)
    web_m = usable_width_m(printer.print_width_m, fabric.roll_width_m, scenario.supplies.edge_margin_m)
    gap_m = scenario.supplies.gap_m
    length_m, image_m, along_m = 0.0, 0.1, 0.0
    for size in _web(scenario, product, width_m, height_m).sizes:
        ways = [size]
        if fabric.may_turn and size.along_m <= web_m:
            ways.append(PieceSize(size.along_m, size.across_m))
        rows = [(max(1, int((web_m + gap_m) / (way.across_m + gap_m) + 1e-9)), way) for way in ways]
        beside, way = min(rows, key=lambda row: (row[1].along_m + gap_m) / row[0])
        length_m += (way.along_m + gap_m) / beside
        image_m = max(image_m, min(web_m, beside * (way.across_m + gap_m) - gap_m))
        along_m = max(along_m, way.along_m)
    return Laid(length_m, image_m, along_m)


def _speed(printer: Printer, product: Product, fabric: Fabric, image_m: float) -> float:
    step = product.print_step
    assert step is not None  # only printed products come here
    mode = next(each for each in printer.modes if each.id == step.mode)
    return speed_m_per_min(printer, mode, fabric, image_m)


def _add_calender(work: Work, drum: Calender, web_m: Floats) -> None:
    m_per_min = calender_speed_m_per_h(drum.drum_m, drum.wrapped_share, drum.dwell_s) / 60
    runs = web_m / work.scenario.policies.printing.gang_max_web_m
    minutes = web_m / m_per_min + runs * drum.set_up_min.mean
    work.at(drum.id, skill_for_calenders(work.scenario), minutes, drum.people)


def remakes(scenario: Scenario) -> float:
    """Times a printed piece is made on average, counting what is lost at printing, cutting and sewing."""
    rule = scenario.policies.quality
    lost = rule.print_fault_pct + rule.cut_loss_pct + rule.sewing_fault_pct * (1 - rule.sewing_repaired_pct / 100)
    return 1 / (1 - min(0.9, lost / 100))
