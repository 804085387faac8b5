"""Distributions given by a list of values."""

import math
from dataclasses import dataclass

import numpy as np

from shopsim.distributions._checks import Sample, checked_factor, require_finite_each


@dataclass(frozen=True, slots=True)
class Empirical:
    """Measured values, each drawn again with the same chance; ``variance`` is that of the drawn values (divisor n)."""

    values: tuple[float, ...]

    def __post_init__(self) -> None:
        object.__setattr__(self, "values", tuple(self.values))
        require_finite_each("values", self.values)

    @property
    def mean(self) -> float:
        return math.fsum(self.values) / len(self.values)

    @property
    def variance(self) -> float:
        mean = self.mean
        return math.fsum((value - mean) ** 2 for value in self.values) / len(self.values)

    def sample(self, rng: np.random.Generator, n: int) -> Sample:
        places = (rng.random(n) * len(self.values)).astype(np.intp)
        return np.asarray(self.values, dtype=float)[places]

    def scaled(self, factor: float) -> "Empirical":
        checked_factor(factor)
        return Empirical(tuple(value * factor for value in self.values))

    def describe(self) -> str:
        low, high = min(self.values), max(self.values)
        return f"one of {len(self.values)} measured values, {low:g}–{high:g}, mean {self.mean:g}"


@dataclass(frozen=True, slots=True)
class Discrete:
    """One of ``values``, with chances in proportion to ``weights``."""

    values: tuple[float, ...]
    weights: tuple[float, ...]

    def __post_init__(self) -> None:
        object.__setattr__(self, "values", tuple(self.values))
        object.__setattr__(self, "weights", tuple(self.weights))
        require_finite_each("values", self.values)
        require_finite_each("weights", self.weights)
        if len(self.values) != len(self.weights):
            raise ValueError(f"{len(self.values)} values need as many weights, got {len(self.weights)}")
        if min(self.weights) < 0 or not 0 < sum(self.weights) < math.inf:
            raise ValueError(f"weights must not be negative and must have a positive sum, got {self.weights!r}")

    @property
    def shares(self) -> tuple[float, ...]:
        """Chance of each value; they add up to 1."""
        total = math.fsum(self.weights)
        return tuple(weight / total for weight in self.weights)

    @property
    def mean(self) -> float:
        return math.fsum(share * value for share, value in zip(self.shares, self.values, strict=True))

    @property
    def variance(self) -> float:
        mean = self.mean
        return math.fsum(share * (value - mean) ** 2 for share, value in zip(self.shares, self.values, strict=True))

    def sample(self, rng: np.random.Generator, n: int) -> Sample:
        bounds = np.cumsum(self.weights)
        # Searching against the last bound itself keeps a value of weight 0 at the end from ever being drawn.
        places = np.searchsorted(bounds, rng.random(n) * bounds[-1], side="right")
        drawn: Sample = np.asarray(self.values, dtype=float)[places]
        return drawn

    def scaled(self, factor: float) -> "Discrete":
        checked_factor(factor)
        return Discrete(tuple(value * factor for value in self.values), self.weights)

    def describe(self) -> str:
        return ", ".join(f"{v:g} ({100 * share:.3g} %)" for v, share in zip(self.values, self.shares, strict=True))
