"""What a promise like "95 % of such intervals hold the truth" allows when it is tried many times."""

from __future__ import annotations

from scipy.stats import binom


def chance_range(studies: int, promised: float) -> range:
    """How many of the studies may come true: the middle 99 % of the binomial distribution."""
    low, high = binom.interval(0.99, studies, promised)
    return range(int(low), int(high) + 1)


def least_by_chance(studies: int, promised: float) -> int:
    """How many of the studies come true at least, in 99 of 100 cases, where more than promised is welcome."""
    return int(binom.ppf(0.01, studies, promised))
