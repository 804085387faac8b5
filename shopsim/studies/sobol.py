"""How much of an answer's variance each input makes: Sobol's first-order and total indices.

Design and first order: A. Saltelli et al., "Variance based sensitivity analysis of model output. Design and estimator
for the total sensitivity index", Computer Physics Communications 181 (2010) 259-270; total: M. J. W. Jansen, "Analysis
of variance designs for model output", Computer Physics Communications 117 (1999) 35-43. Points: scrambled Sobol
sequence (`scipy.stats.qmc`). Intervals: percentiles over bootstrap samples of its rows (G. E. B. Archer, A. Saltelli,
I. M. Sobol, "Sensitivity measures, ANOVA-like techniques and the use of bootstrap", Journal of Statistical Computation
and Simulation 58 (1997) 99-120). Rows of a Sobol sequence are more even than independent ones, so these are rather too
wide.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shopsim.studies._checks import require_count
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
    """`first`: the share an input makes alone; `total`: with all it does together with others."""

    first: Index
    total: Index


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


def indices(answers: Sequence[float], inputs: int, seed: int, confidence_pct: float = 95.0) -> list[Indices]:
    """Both indices of every input from the answers at the points of `design`.

    Raises ValueError for another number of answers, for answers that are not finite, for answers that are all alike,
    and for an impossible confidence.
    """
    table = np.asarray(answers, dtype=float)
    if len(table) % (inputs + 2) or not np.isfinite(table).all():
        raise ValueError(f"answers must be finite and {inputs + 2} for each base sample, found {len(table)}")
    table = table.reshape(inputs + 2, -1)
    if np.ptp(table) == 0:
        raise ValueError("answers are all alike: no input makes any variance")
    # Both estimators bear any shift of the answers; without the mean the first is far less noisy.
    table = table - table[:2].mean()
    n = table.shape[1]
    picks = np.random.default_rng(seed).integers(0, n, (RESAMPLES, n))
    found = _estimates(table[:, None, :])
    # Some at a time: all at once would take a gigabyte.
    again = np.concatenate([_estimates(table[:, picks[i : i + _AT_ONCE]]) for i in range(0, RESAMPLES, _AT_ONCE)], 2)
    tail = 1 - upper_share(confidence_pct)
    ends = np.nanquantile(again, [tail, 1 - tail], axis=2)
    return [
        Indices(*(Index(float(found[kind, i, 0]), float(ends[0, kind, i]), float(ends[1, kind, i])) for kind in (0, 1)))
        for i in range(inputs)
    ]


def _estimates(table: Floats) -> Floats:
    """First and total by kind, input and sample; `table` by matrix (A, B, then one an input), sample and row."""
    a, b, mixed = table[0], table[1], table[2:]
    with np.errstate(divide="ignore", invalid="ignore"):
        variance = np.concatenate([a, b], axis=1).var(axis=1, ddof=1)
        first = (b * (mixed - a)).mean(axis=2) / variance
        total = ((a - mixed) ** 2).mean(axis=2) / 2 / variance
    return np.stack([first, total])
