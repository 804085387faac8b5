"""Choose the best of several options with a stated chance of being right.

Kim and Nelson's fully sequential procedure drops hopeless options early: S.-H. Kim and B. L. Nelson, "A fully
sequential procedure for indifference-zone selection in simulation", ACM TOMACS 11 (2001) 251-273. Rinott's two stages
can run side by side: Y. Rinott, "On two-stage selection procedures and related probability-inequalities",
Communications in Statistics A7 (1978) 799-811.

Both promise: if the best option is better than the second by at least the indifference zone, it is chosen with the
stated confidence, for normal values (means over a replication nearly are).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shopsim.studies._checks import error_share, finite, require_above_zero, require_count
from shopsim.studies.constants import rinott_constant

Observe = Callable[[int, int], float]
"""The number that an option (from 0) gives in a replication (from 0)."""


@dataclass(frozen=True, slots=True)
class Selection:
    """The chosen option, None if the replications did not suffice, and how many each option took.

    `still_in` are the options not yet shown to be worse; only the chosen one, if there is one.
    """

    best: int | None
    replications: tuple[int, ...]
    still_in: tuple[int, ...]


def kn_constants(options: int, first: int, confidence_pct: float = 95.0) -> tuple[float, float]:
    """Kim and Nelson's eta (for c = 1) and the squared h of their triangular region.

    Raises ValueError for fewer than two options or two first replications, and unless the confidence is above half.
    """
    require_count("options", options, 2)
    require_count("first", first, 2)
    if error_share(confidence_pct) >= 0.5:
        raise ValueError(f"confidence_pct must be above 50, found {confidence_pct!r}")
    eta = ((2 * error_share(confidence_pct) / (options - 1)) ** (-2 / (first - 1)) - 1) / 2
    return eta, 2 * eta * (first - 1)


def select_best(
    observe: Observe,
    options: int,
    indifference: float,
    confidence_pct: float = 95.0,
    first: int = 10,
    largest_is_best: bool = True,
    at_most: int = 10_000,
) -> Selection:
    """One replication of every option still in at a time, each dropped as soon as another is clearly better.

    Replications of different options may share their random numbers. At most `at_most` replications of one option.
    Options that come out exactly alike are told apart by their order. Raises ValueError as `kn_constants`, unless
    `indifference` is above 0 and `at_most` at least `first`, and for a replication without a finite number.
    """
    require_above_zero(indifference=indifference)
    require_count("at_most", at_most, first)
    _, h2 = kn_constants(options, first, confidence_pct)
    sign = 1.0 if largest_is_best else -1.0
    start = np.array([[sign * finite(observe(i, k)) for k in range(first)] for i in range(options)])
    reach = h2 * np.var(start[:, None, :] - start[None, :, :], axis=2, ddof=1) / indifference
    sums, taken = start.sum(axis=1), [first] * options
    r, still_in = first, list(range(options))
    while True:
        still_in = _survivors(still_in, sums, np.maximum(0.0, reach - indifference * r) / 2)
        if len(still_in) > 1 and reach[np.ix_(still_in, still_in)].max() <= indifference * r:
            still_in = still_in[:1]
        if len(still_in) == 1 or r == at_most:
            return Selection(still_in[0] if len(still_in) == 1 else None, tuple(taken), tuple(still_in))
        for i in still_in:
            sums[i] += sign * finite(observe(i, r))
            taken[i] += 1
        r += 1


def _survivors(still_in: list[int], sums: NDArray[np.float64], margins: NDArray[np.float64]) -> list[int]:
    return [i for i in still_in if all(sums[i] >= sums[j] - margins[i, j] for j in still_in)]


def second_stage_sizes(
    deviations: Sequence[float], first: int, indifference: float, constant: float
) -> tuple[int, ...]:
    """Rinott's replications in all of each option, by its standard deviation over the first ones.

    `constant` is `rinott_constant`. Raises ValueError unless indifference and constant are above 0.
    """
    require_above_zero(indifference=indifference, constant=constant)
    return tuple(max(first, math.ceil((constant * deviation / indifference) ** 2)) for deviation in deviations)


def select_best_in_two_stages(
    observe: Observe,
    options: int,
    indifference: float,
    confidence_pct: float = 95.0,
    first: int = 20,
    largest_is_best: bool = True,
) -> Selection:
    """Rinott's procedure: `first` replications of each, then as many more as its spread asks for, then the best mean.

    Replications of different options must not share random numbers. Raises ValueError as `rinott_constant`, unless
    `indifference` is above 0, and for a replication without a finite number.
    """
    constant = rinott_constant(options, first, confidence_pct)
    values = [[finite(observe(i, k)) for k in range(first)] for i in range(options)]
    deviations = [float(np.std(row, ddof=1)) for row in values]
    sizes = second_stage_sizes(deviations, first, indifference, constant)
    means = [
        math.fsum(row + [finite(observe(i, k)) for k in range(first, size)]) / size
        for i, (row, size) in enumerate(zip(values, sizes, strict=True))
    ]
    best = means.index(max(means) if largest_is_best else min(means))
    return Selection(best, sizes, (best,))
