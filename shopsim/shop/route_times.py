"""From geometry to minutes: what one piece of a product needs at each step of its route, and how it lies on the web.

Used by the rough-cut load in `check` and by the floor, so that both speak of the same standard minutes.
"""

from __future__ import annotations

from typing import NamedTuple

from shopsim.craft import cutting, finishing, sewers, sewing
from shopsim.craft.fixation import fixation_cap_m_per_h
from shopsim.craft.layout import PieceSize, print_size, split_panels, usable_width_m
from shopsim.craft.printing import (
    achieved_feed_m_per_h,
    advance_m,
    feed_from_rate,
    feed_m_per_h,
    stroke_time_s,
)
from shopsim.shop.materials import Fabric
from shopsim.shop.printers import InlineFixation, Mode, Printer
from shopsim.shop.products import Cut, Eyelets, FrameFit, Inspect, Iron, Operation, Pack, Print, Product, Rods, Sew
from shopsim.shop.scenario import Scenario
from shopsim.shop.work_centres import WorkCentre

PANEL_SEAM = "panel_seam"


class WebPieces(NamedTuple):
    """How one finished piece is printed: one size, or equal panels with seams between them."""

    sizes: tuple[PieceSize, ...]
    seams: int
    seam_length_m: float


def printers_for(scenario: Scenario, product: Product) -> list[Printer]:
    """The printers that may print a product: allowed by its route, with its mode, taking its fabric."""
    step, fabric = product.print_step, product.fabric
    if step is None or fabric is None:
        return []
    model: Fabric = scenario.by_id("fabrics")[fabric]
    return [
        printer
        for printer in scenario.printers
        if (step.printers is None or printer.id in step.printers)
        and any(mode.id == step.mode for mode in printer.modes)
        and takes_roll(printer, model)
    ]


def web_width_m(scenario: Scenario, product: Product) -> float:
    """The widest usable web of a printed product on any printer that may print it; ValueError if there is none."""
    printers = printers_for(scenario, product)
    if not printers or product.fabric is None:
        raise ValueError(f"no printer can print {product.id!r}")
    fabric: Fabric = scenario.by_id("fabrics")[product.fabric]
    margin_m = scenario.supplies.edge_margin_m
    return max(usable_width_m(printer.print_width_m, fabric.roll_width_m, margin_m) for printer in printers)


def web_pieces(
    product: Product, fabric: Fabric, web_m: float, panel_overlap_m: float, width_m: float, height_m: float
) -> WebPieces:
    """Print sizes of a finished size on a web of usable width `web_m`.

    Raises ValueError if it fits no way and may not be split.
    """
    step = product.print_step
    extra_m = step.edge_extra_m if step else 0.0
    size = print_size(width_m, height_m, fabric.shrink_across_pct / 100, fabric.shrink_along_pct / 100, extra_m)
    narrow = min(size) if fabric.may_turn else size.across_m
    if narrow <= web_m + 1e-9:
        return WebPieces((size,), 0, 0.0)
    if not product.may_split:
        raise ValueError(f"a print {size.across_m:.2f} m wide does not fit a web of {web_m:.2f} m usable width")
    panels = split_panels(size.across_m, size.along_m, web_m, panel_overlap_m, fabric.may_turn)
    return WebPieces(tuple(panels.sizes), panels.seams, panels.seam_length_m)


# A printer takes cloth somewhat wider than it prints: 3.2 m at 3.1 m of print width (handbook section 0).
_CLOTH_BEYOND_PRINT_M = 0.15


def takes_roll(printer: Printer, fabric: Fabric) -> bool:
    """Whether a printer is wide enough for a fabric's rolls."""
    return fabric.roll_width_m <= printer.print_width_m + _CLOTH_BEYOND_PRINT_M + 1e-9


