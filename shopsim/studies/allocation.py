"""Where the next replications tell most about which option is best.

C.-H. Chen, J. Lin, E. Yücesan and S. E. Chick, "Simulation budget allocation for further enhancing the efficiency of
ordinal optimization", Discrete Event Dynamic Systems 10 (2000) 251-270, Theorem 1 (OCBA).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from shopsim.studies._checks import require_numbers


def budget_shares(
    means: Sequence[float], deviations: Sequence[float], largest_is_best: bool = True
) -> tuple[float, ...]:
    """The share of all replications each option should have had, by its mean and standard deviation so far.

    Close rivals of the best and options that vary much get more. Raises ValueError for fewer than two options, unequal
    numbers of means and deviations, any that are not finite, negative deviations or none above 0 but the best's, and if
    two options share the best mean.
    """
    if len(means) != len(deviations):
        raise ValueError(f"{len(means)} means need as many deviations, found {len(deviations)}")
    require_numbers("means", means, 2)
    require_numbers("deviations", deviations, 2)
    best = list(means).index(max(means) if largest_is_best else min(means))
    others = [i for i in range(len(means)) if i != best]
    gaps = [abs(mean - means[best]) for mean in means]
    if min(gaps[i] for i in others) == 0:
        raise ValueError(f"two options share the best mean, {means[best]!r}")
    if min(deviations) < 0 or max(deviations[i] for i in others) == 0:
        raise ValueError(f"deviations must not be negative, nor all 0 but the best's, found {tuple(deviations)!r}")
    amounts = [0.0 if i == best else (deviations[i] / gaps[i]) ** 2 for i in range(len(means))]
    amounts[best] = deviations[best] * math.sqrt(sum((deviations[i] / gaps[i] ** 2) ** 2 for i in others))
    total = math.fsum(amounts)
    return tuple(amount / total for amount in amounts)
