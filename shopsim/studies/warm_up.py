"""How much of the start of a long run to leave out: White's rule MSER-5, shown with Welch's curve.

K. P. White, "An effective truncation heuristic for bias reduction in simulation output", Simulation 69 (1997) 323-334;
K. P. White, M. J. Cobb and S. C. Spratt, "A comparison of five steady-state truncation heuristics for simulation",
Proceedings of the Winter Simulation Conference 2000. P. D. Welch, "The statistical analysis of simulation results", in
S. Lavenberg (ed.), The Computer Performance Modeling Handbook, Academic Press, 1983; formula as in Law, Simulation
Modeling and Analysis, 5th ed., section 9.5.1.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from shopsim.studies._checks import require_count, require_numbers
from shopsim.studies.batch_means import means_of_batches


@dataclass(frozen=True, slots=True)
class Truncation:
    """How many values at the start to leave out, and the marginal standard error rule's number for each candidate.

    `curve[d]` is for leaving out d batches. `long_enough` is False if the least of it lies at the last candidate, half
    of the run: the run has then not settled, and the warm-up is longer than can be seen.
    """

    leave_out: int
    curve: tuple[float, ...]
    long_enough: bool


def mser(values: Sequence[float], batch: int = 5) -> Truncation:
    """The warm-up after which the mean of the rest is surest, judged by batches of 5 values (MSER-5).

    Works on one run or on `mean_over_replications`. At most half of the run is left out. Raises ValueError for fewer
    values than four batches and for any that is not finite.
    """
    require_count("batch", batch, 1)
    require_numbers("values", values, 4 * batch)
    means = np.array(means_of_batches(values, batch))
    count = len(means)
    curve = [float(np.var(means[left_out:])) / (count - left_out) for left_out in range(count // 2 + 1)]
    best = curve.index(min(curve))
    return Truncation(best * batch, tuple(curve), best < count // 2)


def mean_over_replications(rows: Sequence[Sequence[float]]) -> list[float]:
    """The mean of value i over replications, for every i; one row a replication.

    Raises ValueError for no row, rows of unequal length and values that are not finite.
    """
    require_count("replications", len(rows), 1)
    if len({len(row) for row in rows}) > 1:
        raise ValueError(f"rows must be equally long, found {', '.join(str(len(row)) for row in rows)}")
    for row in rows:
        require_numbers("rows", row, 1)
    means: list[float] = np.asarray(rows, dtype=float).mean(axis=0).tolist()
    return means


def welch_curve(rows: Sequence[Sequence[float]], window: int) -> list[float]:
    """Welch's moving average over `window` values to each side, narrower at the start; ends `window` values early.

    One row a replication. Raises ValueError for a window below 0 or above a quarter of a row, and as
    `mean_over_replications`.
    """
    means = mean_over_replications(rows)
    if not 0 <= window <= len(means) // 4:
        raise ValueError(f"window must be from 0 to {len(means) // 4}, a quarter of the row, found {window!r}")
    curve = []
    for i in range(len(means) - window):
        side = min(i, window)
        curve.append(sum(means[i - side : i + side + 1]) / (2 * side + 1))
    return curve
