"""Inputs that are not known for sure, given as ranges, and samples of them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from shopsim.studies._checks import require_count

Floats = NDArray[np.float64]
Shape = Literal["uniform", "triangular"]


@dataclass(frozen=True, slots=True)
class Range:
    """An input by name that lies between two bounds: anywhere alike, or (triangular) most likely at `likely`.

    Without `likely` a triangle stands on the middle. `whole` inputs take whole numbers only, bounds included. Raises
    ValueError for bounds that do not rise, and for `likely` outside of them.
    """

    name: str
    low: float
    high: float
    shape: Shape = "uniform"
    likely: float | None = None
    whole: bool = False

    def __post_init__(self) -> None:
        if not (math.isfinite(self.low) and math.isfinite(self.high) and self.low < self.high):
            raise ValueError(f"{self.name} must have a low below its high, found {self.low!r} and {self.high!r}")
        if self.likely is not None and not self.low <= self.likely <= self.high:
            raise ValueError(f"{self.name}: likely must be from {self.low:g} to {self.high:g}, found {self.likely!r}")

    def at(self, share: float) -> float:
        """The value below which a share from 0 to 1 of all lies."""
        if self.whole:
            step = self._quantile(share, self.low, self.high + 1, 0.5)
            return float(min(self.high, math.floor(step)))
        return self._quantile(share, self.low, self.high, 0.0)

    def _quantile(self, share: float, low: float, high: float, shift: float) -> float:
        if self.shape == "uniform":
            return low + share * (high - low)
        top = (self.low + self.high) / 2 if self.likely is None else self.likely
        rising = (top + shift - low) / (high - low)
        if share < rising:
            return low + math.sqrt(share * rising) * (high - low)
        return high - math.sqrt((1 - share) * (1 - rising)) * (high - low)


def latin_hypercube(ranges: Sequence[Range], count: int, seed: int) -> list[tuple[float, ...]]:
    """Values of all inputs, `count` times, each input spread evenly over its whole range.

    M. D. McKay, R. J. Beckman, W. J. Conover, "A comparison of three methods for selecting values of input variables in
    the analysis of output from a computer code", Technometrics 21 (1979) 239-245. Raises ValueError for a count of 0.
    """
    from scipy.stats import qmc

    require_count("count", count, 1)
    if not ranges:
        return [()] * count
    return values_at(ranges, qmc.LatinHypercube(d=len(ranges), rng=np.random.default_rng(seed)).random(count))


def values_at(ranges: Sequence[Range], shares: Floats) -> list[tuple[float, ...]]:
    """Values of all inputs from points in the unit cube, one a row."""
    return [tuple(one.at(share) for one, share in zip(ranges, row, strict=True)) for row in shares.tolist()]