def feed_m_per_min(printer: Printer, mode: Mode, image_width_m: float) -> float:
    """Achieved feed while printing an image of this width, before the fixation cap."""
    if mode.passes is not None:
        head = printer.head
        back = None if mode.both_ways else head.return_m_per_s or head.carriage_m_per_s
        stroke_s = stroke_time_s(image_width_m, head.overscan_m, head.carriage_m_per_s, head.turnaround_s, back)
        feed = feed_m_per_h(advance_m(head.swath_m, mode.passes), stroke_s)
    else:
        assert mode.area_rate_m2_per_h is not None  # cross_checks: passes or an area rate
        feed = feed_from_rate(mode.area_rate_m2_per_h, mode.rated_width_m or printer.print_width_m, image_width_m)
    return achieved_feed_m_per_h(feed, mode.achieved_share) / 60


def speed_cap_m_per_min(printer: Printer, fabric: Fabric) -> float:
    """The fastest feed at which the plate still fixes the fabric; infinite where nothing is fixed inline."""
    if isinstance(printer.fixation, InlineFixation):
        return fixation_cap_m_per_h(printer.fixation.plate_m, fabric.dwell_s) / 60
    return float("inf")


def speed_m_per_min(printer: Printer, mode: Mode, fabric: Fabric, image_width_m: float) -> float:
    """Feed while printing: achieved feed, capped by fixation."""
    return min(feed_m_per_min(printer, mode, image_width_m), speed_cap_m_per_min(printer, fabric))


def piece_minutes(op: Operation, centre: WorkCentre, width_m: float, height_m: float, web: WebPieces) -> float:
    """Standard minutes of one piece at a step whose minutes follow from geometry, allowance included."""
    if isinstance(op, Print) or op.minutes is not None:
        raise ValueError(f"the minutes of step `{op.op}` do not follow from geometry")
    basic = _basic_minutes(op, centre, width_m, height_m, web)
    return basic * (1 + centre.allowance_pct / 100)


def _basic_minutes(op: Operation, centre: WorkCentre, width_m: float, height_m: float, web: WebPieces) -> float:
    area_m2 = width_m * height_m
    match op:
        case Cut():
            return cutting.piece_min(_cut_way(centre), width_m, height_m)
        case Sew():
            minutes = sewing.basic_minutes(width_m, height_m, op.sides()) if op.sides() else 0.0
            minutes += sewing.sewn_minutes("label", 0.0, 0, 0, op.labels) if op.labels else 0.0
            if web.seams:
                minutes += sewing.sewn_minutes(PANEL_SEAM, web.seam_length_m, 0, 2 * web.seams, web.seams)
            return minutes
        case Eyelets():
            eyelets = finishing.eyelet_count(width_m, height_m, op.sides, op.spacing_m)
            return finishing.eyelet_min(eyelets, centre.eyelet_press)
        case Iron():
            return finishing.ironing_min(area_m2)
        case Rods():
            return finishing.HARDWARE_MIN
        case FrameFit():
            return finishing.FRAME_FIT_MIN
        case Inspect():
            return finishing.inspection_min(area_m2)
        case Pack():
            return finishing.packing_min(op.way)
    raise ValueError(f"step `{op.op}` needs `minutes`")


def _cut_way(centre: WorkCentre) -> str:
    assert centre.method is not None  # cross_checks: a cutting centre names its method
    return centre.method


def people_needed(op: Operation, centre: WorkCentre, width_m: float, height_m: float) -> int:
    """One, or two above the centre's limits of side or area, or for long cuts by hand (CUT-01, CUT-02)."""
    side_m, area_m2 = max(width_m, height_m), width_m * height_m
    if isinstance(op, Cut) and op.minutes is None and cutting.cutting_people(_cut_way(centre), side_m) == 2:
        return 2
    no_limit = 1e12
    limits = centre.second_person_above_m or no_limit, centre.second_person_above_m2 or no_limit
    return 2 if sewers.needs_second_person(side_m, area_m2, *limits) else 1
