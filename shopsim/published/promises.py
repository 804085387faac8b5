"""Promises like "95 % of such intervals hold the truth", tried many times: what chance allows."""

from __future__ import annotations

import math

from scipy.stats import binom

from shopsim.published.case import Finding

# Counts over studies are not exact in binary.
_ROUNDING = 1e-12
BY_CHANCE = "as often as promised in many studies: the promise lies in the 99 % range of the binomial distribution"


def kept(what: str, promised: float, hits: int, studies: int) -> Finding:
    """How often a promise came true that is meant to be exact; the middle 99 % of chance are allowed."""
    low, high = binom.interval(0.99, studies, promised)
    share = hits / studies
    allowed = promised - low / studies if share < promised else high / studies - promised
    return Finding(what, promised, share, allowed + _ROUNDING, math.sqrt(promised * (1 - promised) / studies))


def kept_at_least(what: str, promised: float, hits: int, studies: int) -> Finding:
    """How often a promise came true where more is welcome; less is allowed as far as one in a hundred by chance."""
    least = float(binom.ppf(0.01, studies, promised)) / studies
    return Finding(what, promised, hits / studies, promised - least + _ROUNDING, at_least=True)
