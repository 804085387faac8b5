"""The four sides of a rectangular piece, shared by sewing and finishing."""

from collections.abc import Iterable

from shopsim.craft._limits import positive

# Clockwise: each side meets the next at a corner, the last meets the first.
SIDES = ("top", "right", "bottom", "left")


def side_lengths_m(width_m: float, height_m: float) -> dict[str, float]:
    """Return the length of each side, m. Raises ValueError for an impossible number."""
    width_m, height_m = positive("width_m", width_m), positive("height_m", height_m)
    return {"top": width_m, "right": height_m, "bottom": width_m, "left": height_m}


def check_sides(sides: Iterable[str]) -> None:
    """Raise ValueError naming the first side that a rectangle does not have."""
    for side in sides:
        if side not in SIDES:
            raise ValueError(f"a side must be one of top, right, bottom, left, found {side!r}")
