"""The Weibull distribution: times until something is worn out."""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from shopsim.distributions._checks import Sample, checked_factor, require_positive

# Within these the shape follows from the coefficient of variation to nine digits or more.
LEAST_CV, MOST_CV = 0.001, 100.0


@dataclass(frozen=True, slots=True)
class Weibull:
    """Times to failure, given by their mean and coefficient of variation (standard deviation / mean).

    Below a variation of 1 things wear out (``shape`` above 1), at 1 they fail at random, above 1 when they are new.
    The variation must be from 0.001 to 100.
    """

    mean: float
    cv: float

    def __post_init__(self) -> None:
        require_positive(mean=self.mean, cv=self.cv)
        if not LEAST_CV <= self.cv <= MOST_CV:
            raise ValueError(f"cv must be from {LEAST_CV:g} to {MOST_CV:g}, got {self.cv!r}")

    @property
    def variance(self) -> float:
        return (self.mean * self.cv) ** 2

    @property
    def shape(self) -> float:
        """The slope of the line on Weibull paper."""
        return _shape(self.cv)

    @property
    def scale(self) -> float:
        """The time by which 63 % have failed."""
        return self.mean / math.gamma(1 + 1 / self.shape)

    def sample(self, rng: np.random.Generator, n: int) -> Sample:
        return self.scale * rng.weibull(self.shape, n)

    def scaled(self, factor: float) -> "Weibull":
        return Weibull(self.mean * checked_factor(factor), self.cv)

    def describe(self) -> str:
        return f"Weibull, mean {self.mean:g}, variation {100 * self.cv:g} %"


def weibull_cv(shape: float) -> float:
    """The coefficient of variation that belongs to a shape."""
    return math.sqrt(math.expm1(_log_of_squared_ratio(shape)))


@lru_cache(maxsize=256)
def _shape(cv: float) -> float:
    wanted = math.log1p(cv * cv)
    low, high = 0.1, 2000.0
    while (middle := math.sqrt(low * high)) not in (low, high):
        low, high = (middle, high) if _log_of_squared_ratio(middle) > wanted else (low, middle)
    return middle


def _log_of_squared_ratio(shape: float) -> float:
    # Mean square over squared mean, as a logarithm: the gamma functions themselves overflow for small shapes.
    return math.lgamma(1 + 2 / shape) - 2 * math.lgamma(1 + 1 / shape)
