"""How much of an answer's variance each input makes: Sobol's first-order and total indices.

Design and first order: A. Saltelli et al., "Variance based sensitivity analysis of model output. Design and estimator
for the total sensitivity index", Computer Physics Communications 181 (2010) 259-270; total: M. J. W. Jansen, "Analysis
of variance designs for model output", Computer Physics Communications 117 (1999) 35-43. Points: scrambled Sobol
sequence (`scipy.stats.qmc`). Intervals: percentiles over bootstrap samples of its rows (G. E. B. Archer, A. Saltelli,
I. M. Sobol, "Sensitivity measures, ANOVA-like techniques and the use of bootstrap", Journal of Statistical Computation
and Simulation 58 (1997) 99-120). Rows of a Sobol sequence are more even than independent ones, so these are rather too
wide.

Answers that are means over replications hold luck as well; its share is known from their scatter and taken off the
variance and both of what an input makes of it: the points of a row share their replications, so that luck in one of
them moves with luck in the step of another.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shopsim.studies._checks import error_share, require_count
from shopsim.studies.luck import beyond_luck, luck_of_means, luck_shared_by_means
from shopsim.studies.precision import upper_share

Floats = NDArray[np.float64]
RESAMPLES = 1000
_AT_ONCE = 50


@dataclass(frozen=True, slots=True)
class Index:
    """A share of the variance, with its interval."""

    estimate: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Indices:
    """`first`: the share an input makes alone; `total`: with all it does together with others.

    `told` says whether what it does is more than luck. `totals_again` are the totals of the bootstrap samples, the same
    samples for every input.
    """

    first: Index
    total: Index
    told: bool
    totals_again: tuple[float, ...]

    def surely_more(self, other: Indices, confidence_pct: float) -> bool:
        """Whether the total is above another input's: by the lower end of the bootstrap interval of the difference."""
        apart = np.subtract(self.totals_again, other.totals_again)
        return float(np.nanquantile(apart, 1 - upper_share(confidence_pct))) > 0


def design(inputs: int, base: int, seed: int) -> Floats:
    """Points in the unit cube, base x (inputs + 2) of them: rows A, rows B, then A with one column of B for each input.

    Raises ValueError for fewer than one input, and unless `base` is a power of 2 of at least 8.
    """
    from scipy.stats import qmc

    require_count("inputs", inputs, 1)
    require_count("base", base, 8)
    if base & (base - 1):
        raise ValueError(f"base must be a power of 2, found {base!r}")
    both = qmc.Sobol(2 * inputs, rng=np.random.default_rng(seed)).random(base)
    a, b = both[:, :inputs], both[:, inputs:]
    mixed = []
    for i in range(inputs):
        one = a.copy()
        one[:, i] = b[:, i]
        mixed.append(one)
    return np.concatenate([a, b, *mixed])


def indices(answers: Floats, inputs: int, seed: int, confidence_pct: float = 95.0) -> list[Indices]:
    """Both indices of every input from the answers at the points of `design`, one row a point, a column a replication.

    Replications are shared by the points of one base sample and by no other. All inputs are told from luck at once with
    the stated confidence (Bonferroni). Empty where the answers scatter no more than luck alone would. Raises ValueError
    for another number of answers, for answers that are not finite, and for an impossible confidence.
    """
    table = np.asarray(answers, dtype=float)
    if len(table) % (inputs + 2) or not np.isfinite(table).all():
        raise ValueError(f"answers must be finite and {inputs + 2} for each base sample, found {len(table)}")
    error = error_share(confidence_pct) / inputs
    table = table.reshape(inputs + 2, -1, table.shape[1])
    # Both estimators bear any shift of the answers; without the mean the first is far less noisy.
    table = table - table[:2].mean()
    parts = _parts(table)
    n = parts.shape[1]
    found = _estimates(parts[:, None, :])
    if not np.isfinite(found).all():
        return []
    picks = np.random.default_rng(seed).integers(0, n, (RESAMPLES, n))
    # Some at a time: all at once would take a gigabyte.
    again = np.concatenate([_estimates(parts[:, picks[i : i + _AT_ONCE]]) for i in range(0, RESAMPLES, _AT_ONCE)], 2)
    tail = 1 - upper_share(confidence_pct)
    ends = np.nanquantile(again, [tail, 1 - tail], axis=2)
    return [
        Indices(
            _index(found[0, i], ends[:, 0, i]),
            _index(found[1, i], ends[:, 1, i]),
            beyond_luck(table[2 + i] - table[0], error),
            tuple(again[1, i].tolist()),
        )
        for i in range(inputs)
    ]


def _index(estimate: Floats, ends: Floats) -> Index:
    return Index(float(estimate[0]), float(ends[0]), float(ends[1]))


def _parts(table: Floats) -> Floats:
    """By row what estimates are made of: A, B, the luck of the two; then for each input its mixed answer, the luck of
    its step and the luck that B shares with that step. 0 stands for luck that one replication cannot tell."""
    a, b = table[:2].mean(axis=2)
    rows = [a, b, np.nan_to_num((luck_of_means(table[0]) + luck_of_means(table[1])) / 2)]
    for mixed in table[2:]:
        step = mixed - table[0]
        rows += [mixed.mean(axis=1), *np.nan_to_num((luck_of_means(step), luck_shared_by_means(table[1], step)))]
    return np.array(rows)


def _estimates(parts: Floats) -> Floats:
    """First and total by kind, input and sample; `parts` by part, sample and row. NaN where luck makes all variance."""
    a, b, luck = parts[:3]
    mixed, luck_of_step, shared = parts[3::3], parts[4::3], parts[5::3]
    variance = np.concatenate([a, b], axis=1).var(axis=1, ddof=1) - luck.mean(axis=1)
    # What rounding leaves of 0 is no variance.
    variance = np.where(variance > 1e-12 * np.square(a).mean(axis=1), variance, np.nan)
    first = (b * (mixed - a) - shared).mean(axis=2) / variance
    total = ((a - mixed) ** 2 - luck_of_step).mean(axis=2) / 2 / variance
    return np.stack([first, total])
