"""Which of many inputs matter, after few runs: elementary effects along random trajectories.

M. D. Morris, "Factorial sampling plans for preliminary computational experiments", Technometrics 33 (1991) 161-174. The
mean of absolute effects is that of F. Campolongo, J. Cariboni and A. Saltelli, "An effective screening design for
sensitivity analysis of large models", Environmental Modelling & Software 22 (2007) 1509-1518.

Inputs are shares of their range from 0 to 1, so an effect is the change of the answer over the whole of it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shopsim.studies._checks import error_share, require_count
from shopsim.studies.luck import beyond_luck, luck_of_means, means_of
from shopsim.studies.precision import Interval, interval

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Trajectory:
    """Points in the unit cube, each one step of one input away from the last; `moved` tells which input."""

    points: Floats
    moved: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Screened:
    """Effects of one input over all trajectories.

    `mean_absolute` says how much it matters, with its interval; `mean` which way on the whole; `deviation` how much the
    effect depends on where the input and the others stand: near 0 for an input that acts alone and straight. `luck` is
    the mean absolute effect that luck alone would show (NaN from one replication), `told` says whether the effects are
    more than luck. `sizes` are the absolute effects by trajectory, NaN where there was nothing to measure.
    """

    mean: float
    mean_absolute: Interval
    deviation: float
    luck: float
    told: bool
    sizes: tuple[float, ...]

    def surely_more(self, other: Screened, confidence_pct: float) -> bool:
        """Whether the mean absolute effect is above another input's, paired by trajectory, luck taken off this one.

        Luck adds to a mean absolute effect at most what it shows alone, and never takes from it.
        """
        ahead = interval(np.subtract(self.sizes, other.sizes).tolist(), confidence_pct)
        return ahead.low is not None and ahead.low > self.luck


def trajectories(inputs: int, count: int, seed: int, levels: int = 4) -> list[Trajectory]:
    """Random trajectories of inputs + 1 points on a grid of `levels`; steps are levels / 2 of it, as Morris advises.

    Raises ValueError for fewer than one input or trajectory, and unless levels are even.
    """
    require_count("inputs", inputs, 1)
    require_count("trajectories", count, 1)
    require_count("levels", levels, 2)
    if levels % 2:
        raise ValueError(f"levels must be even, found {levels!r}")
    rng = np.random.default_rng(seed)
    step = levels / (2 * (levels - 1))
    made = []
    for _ in range(count):
        start = rng.integers(0, levels // 2, inputs) / (levels - 1)
        up = rng.random(inputs) < 0.5
        order = rng.permutation(inputs)
        points = np.empty((inputs + 1, inputs))
        points[0] = np.where(up, start, start + step)
        for i, which in enumerate(order.tolist()):
            points[i + 1] = points[i]
            points[i + 1, which] += step if up[which] else -step
        made.append(Trajectory(points.clip(0.0, 1.0), tuple(order.tolist())))
    return made


def screen(runs: Sequence[Trajectory], answers: Sequence[Floats], confidence_pct: float = 95.0) -> list[Screened]:
    """What each input does; `answers` are those of each trajectory, one row a point and one column a replication.

    Replications are shared by the points of a trajectory and by no other. All inputs are told from luck at once with
    the stated confidence (Bonferroni). NaN answers leave their effects out. Raises ValueError for an impossible
    confidence.
    """
    inputs = runs[0].points.shape[1]
    error = error_share(confidence_pct) / inputs
    effects: list[list[Floats]] = [[] for _ in range(inputs)]
    for run, values in zip(runs, answers, strict=True):
        for i, which in enumerate(run.moved):
            moved = float(run.points[i + 1, which] - run.points[i, which])
            effects[which].append((values[i + 1] - values[i]) / moved)
    return [_screened(np.array(each), confidence_pct, error) for each in effects]


def _screened(effects: Floats, confidence_pct: float, error: float) -> Screened:
    """What an input does, by its effects in each trajectory and replication."""
    means = means_of(effects)
    known = means[np.isfinite(means)]
    sizes = tuple(np.abs(means).tolist())
    mean_absolute = interval(sizes, confidence_pct)
    if not len(known):
        return Screened(math.nan, mean_absolute, math.nan, math.nan, False, sizes)
    deviation = float(np.std(known, ddof=1)) if len(known) > 1 else math.nan
    luck = luck_of_means(effects)
    # The mean size of a normal number is sqrt(2 / pi) of its deviation.
    size = math.sqrt(2 / math.pi * float(np.nanmean(luck))) if np.isfinite(luck).any() else math.nan
    return Screened(float(known.mean()), mean_absolute, deviation, size, beyond_luck(effects, error), sizes)
