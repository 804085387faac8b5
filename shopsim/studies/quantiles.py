"""How sure a quantile is, whatever the distribution: intervals between two values of the ordered sample.

W. J. Conover, Practical Nonparametric Statistics; G. J. Hahn and W. Q. Meeker, Statistical Intervals, Wiley, 1991;
S. S. Wilks, "Determination of sample sizes for setting tolerance limits", Annals of Mathematical Statistics 12 (1941)
91-96. The values must be independent: one number a replication, not the orders of one.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from shopsim.studies._checks import error_share
from shopsim.studies.precision import upper_share


@dataclass(frozen=True, slots=True)
class QuantileInterval:
    """The value below which a share of all lies, between the `low_rank`-th and the `high_rank`-th smallest of `n`.

    `coverage_pct` is the confidence the ranks really give, at least the one asked for. `low`, `high`, their ranks and
    the coverage are None if there are too few values for any ranks; `estimate` is NaN if there are none.
    """

    estimate: float
    low: float | None
    high: float | None
    low_rank: int | None
    high_rank: int | None
    coverage_pct: float | None
    n: int
    left_out: int = 0


def quantile_interval(values: Iterable[float], share: float, confidence_pct: float = 95.0) -> QuantileInterval:
    """The share-quantile of independent values; each end is missed with at most half of the error that is left.

    NaN says that a replication had nothing to measure and is left out. Raises ValueError unless the share is between
    0 and 1, and for an impossible confidence.
    """
    _require_share(share)
    given = list(values)
    used = sorted(value for value in given if not math.isnan(value))
    n, left_out = len(used), len(given) - len(used)
    ranks = quantile_ranks(n, share, confidence_pct)
    estimate = used[max(1, math.ceil(n * share)) - 1] if n else math.nan
    if ranks is None:
        return QuantileInterval(estimate, None, None, None, None, None, n, left_out)
    low, high = ranks
    coverage_pct = 100 * rank_coverage(n, share, low, high)
    return QuantileInterval(estimate, used[low - 1], used[high - 1], low, high, coverage_pct, n, left_out)


def quantile_ranks(n: int, share: float, confidence_pct: float = 95.0) -> tuple[int, int] | None:
    """The innermost ranks, from 1, that each miss the quantile with at most half of the error; None if n is too small.

    Raises ValueError as `quantile_interval`.
    """
    from scipy.stats import binom

    _require_share(share)
    tail = 1 - upper_share(confidence_pct)
    if n < 1 or binom.pmf(0, n, share) > tail or binom.pmf(n, n, share) > tail:
        return None
    # The count of values below the quantile is binomial: it is too small for the low rank or too large for the high.
    low = int(binom.ppf(tail, n, share))
    while binom.cdf(low, n, share) <= tail:
        low += 1
    high = int(binom.isf(tail, n, share)) + 1
    return low, high


def rank_coverage(n: int, share: float, low_rank: int, high_rank: int) -> float:
    """The chance that the quantile lies between two ranks, from 1, of `n` values of a continuous distribution.

    Raises ValueError unless the ranks rise within 1 to n and the share is between 0 and 1.
    """
    from scipy.stats import binom

    _require_share(share)
    if not 1 <= low_rank < high_rank <= n:
        raise ValueError(f"ranks must rise within 1 to {n}, found {low_rank!r} and {high_rank!r}")
    return float(binom.cdf(high_rank - 1, n, share) - binom.cdf(low_rank - 1, n, share))


def wilks_size(share: float, confidence_pct: float = 95.0, two_sided: bool = False) -> int:
    """How many replications until their greatest value bounds a share of all results with the stated confidence.

    `two_sided`: until the least and the greatest hold that share between them. Raises ValueError unless the share is
    between 0 and 1, and for an impossible confidence.
    """
    _require_share(share)
    error = error_share(confidence_pct)
    n = 2 if two_sided else 1
    while share**n + (n * (1 - share) * share ** (n - 1) if two_sided else 0.0) > error:
        n += 1
    return n


def _require_share(share: float) -> None:
    if not 0 < share < 1:
        raise ValueError(f"share must be between 0 and 1, found {share!r}")
