"""One long run cut into batches: how sure its mean is although neighbouring values depend on each other.

Law, Simulation Modeling and Analysis, 5th ed., section 9.5.3, for the interval; G. S. Fishman, "Grouping observations
in digital simulation", Management Science 24 (1978) 510-521, for the check that the batches are long enough.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from shopsim.studies._checks import require_count, require_numbers
from shopsim.studies.precision import Interval, interval

# Fishman's normal approximation of von Neumann's ratio is poor for fewer batches.
LEAST_BATCHES = 8


@dataclass(frozen=True, slots=True)
class Summary:
    """Mean and standard deviation (divisor n - 1) of values in order, and how much each resembles the next.

    `lag_1` is None where the values do not vary.
    """

    n: int
    mean: float
    deviation: float
    lag_1: float | None


@dataclass(frozen=True, slots=True)
class BatchMeans:
    """The interval from batch means, and whether these look independent, as the interval supposes.

    `von_neumann` is near 2 for independent batch means and below for batches too short; `chance` is the probability
    of one as low as this if they were independent. `lag_1`, `von_neumann` and `chance` are None for equal batch means.
    """

    interval: Interval
    means: tuple[float, ...]
    batch_size: int
    lag_1: float | None
    von_neumann: float | None
    chance: float | None


def summary(values: Sequence[float]) -> Summary:
    """Two-pass summary, exact enough for values that vary only in their last digits.

    The lag-1 autocorrelation divides by the sum over all values, as the NIST Statistical Reference Datasets do. Raises
    ValueError for fewer than two values and for any that is not finite.
    """
    require_numbers("values", values, 2)
    mean = math.fsum(values) / len(values)
    off = [value - mean for value in values]
    squares = math.fsum(d * d for d in off)
    neighbours = math.fsum(a * b for a, b in pairwise(off))
    return Summary(
        len(values), mean, math.sqrt(squares / (len(values) - 1)), neighbours / squares if squares > 0 else None
    )


def means_of_batches(values: Sequence[float], size: int) -> list[float]:
    """Means of consecutive batches of `size` values; the values left over at the end are not used.

    Raises ValueError for a size below 1 and for fewer values than one batch.
    """
    require_count("size", size, 1)
    require_numbers("values", values, size)
    full = len(values) // size
    means: list[float] = np.asarray(values[: full * size], dtype=float).reshape(full, size).mean(axis=1).tolist()
    return means


def batch_interval(values: Sequence[float], batches: int = 20, confidence_pct: float = 95.0) -> BatchMeans:
    """The mean of one long run, warm-up already cut, with the t interval of its batch means.

    The first values are not used if they do not fill a batch: they are nearest to the warm-up. Raises ValueError for
    fewer than 8 batches, fewer values than batches, values that are not finite, and an impossible confidence.
    """
    require_count("batches", batches, LEAST_BATCHES)
    require_numbers("values", values, batches)
    size = len(values) // batches
    means = means_of_batches(values[len(values) - batches * size :], size)
    ratio = von_neumann_ratio(means)
    return BatchMeans(
        interval(means, confidence_pct),
        tuple(means),
        size,
        summary(means).lag_1,
        ratio,
        None if ratio is None else _chance_of_as_low(ratio, batches),
    )


def von_neumann_ratio(values: Sequence[float]) -> float | None:
    """Squared steps between neighbours over squared deviations from the mean; near 2 for independent values.

    None where the values do not vary. Raises ValueError as `summary`.
    """
    require_numbers("values", values, 2)
    mean = math.fsum(values) / len(values)
    squares = math.fsum((value - mean) ** 2 for value in values)
    steps = math.fsum((b - a) ** 2 for a, b in pairwise(values))
    return steps / squares if squares > 0 else None


def _chance_of_as_low(ratio: float, n: int) -> float:
    # Under independence 1 - ratio / 2 has mean 0 and variance (n - 2) / (n^2 - 1) and is close to normal.
    z = (1 - ratio / 2) / math.sqrt((n - 2) / (n * n - 1))
    return 0.5 * math.erfc(z / math.sqrt(2))
