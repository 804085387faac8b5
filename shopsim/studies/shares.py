"""How sure a share of replications is, and whether a change moved it: exact, whatever the number of runs.

C. J. Clopper and E. S. Pearson, Biometrika 26 (1934) 404-413; Q. McNemar, Psychometrika 12 (1947) 153-157, in its exact
binomial form: of pairs in which one side differs, either is as likely where nothing has changed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shopsim.studies.precision import upper_share


@dataclass(frozen=True, slots=True)
class Share:
    """`hits` of `n` runs, and the interval that holds the true share with the asked confidence."""

    hits: int
    n: int
    low: float
    high: float

    @property
    def mean(self) -> float:
        """The share found; NaN without runs."""
        return self.hits / self.n if self.n else math.nan


def share_of(hits: int, n: int, confidence_pct: float = 95.0) -> Share:
    """A share with its exact interval, which is at least as sure as asked. Raises ValueError for impossible counts."""
    from scipy.stats import beta

    if not 0 <= hits <= n:
        raise ValueError(f"hits must be from 0 to {n}, found {hits!r}")
    tail = 1 - upper_share(confidence_pct)
    low = float(beta.ppf(tail, hits, n - hits + 1)) if hits else 0.0
    high = float(beta.isf(tail, hits + 1, n - hits)) if hits < n else 1.0
    return Share(hits, n, low, high)


def chance_of_no_change(gained: int, lost: int) -> float:
    """How often luck alone shifts pairs at least so far towards `gained`, of those that differ; 1 if none does."""
    from scipy.stats import binom

    return float(binom.sf(gained - 1, gained + lost, 0.5)) if gained else 1.0


def shifted(before: Sequence[bool], after: Sequence[bool]) -> tuple[int, int]:
    """Pairs that have become true, and those that have become false."""
    pairs = list(zip(before, after, strict=True))
    return sum(b and not a for a, b in pairs), sum(a and not b for a, b in pairs)
