"""Finishing, inspection and packing: minutes from geometry and counts (handbook section 7)."""

from collections.abc import Collection, Mapping
from math import ceil

from shopsim.craft._limits import count, not_negative, positive
from shopsim.craft._sides import SIDES, check_sides, side_lengths_m

EYELET_SPACING_M = 0.5  # FIN-01
EYELET_S: Mapping[str, float] = {"hand": 16.0, "automatic": 5.0}  # FIN-02
EYELET_MARKING_MIN = 0.75  # FIN-02: 0.5 to 1 per piece
HARDWARE_MIN = 1.5  # FIN-04: rope, spring hooks or rods, per piece
IRONING_MIN_PER_M2 = 0.8  # FIN-05
FRAME_FIT_MIN = 6.0  # FIN-06, per piece fitted
INSPECTION_MIN, INSPECTION_MIN_PER_M2 = 1.0, 0.3  # FIN-07
PACKING_MIN: Mapping[str, float] = {"bag": 2.5, "tube": 5.0, "carton": 9.0}  # FIN-08, per piece

# Spacing sums like 3 * 0.1 m must not call for an eyelet more.
_SLACK = 1e-9


def eyelet_count(
    width_m: float, height_m: float, sides: Collection[str] = SIDES, spacing_m: float = EYELET_SPACING_M
) -> int:
    """Return the eyelets along the chosen sides: one at each corner, even spaces of at most `spacing_m` between.

    Two chosen sides share the eyelet of their corner (FIN-01).

    Raises ValueError for an unknown side and an impossible number.
    """
    check_sides(sides)
    positive("spacing_m", spacing_m)
    lengths_m = side_lengths_m(width_m, height_m)
    between = sum(max(1, ceil(lengths_m[side] / spacing_m - _SLACK)) - 1 for side in set(sides))
    corners = sum(SIDES[i - 1] in sides or SIDES[i] in sides for i in range(4))
    return between + corners


def eyelet_min(eyelets: int, way: str, marking_min: float = EYELET_MARKING_MIN) -> float:
    """Return the minutes to mark one piece and set its eyelets by "hand" or "automatic" press (FIN-02).

    Raises ValueError for an unknown way and an impossible number.
    """
    if way not in EYELET_S:
        raise ValueError(f"way must be one of {', '.join(EYELET_S)}, found {way!r}")
    set_min = count("eyelets", eyelets) * EYELET_S[way] / 60.0
    return set_min + not_negative("marking_min", marking_min) if eyelets else 0.0


def ironing_min(area_m2: float, min_per_m2: float = IRONING_MIN_PER_M2) -> float:
    """Return the minutes to iron or steam one piece (FIN-05). Raises ValueError for an impossible number."""
    return positive("area_m2", area_m2) * not_negative("min_per_m2", min_per_m2)


def inspection_min(
    area_m2: float, fixed_min: float = INSPECTION_MIN, min_per_m2: float = INSPECTION_MIN_PER_M2
) -> float:
    """Return the minutes to inspect one piece (FIN-07): a fixed part and a part by area.

    Raises ValueError for an impossible number.
    """
    by_area_min = positive("area_m2", area_m2) * not_negative("min_per_m2", min_per_m2)
    return not_negative("fixed_min", fixed_min) + by_area_min


def packing_min(way: str, pieces: int = 1) -> float:
    """Return the minutes to pack pieces in a "bag", on a core in a "tube" or with hardware in a "carton" (FIN-08).

    Raises ValueError for an unknown way and an impossible number.
    """
    if way not in PACKING_MIN:
        raise ValueError(f"way must be one of {', '.join(PACKING_MIN)}, found {way!r}")
    return count("pieces", pieces) * PACKING_MIN[way]
