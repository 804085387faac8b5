"""Is a change more than luck? Told from what the same change does in several replications of its own.

With no effect at all a replication's change is as likely up as down, whatever the others show. So the sum of squared
sums is compared with what it would be under random signs: an exact randomization test, whatever the spread and shape
of the luck, as long as it is symmetric. R. A. Fisher, The Design of Experiments, Oliver & Boyd, 1935, section 21; P.
Good, Permutation, Parametric and Bootstrap Tests of Hypotheses, 3rd ed., Springer, 2005.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
# Signs drawn for each chance of error that is to be resolved, and at most.
_DRAWS_PER_ERROR, _MOST_DRAWS = 20, 20_000
_AT_ONCE = 500


def beyond_luck(changes: Floats, error: float) -> bool:
    """Whether changes, one row a place and one column a replication, are told from none, with a chance of error.

    With one replication, or with so few places that random signs could often do the same, they never are. NaN says that
    a replication had nothing to measure there.
    """
    table = np.nan_to_num(np.asarray(changes, dtype=float), nan=0.0)
    if table.shape[1] < 2 or not table.any():
        return False
    seen = float((table.sum(axis=1) ** 2).sum())
    draws = min(_MOST_DRAWS, math.ceil(_DRAWS_PER_ERROR / error))
    rng = np.random.default_rng(0)
    as_far = 1
    for first in range(0, draws, _AT_ONCE):
        signs = rng.integers(0, 2, (min(_AT_ONCE, draws - first), *table.shape)) * 2 - 1
        by_luck = ((signs * table).sum(axis=2) ** 2).sum(axis=1)
        as_far += int((by_luck >= seen * (1 - 1e-9)).sum())
    return as_far / (draws + 1) <= error


def luck_of_means(table: Floats) -> Floats:
    """The variance that luck gives to each row's mean over replications; NaN where fewer than two are known."""
    known = np.isfinite(table).sum(axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        middle = np.nansum(table, axis=1) / known
        squares = np.nansum((table - middle[:, None]) ** 2, axis=1)
        found: Floats = np.where(known > 1, squares / (known - 1) / known, math.nan)
    return found


def luck_shared_by_means(one: Floats, other: Floats) -> Floats:
    """The covariance that luck gives to the means of two rows whose replications are the same; all values finite, NaN
    where there are fewer than two."""
    count = one.shape[1]
    apart = [each - each.mean(axis=1, keepdims=True) for each in (one, other)]
    with np.errstate(divide="ignore", invalid="ignore"):
        found: Floats = np.divide((apart[0] * apart[1]).sum(axis=1), (count - 1) * count)
    return found


def means_of(table: Floats) -> Floats:
    """The mean of each row over the replications that are known; NaN where there is none."""
    known = np.isfinite(table).sum(axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        found: Floats = np.where(known > 0, np.nansum(table, axis=1) / known, math.nan)
    return found
