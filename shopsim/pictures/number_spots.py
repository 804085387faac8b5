"""Where the number of a point can stand so that it is taken for no other point's: beside it, covering nothing."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from typing import NamedTuple

WIDTHS_PX = (270, 420, 700, 1040)
"""Widths between the axes for which a spot has to do, from a phone to a wide page: the figure is the same on all."""
NUMBER_PX = (18, 16)
"""Room for a number of two digits."""
_MARKER_PX, _BAR_PX = 16, 8
_DISTANCES_PX = (23, 34, 46, 60)
# Between the bars of an upright and a lying interval first.
_DIRECTIONS = ((0.7, -0.7), (-0.7, -0.7), (0.7, 0.7), (-0.7, 0.7), (1, 0), (-1, 0), (0, -1), (0, 1))

Box = tuple[float, float, float, float]
"""Left, top, right, bottom, in px from the upper left corner."""


class Point(NamedTuple):
    """A point and its intervals, as shares of the axes from the lower left corner (0 to 1)."""

    x: float
    y: float
    x_low: float
    x_high: float
    y_low: float
    y_high: float


def number_spots(points: Sequence[Point], height_px: float) -> list[tuple[float, float]]:
    """For each point how far right and down of it, px, its number stands: on nothing else on any of `WIDTHS_PX`, and
    as little as can be where points are too crowded for that."""
    others = [[box for point in points for box in boxes_of(point, width, height_px)] for width in WIDTHS_PX]
    found = []
    for point in points:
        best = min(_candidates(), key=lambda spot: (_covered(point, spot, others, height_px), _length(spot)))
        found.append(best)
        for boxes, width in zip(others, WIDTHS_PX, strict=True):
            boxes.append(number_box(point, best, width, height_px))
    return found


def number_box(point: Point, spot: tuple[float, float], width: float, height: float) -> Box:
    """The room a number takes at a spot."""
    x, y = point.x * width + spot[0], (1 - point.y) * height + spot[1]
    return _around(x, y, *NUMBER_PX)


def boxes_of(point: Point, width: float, height: float) -> list[Box]:
    """What a point covers: its marker and the bars of its intervals."""
    x, y = point.x * width, (1 - point.y) * height
    upright = (x - _BAR_PX / 2, (1 - point.y_high) * height, x + _BAR_PX / 2, (1 - point.y_low) * height)
    lying = (point.x_low * width, y - _BAR_PX / 2, point.x_high * width, y + _BAR_PX / 2)
    return [_around(x, y, _MARKER_PX, _MARKER_PX), upright, lying]


def shared_px2(one: Box, other: Box) -> float:
    """The area two boxes have in common."""
    wide, high = min(one[2], other[2]) - max(one[0], other[0]), min(one[3], other[3]) - max(one[1], other[1])
    return wide * high if wide > 0 and high > 0 else 0.0


def _candidates() -> Iterator[tuple[float, float]]:
    for distance, (right, down) in itertools.product(_DISTANCES_PX, _DIRECTIONS):
        yield round(distance * right, 1), round(distance * down, 1)


def _covered(point: Point, spot: tuple[float, float], others: Sequence[Sequence[Box]], height: float) -> float:
    covered = 0.0
    for boxes, width in zip(others, WIDTHS_PX, strict=True):
        own = number_box(point, spot, width, height)
        inside = shared_px2(own, (0, 0, width, height))
        covered += NUMBER_PX[0] * NUMBER_PX[1] - inside + sum(shared_px2(own, box) for box in boxes)
    return covered


def _length(spot: tuple[float, float]) -> float:
    return float((spot[0] ** 2 + spot[1] ** 2) ** 0.5)


def _around(x: float, y: float, wide: float, high: float) -> Box:
    return x - wide / 2, y - high / 2, x + wide / 2, y + high / 2
