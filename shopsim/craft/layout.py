"""Layout on the web: print sizes, pieces wider than the web, and nesting. Start reading here.

`nest_shelves` is quick enough for the simulation loop; `nest_skyline` packs tighter and takes longer.
"""

from math import ceil
from typing import NamedTuple

from shopsim.craft._limits import not_negative, part_below_one, positive
from shopsim.craft.layout_pieces import SLACK_M, Layout, PieceSize, Placement, Shelf
from shopsim.craft.layout_shelves import nest_shelves
from shopsim.craft.layout_skyline import nest_skyline

__all__ = [
    "Layout",
    "Panels",
    "PieceSize",
    "Placement",
    "Shelf",
    "nest_shelves",
    "nest_skyline",
    "print_size",
    "split_panels",
    "usable_width_m",
]


def usable_width_m(print_width_m: float, roll_width_m: float, edge_margin_m: float) -> float:
    """Return the width pieces may take, m: the print width, or the roll less a margin on each side (PRE-13).

    Raises ValueError for an impossible number and for margins that leave nothing.
    """
    positive("print_width_m", print_width_m)
    positive("roll_width_m", roll_width_m)
    not_negative("edge_margin_m", edge_margin_m)
    between_margins_m = roll_width_m - 2.0 * edge_margin_m
    if between_margins_m <= 0.0:
        raise ValueError(f"edge_margin_m must leave some of a {roll_width_m:g} m roll, found {edge_margin_m!r}")
    return min(print_width_m, between_margins_m)


def print_size(
    finished_width_m: float, finished_height_m: float, shrink_across: float, shrink_along: float, edge_extra_m: float
) -> PieceSize:
    """Return the size to print for a finished size (PRE-14, PRE-17): allowances added, then enlarged by 1/(1 - shrink).

    `edge_extra_m` is the allowance on each of the four sides, m; shrinkages are shares, 0.008 for 0.8 %. The finished
    width lies across the web.

    Raises ValueError for an impossible number.
    """
    positive("finished_width_m", finished_width_m)
    positive("finished_height_m", finished_height_m)
    part_below_one("shrink_across", shrink_across)
    part_below_one("shrink_along", shrink_along)
    extra_m = 2.0 * not_negative("edge_extra_m", edge_extra_m)
    return PieceSize(
        (finished_width_m + extra_m) / (1.0 - shrink_across), (finished_height_m + extra_m) / (1.0 - shrink_along)
    )


class Panels(NamedTuple):
    """Equal panels that make up one piece, the number of seams between them and their total length, m."""

    sizes: list[PieceSize]
    seams: int
    seam_length_m: float


def split_panels(across_m: float, along_m: float, usable_width_m: float, overlap_m: float, may_turn: bool) -> Panels:
    """Split a piece wider than the web into the fewest equal panels, to be joined by matched seams (SEW-22).

    Sizes are print sizes, m. `overlap_m` is the width two neighbouring panels share in their seam. If turning is
    allowed the panels may run across the piece instead; of equal counts the shorter seams win, then as given.

    Raises ValueError for an impossible number and for an overlap not below the web's width.
    """
    positive("across_m", across_m)
    positive("along_m", along_m)
    positive("usable_width_m", usable_width_m)
    not_negative("overlap_m", overlap_m)
    if overlap_m >= usable_width_m:
        raise ValueError(f"overlap_m must be below the usable web width of {usable_width_m:g} m, found {overlap_m!r}")
    as_given = _panels(across_m, along_m, usable_width_m, overlap_m)
    if not may_turn:
        return as_given
    turned = _panels(along_m, across_m, usable_width_m, overlap_m)
    return min(as_given, turned, key=lambda panels: (panels.seams, panels.seam_length_m))


def _panels(across_m: float, along_m: float, usable_width_m: float, overlap_m: float) -> Panels:
    panels = max(1, ceil((across_m - overlap_m - SLACK_M) / (usable_width_m - overlap_m)))
    seams = panels - 1
    size = PieceSize((across_m + seams * overlap_m) / panels, along_m)
    return Panels([size] * panels, seams, seams * along_m)
