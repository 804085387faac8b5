"""A stated value compared with what replications of a system found."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from scipy import stats


def assert_agrees(values: Sequence[float], stated: float, within: float) -> None:
    """The stated value lies within three standard errors, and the 95 % interval is at most ±`within` (a share)."""
    mean, error = float(np.mean(values)), float(np.std(values, ddof=1)) / math.sqrt(len(values))
    half_width = float(stats.t.ppf(0.975, len(values) - 1)) * error
    assert abs(mean - stated) <= 3 * error, (mean, error)
    assert half_width <= within * abs(stated), (mean, half_width)
