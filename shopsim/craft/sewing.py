"""Sewing times from geometry: metres, corners, ends and pieces, never square metres (handbook section 6.2)."""

from collections.abc import Mapping
from dataclasses import dataclass

from shopsim.craft._limits import count, not_negative, positive, share_above_zero
from shopsim.craft._sides import SIDES, check_sides, side_lengths_m

ALLOWANCE_SHARE = 0.18  # SEW-31


@dataclass(frozen=True, slots=True)
class EdgeTimes:
    """Basic minutes of one way of sewing: trained sewer, rating 100, before allowances.

    An edge runs round its corners or, with `min_per_end`, ends at both ends of each side. `stitch` is the ISO 4915
    class, the first of those in the handbook `row`.
    """

    row: str
    min_per_m: float
    min_per_corner: float
    min_per_end: float
    min_per_piece: float
    stitch: str


EDGES: Mapping[str, EdgeTimes] = {
    "silicone_hand": EdgeTimes("SEW-11", 0.40, 0.45, 0.0, 1.5, "301"),
    "silicone_semi": EdgeTimes("SEW-12", 0.18, 0.30, 0.0, 1.5, "301"),
    "keder": EdgeTimes("SEW-13", 0.40, 0.0, 0.4, 1.3, "301"),
    "hem": EdgeTimes("SEW-14", 0.30, 0.30, 0.0, 1.0, "301"),
    "hem_webbing": EdgeTimes("SEW-15", 0.45, 0.5, 0.0, 1.2, "301"),
    "pole_pocket": EdgeTimes("SEW-16", 0.35, 0.0, 0.3, 1.0, "301"),
    "hook_loop": EdgeTimes("SEW-17", 0.60, 0.0, 0.3, 1.0, "301"),
    "overedge": EdgeTimes("SEW-18", 0.18, 0.15, 0.0, 0.7, "504"),
    "flag": EdgeTimes("SEW-19", 0.28, 0.25, 0.0, 1.8, "301"),
    "tube_zip": EdgeTimes("SEW-20", 0.40, 0.0, 0.0, 5.5, "514"),
    "label": EdgeTimes("SEW-21", 0.0, 0.8, 0.0, 0.4, "301"),
    "panel_seam": EdgeTimes("SEW-22", 0.55, 0.0, 0.3, 3.0, "516"),
}
NOT_ON_A_SIDE = frozenset({"label", "panel_seam"})

# Metres of thread per metre of seam at 7 stitches/cm by ISO 4915 class, a thread maker's table (MAT-31 agrees).
THREAD_M_PER_SEAM_M: Mapping[str, float] = {
    "101": 4.0,
    "301": 2.5,
    "401": 5.5,
    "406": 18.0,
    "504": 14.0,
    "516": 20.0,
    "602": 25.0,
    "605": 28.0,
}


def sewn_minutes(edge: str, length_m: float, corners: int = 0, ends: int = 0, pieces: int = 1) -> float:
    """Return the basic minutes of one way of sewing over a length with so many corners, ends and pieces.

    For `panel_seam` give the total seam length, two ends and one piece for each seam; for `label` no length, and a
    corner for each corner patch.

    Raises ValueError for an unknown edge and an impossible number.
    """
    times = _edge_times(edge)
    return (
        not_negative("length_m", length_m) * times.min_per_m
        + count("corners", corners) * times.min_per_corner
        + count("ends", ends) * times.min_per_end
        + count("pieces", pieces) * times.min_per_piece
    )


def basic_minutes(width_m: float, height_m: float, edges: Mapping[str, str]) -> float:
    """Return the basic minutes to sew a rectangle; `edges` names the edge of each sewn side (section 6.2).

    Sides are top, right, bottom, left; a side left out is not sewn. Two neighbouring sides with the same edge share a
    corner; the time per piece counts once for each kind of edge. Panel seams and labels come on top: `sewn_minutes`.

    Raises ValueError for an unknown side or edge and an impossible number.
    """
    check_sides(edges)
    lengths_m = side_lengths_m(width_m, height_m)
    minutes = 0.0
    for edge in dict.fromkeys(edges.values()):
        if edge in NOT_ON_A_SIDE:
            raise ValueError(f"edge {edge!r} is not sewn along a side, use sewn_minutes")
        own = [side for side in SIDES if edges.get(side) == edge]
        corners = sum(edges.get(SIDES[i - 1]) == edge == edges.get(SIDES[i]) for i in range(4))
        minutes += sewn_minutes(edge, sum(lengths_m[side] for side in own), corners, 2 * len(own))
    return minutes


def _edge_times(edge: str) -> EdgeTimes:
    if edge not in EDGES:
        raise ValueError(f"edge must be one of {', '.join(EDGES)}, found {edge!r}")
    return EDGES[edge]


def standard_minutes(basic_min: float, allowance_share: float = ALLOWANCE_SHARE) -> float:
    """Return standard minutes: basic time with the allowance added on basic time (SEW-31).

    Raises ValueError for an impossible number.
    """
    return not_negative("basic_min", basic_min) * (1.0 + not_negative("allowance_share", allowance_share))


def needle_speed_m_per_min(stitches_per_min: float, stitches_per_cm: float, running_share: float = 1.0) -> float:
    """Return the seam sewn per minute, m/min (SEW-05), the machine running at a share of its speed on average.

    Raises ValueError for an impossible number.
    """
    sewn_per_min = positive("stitches_per_min", stitches_per_min) * share_above_zero("running_share", running_share)
    return sewn_per_min / (100.0 * positive("stitches_per_cm", stitches_per_cm))


def thread_m(seam_m: float, stitch: str, waste_share: float = 0.0) -> float:
    """Return the thread a seam takes, m (MAT-31), with waste added on top.

    Raises ValueError for a stitch class without a known ratio and an impossible number.
    """
    if stitch not in THREAD_M_PER_SEAM_M:
        raise ValueError(f"stitch must be one of {', '.join(THREAD_M_PER_SEAM_M)}, found {stitch!r}")
    return (
        not_negative("seam_m", seam_m) * THREAD_M_PER_SEAM_M[stitch] * (1.0 + not_negative("waste_share", waste_share))
    )
