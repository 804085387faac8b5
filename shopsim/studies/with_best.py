"""Which of several options may be the best: each against the best of the others, all at once.

J. C. Hsu, Multiple Comparisons: Theory and Methods, Chapman & Hall, 1996 (constrained intervals); for common random
numbers B. L. Nelson and F. J. Matejcik, "Using common random numbers for indifference-zone selection and multiple
comparisons in simulation", Management Science 41 (1995) 1935-1945.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shopsim.studies._checks import require_numbers
from shopsim.studies.compare import against_base
from shopsim.studies.constants import dunnett_constant


@dataclass(frozen=True, slots=True)
class AgainstBest:
    """How far an option lies above the best of the others; `low` is at most 0 and `high` at least 0.

    `low` equal to 0 says that it is the best, `high` equal to 0 that it is not. Where small numbers are the better
    ones the two change places: an option with `high` equal to 0 is the best.
    """

    mean: float
    low: float
    high: float

    def may_be_best(self, largest_is_best: bool = True) -> bool:
        """Whether the runs do not rule it out as the best; options that are alike in every run may all be."""
        return self.high > 0 or self.low == 0 if largest_is_best else self.low < 0 or self.high == 0


@dataclass(frozen=True, slots=True)
class WithBest:
    """All options against the best of the others, and the numbers behind the intervals.

    `deviation` is that of a replication after the options' means (and what the replications share) are taken out,
    `constant` Dunnett's one-sided one for `degrees` of freedom, `allowance` how far two means must lie apart to differ.
    """

    options: dict[str, AgainstBest]
    deviation: float
    degrees: int
    constant: float
    allowance: float


def compare_with_best(
    options: Mapping[str, Sequence[float]],
    confidence_pct: float = 95.0,
    paired: bool = True,
    largest_is_best: bool = True,
) -> WithBest:
    """Intervals for each option against the best of the others; all hold at once with the stated confidence.

    `paired` replications met the same orders; their correlation is then taken to be alike between any two options.
    Unpaired ones are taken to vary alike. Raises ValueError for fewer than two options or two replications, unequal
    numbers of replications, values that are not finite, and an impossible confidence.
    """
    table = _table(options)
    count, n = table.shape
    means = table.mean(axis=1)
    residuals = table - means[:, None]
    degrees = count * (n - 1)
    if paired:
        residuals = residuals - residuals.mean(axis=0)
        degrees = (count - 1) * (n - 1)
    deviation = math.sqrt(float((residuals**2).sum()) / degrees)
    constant = dunnett_constant(count - 1, degrees, confidence_pct)
    allowance = constant * deviation * math.sqrt(2 / n)
    best_of = max if largest_is_best else min
    rows = {}
    for i, name in enumerate(options):
        ahead = float(means[i]) - best_of(float(mean) for j, mean in enumerate(means) if j != i)
        rows[name] = AgainstBest(ahead, min(0.0, ahead - allowance), max(0.0, ahead + allowance))
    return WithBest(rows, deviation, degrees, constant, allowance)


def may_be_best(
    options: Mapping[str, Sequence[float]], confidence_pct: float = 95.0, largest_is_best: bool = True
) -> tuple[str, ...]:
    """The option with the best mean, first, then those that paired replications do not rule out as the best.

    One is ruled out where Hsu's intervals do it and its paired difference from the leader (Bonferroni), too: Hsu's take
    all differences to vary alike. Nothing is ruled out by fewer than two replications or by values that are not
    numbers; missing ones are left out of the means. Raises ValueError as `compare_with_best`.
    """
    wanted = 1 if largest_is_best else -1
    means = {name: math.fsum(known) / len(known) if (known := [value for value in values if not math.isnan(value)])
             else -wanted * math.inf for name, values in options.items()}  # fmt: skip
    leader = max(options, key=lambda name: wanted * means[name])
    others = [name for name in options if name != leader]
    if not others or any(len(values) < 2 or any(map(math.isnan, values)) for values in options.values()):
        return (leader, *others)
    shown = compare_with_best(options, confidence_pct, largest_is_best=largest_is_best).options
    steps = against_base(options[leader], {name: options[name] for name in others}, confidence_pct)
    return leader, *(
        name for name in others
        if shown[name].may_be_best(largest_is_best) or steps[name].interval.sign != -wanted
    )  # fmt: skip


def _table(options: Mapping[str, Sequence[float]]) -> NDArray[np.float64]:
    if len(options) < 2:
        raise ValueError(f"there must be at least 2 options, found {len(options)}")
    sizes = {len(values) for values in options.values()}
    if len(sizes) > 1:
        raise ValueError(f"all options need as many replications, found {', '.join(map(str, sorted(sizes)))}")
    for name, values in options.items():
        require_numbers(name, values, 2)
    return np.array(list(options.values()), dtype=float)
