"""Distributions given by a formula and a few numbers."""

import math
from dataclasses import dataclass

import numpy as np

from shopsim.distributions._checks import Sample, checked_factor, require_finite, require_positive

# Standard normal quantile of 0.9.
Z_P90 = 1.2815515655446004


@dataclass(frozen=True, slots=True)
class Fixed:
    """Always the same value; takes nothing from the generator."""

    value: float

    def __post_init__(self) -> None:
        require_finite(value=self.value)

    @property
    def mean(self) -> float:
        return self.value

    @property
    def variance(self) -> float:
        return 0.0

    def sample(self, rng: np.random.Generator, n: int) -> Sample:
        return np.full(n, float(self.value))

    def scaled(self, factor: float) -> "Fixed":
        return Fixed(self.value * checked_factor(factor))

    def describe(self) -> str:
        return f"always {self.value:g}"


@dataclass(frozen=True, slots=True)
class Uniform:
    """Any value from ``low`` to ``high`` is equally likely."""

    low: float
    high: float

    def __post_init__(self) -> None:
        require_finite(low=self.low, high=self.high)
        if self.low > self.high:
            raise ValueError(f"low must not be above high, got low {self.low!r} and high {self.high!r}")

    @property
    def mean(self) -> float:
        return (self.low + self.high) / 2

    @property
    def variance(self) -> float:
        return (self.high - self.low) ** 2 / 12

    def sample(self, rng: np.random.Generator, n: int) -> Sample:
        return self.low + (self.high - self.low) * rng.random(n)

    def scaled(self, factor: float) -> "Uniform":
        return Uniform(self.low * checked_factor(factor), self.high * factor)

    def describe(self) -> str:
        return f"uniform {self.low:g}–{self.high:g}"


@dataclass(frozen=True, slots=True)
class Triangular:
    """Least, most likely and greatest value, as people estimate them."""

    low: float
    mode: float
    high: float

    def __post_init__(self) -> None:
        require_finite(low=self.low, mode=self.mode, high=self.high)
        if not self.low <= self.mode <= self.high:
            raise ValueError(
                f"low, mode and high must be in rising order, got {self.low!r}, {self.mode!r} and {self.high!r}"
            )

    @property
    def mean(self) -> float:
        return (self.low + self.mode + self.high) / 3

    @property
    def variance(self) -> float:
        a, m, b = self.low, self.mode, self.high
        return (a * a + m * m + b * b - a * m - a * b - m * b) / 18

    def sample(self, rng: np.random.Generator, n: int) -> Sample:
        # By inversion, one number of the stream a draw: numpy's own refuses low == high, which is a sound estimate.
        share = rng.random(n)
        width, left, right = self.high - self.low, self.mode - self.low, self.high - self.mode
        rising = self.low + np.sqrt(share * width * left)
        falling = self.high - np.sqrt((1.0 - share) * width * right)
        return np.where(share * width < left, rising, falling)

    def scaled(self, factor: float) -> "Triangular":
        return Triangular(self.low * checked_factor(factor), self.mode * factor, self.high * factor)

    def describe(self) -> str:
        return f"triangular {self.low:g}–{self.mode:g}–{self.high:g}"


@dataclass(frozen=True, slots=True)
class Exponential:
    """Gaps between events that come at random at a constant rate of 1 / ``mean``."""

    mean: float

    def __post_init__(self) -> None:
        require_positive(mean=self.mean)

    @property
    def variance(self) -> float:
        return self.mean**2

    def sample(self, rng: np.random.Generator, n: int) -> Sample:
        return rng.exponential(self.mean, n)

    def scaled(self, factor: float) -> "Exponential":
        return Exponential(self.mean * checked_factor(factor))

    def describe(self) -> str:
        return f"exponential, mean {self.mean:g}"


@dataclass(frozen=True, slots=True)
class Gamma:
    """Positive and skewed, given by its mean and its coefficient of variation (standard deviation / mean)."""

    mean: float
    cv: float

    def __post_init__(self) -> None:
        require_positive(mean=self.mean, cv=self.cv)

    @property
    def variance(self) -> float:
        return (self.mean * self.cv) ** 2

    def sample(self, rng: np.random.Generator, n: int) -> Sample:
        return rng.gamma(self.cv**-2, self.mean * self.cv**2, n)

    def scaled(self, factor: float) -> "Gamma":
        return Gamma(self.mean * checked_factor(factor), self.cv)

    def describe(self) -> str:
        return f"gamma, mean {self.mean:g}, variation {100 * self.cv:g} %"


@dataclass(frozen=True, slots=True)
class Erlang:
    """The sum of ``k`` exponential phases with ``mean`` in all."""

    mean: float
    k: int

    def __post_init__(self) -> None:
        require_positive(mean=self.mean)
        if self.k != int(self.k) or self.k < 1:
            raise ValueError(f"k must be a whole number of at least 1, got {self.k!r}")

    @property
    def variance(self) -> float:
        return self.mean**2 / self.k

    def sample(self, rng: np.random.Generator, n: int) -> Sample:
        return rng.gamma(self.k, self.mean / self.k, n)

    def scaled(self, factor: float) -> "Erlang":
        return Erlang(self.mean * checked_factor(factor), self.k)

    def describe(self) -> str:
        return f"Erlang, mean {self.mean:g}, {self.k} phase{'s' if self.k > 1 else ''}"


@dataclass(frozen=True, slots=True)
class LogNormal:
    """Half of all values lie below ``median``, nine in ten below ``p90``; equal ones make a fixed value."""

    median: float
    p90: float

    def __post_init__(self) -> None:
        require_positive(median=self.median, p90=self.p90)
        if self.p90 < self.median:
            raise ValueError(f"p90 must not be below median {self.median!r}, got {self.p90!r}")

    @property
    def sigma(self) -> float:
        """Standard deviation of the logarithm."""
        return math.log(self.p90 / self.median) / Z_P90

    @property
    def mean(self) -> float:
        return self.median * math.exp(self.sigma**2 / 2)

    @property
    def variance(self) -> float:
        return self.mean**2 * math.expm1(self.sigma**2)

    def sample(self, rng: np.random.Generator, n: int) -> Sample:
        return self.median * np.exp(self.sigma * rng.standard_normal(n))

    def scaled(self, factor: float) -> "LogNormal":
        return LogNormal(self.median * checked_factor(factor), self.p90 * factor)

    def describe(self) -> str:
        return f"log-normal, median {self.median:g}, 90 % below {self.p90:g}"
