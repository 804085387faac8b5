"""A sharper mean with help of what is known: luck that was drawn, and whose true mean is known, explains part of it.

S. S. Lavenberg and P. D. Welch, "A perspective on the use of control variables to increase the efficiency of Monte
Carlo simulations", Management Science 27 (1981) 322-335. The mean is what least squares find where every control is at
its true mean; interval and degrees of freedom are those of the regression, exact if results and controls are jointly
normal. B. L. Nelson, "Control-variate remedies", Operations Research 38 (1990) 974-992, tells what to do otherwise.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from shopsim.studies.precision import Interval, t_quantile, upper_share


@dataclass(frozen=True, slots=True)
class Controlled:
    """A mean adjusted for its controls. `gain` is the variance of the plain mean over that of the adjusted one as
    estimated, the loss for estimated weights taken off: below 1 the controls cost more than they tell."""

    interval: Interval
    weights: tuple[float, ...]
    gain: float


def controlled_mean(
    values: Sequence[float],
    controls: Sequence[Sequence[float]],
    true_means: Sequence[float],
    confidence_pct: float = 95.0,
) -> Controlled:
    """The mean of independent values, one a replication, adjusted for the controls of each (one row a replication).

    Raises ValueError for rows that do not fit, for fewer than three values more than controls, for controls that are
    constant or combinations of others, and for a confidence outside 0 to 100 %.
    """
    y, luck = np.asarray(values, dtype=float), np.asarray(controls, dtype=float) - np.asarray(true_means, dtype=float)
    n, q = len(y), len(true_means)
    if luck.shape != (n, q):
        raise ValueError(f"{n} values and {q} true means need {n} rows of {q} controls, got {luck.shape}")
    if n < q + 3:
        raise ValueError(f"{q} controls need at least {q + 3} values, got {n}")
    design = np.column_stack((np.ones(n), luck))
    if np.linalg.matrix_rank(design) <= q:
        raise ValueError("a control is constant, or a combination of others")
    found = np.linalg.lstsq(design, y)[0]
    left = y - design @ found
    error = float(left @ left) / (n - q - 1)
    at_zero = float(np.linalg.inv(design.T @ design)[0, 0])
    half_width = t_quantile(n - q - 1, upper_share(confidence_pct)) * math.sqrt(error * at_zero)
    mean = float(found[0])
    plain = float(np.var(y, ddof=1))
    # Of normal values: the weights' own error lengthens the variance by (n - 2) / (n - q - 2).
    gain = plain / (error * (n - 2) / (n - q - 2)) if error else math.inf
    return Controlled(
        Interval(mean, mean - half_width, mean + half_width, half_width, n), tuple(found[1:].tolist()), gain
    )
