"""Does an option meet a target, with a stated chance of being right? Clear cases are settled after few replications.

S. Andradóttir and S.-H. Kim, "Fully sequential procedures for comparing constrained systems via simulation", Naval
Research Logistics 57 (2010) 403-421, feasibility check F with c = 1.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import islice
from statistics import fmean

import numpy as np

from shopsim.studies._checks import error_share, finite, require_above_zero, require_count


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether the target is met, None if the replications did not suffice; how many were run, and their mean."""

    meets: bool | None
    replications: int
    mean: float


def meets_target(
    observe: Callable[[int], float],
    target: float,
    tolerance: float,
    confidence_pct: float = 95.0,
    options: int = 1,
    first: int = 10,
    at_most: int = 10_000,
) -> Verdict:
    """Is the mean of `observe(replication)` at least the target? Asks for as few replications as it can.

    An option whose true mean lies above the target by the tolerance is told to meet it, one below it by the tolerance
    not to, all `options` asked about rightly at once with the stated confidence (Bonferroni, so that they may share
    random numbers); in between either answer is acceptable. Values are taken as normal. Raises ValueError unless the
    tolerance is above 0, for fewer than two first replications, `at_most` below them, an error not below
    half, and a replication without a finite number.
    """
    require_count("at_most", at_most, first)
    return judged((observe(k) for k in range(at_most)), target, tolerance, confidence_pct, options, first)


def judged(
    values: Iterable[float],
    target: float,
    tolerance: float,
    confidence_pct: float = 95.0,
    options: int = 1,
    first: int = 10,
) -> Verdict:
    """As `meets_target`, from the values of replications 0, 1, 2, … as far as there are any.

    Stops reading at the first value that decides. Raises ValueError also for fewer than `first` values.
    """
    following = (finite(value) - target for value in values)
    start = list(islice(following, first))
    reach = _reach(start, tolerance, confidence_pct, options, first)
    ahead, r = sum(start), first
    while abs(ahead) < max(0.0, reach - tolerance * r) / 2:
        step = next(following, None)
        if step is None:
            return Verdict(None, r, target + ahead / r)
        ahead += step
        r += 1
    return Verdict(bool(ahead >= 0), r, target + ahead / r)


def replications_to_tell(
    values: Sequence[float],
    target: float,
    tolerance: float,
    confidence_pct: float = 95.0,
    options: int = 1,
    first: int = 10,
) -> int:
    """About how many replications in all `judged` will take if the mean stays as it is; at least as many as given."""
    reach = _reach([value - target for value in values[:first]], tolerance, confidence_pct, options, first)
    gap = abs(fmean(values) - target)
    return max(len(values), math.ceil(reach / (2 * gap + tolerance)))


def _reach(start: Sequence[float], tolerance: float, confidence_pct: float, options: int, first: int) -> float:
    """How far the sum of the values may stray before it decides, twice; it shrinks by the tolerance with each."""
    require_above_zero(tolerance=tolerance)
    require_count("options", options, 1)
    require_count("first", first, 2)
    require_count("values", len(start), first)
    error = error_share(confidence_pct) / options
    if error >= 0.5:
        raise ValueError(f"confidence_pct must be above 50 for one option, found {confidence_pct!r}")
    # With c = 1 the region of Andradóttir and Kim is Kim and Nelson's triangle, the target in place of a rival.
    h2: float = (first - 1) * ((2 * error) ** (-2 / (first - 1)) - 1)
    return h2 * float(np.var(start, ddof=1)) / tolerance
