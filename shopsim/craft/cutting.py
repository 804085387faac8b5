"""Cutting: metres of contour and pieces to handle; not m² (handbook section 5)."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from shopsim.craft._limits import not_negative, positive

SECOND_PERSON_ABOVE_M = 3.0  # CUT-01, CUT-02


@dataclass(frozen=True, slots=True)
class CutMethod:
    """One way of cutting: effective contour speed, the edge it leaves, camera marks, people for a long piece."""

    row: str
    speed_m_per_min: float
    edge: Literal["raw", "sealed", "either"]
    camera: bool
    people_when_long: int


CUT_METHODS: Mapping[str, CutMethod] = {
    "hand": CutMethod("CUT-01", 4.0, "raw", False, 2),
    "hot_knife": CutMethod("CUT-02", 2.5, "sealed", False, 2),
    "flatbed_knife": CutMethod("CUT-03", 18.0, "raw", True, 1),
    "laser": CutMethod("CUT-04", 22.0, "sealed", True, 1),
    "xy_trimmer": CutMethod("CUT-05", 15.0, "either", False, 1),
}


# CUT-08: take off, match to the order, label, fold.
SMALL_BELOW_M2, LARGE_ABOVE_M2 = 2.0, 8.0
HANDLING_MIN_SMALL, HANDLING_MIN_MEDIUM, HANDLING_MIN_LARGE = 0.6, 1.2, 3.0


def contour_m(width_m: float, height_m: float) -> float:
    """Return the cut path round a rectangle, m. Raises ValueError for an impossible number."""
    return 2.0 * (positive("width_m", width_m) + positive("height_m", height_m))


def contour_min(method: str, contour_m: float) -> float:
    """Return the minutes to cut a contour. Raises ValueError for an unknown method and an impossible number."""
    return not_negative("contour_m", contour_m) / _cut_method(method).speed_m_per_min


def handling_min(area_m2: float) -> float:
    """Return the minutes to take off, match, label and fold one piece (CUT-08). Raises ValueError if impossible."""
    if positive("area_m2", area_m2) < SMALL_BELOW_M2:
        return HANDLING_MIN_SMALL
    return HANDLING_MIN_MEDIUM if area_m2 <= LARGE_ABOVE_M2 else HANDLING_MIN_LARGE


def cutting_people(method: str, longest_side_m: float) -> int:
    """Return the people who cut: by hand two above 3 m (CUT-01, CUT-02).

    Raises ValueError for an unknown method and an impossible number.
    """
    is_long = positive("longest_side_m", longest_side_m) > SECOND_PERSON_ABOVE_M
    return _cut_method(method).people_when_long if is_long else 1


def piece_min(method: str, width_m: float, height_m: float) -> float:
    """Return the minutes for one rectangle: its contour and its handling.

    What belongs to the web and not to the piece (reading marks, loading, the left-over web) comes on top.

    Raises ValueError for an unknown method and an impossible number.
    """
    return contour_min(method, contour_m(width_m, height_m)) + handling_min(width_m * height_m)


def _cut_method(method: str) -> CutMethod:
    if method not in CUT_METHODS:
        raise ValueError(f"method must be one of {', '.join(CUT_METHODS)}, found {method!r}")
    return CUT_METHODS[method]
