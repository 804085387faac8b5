"""Is a record one of the runs, as far as luck can tell? Runs of the model are what they are judged against.

Under a true model the record and R runs of the same orders are R + 1 draws of one law: nothing tells the record from
the others. Each is set against the rest (left out itself), figure by figure, in standard deviations of a single draw;
the greatest over all figures is its score. The record's score above the ceil((R + 1) level)-th smallest of the runs'
is then an error of at most 1 - level, over all figures at once, whatever their laws and however they hang together: a
Monte Carlo test (J. Besag and P. Clifford, "Generalized Monte Carlo significance tests", Biometrika 76 (1989) 633-642),
and that quantile is what all intervals hold at once with (V. Vovk, A. Gammerman, G. Shafer, Algorithmic Learning in a
Random World, Springer, 2005, chapter 2; both from memory).

The interval of a level's difference is record less mean of the runs, give or take so many standard deviations of a
single draw about that mean: what one period's luck allows (A. M. Law, Simulation Modeling and Analysis, 5th ed.,
chapter 5: the interval of the difference instead of a test alone; the one period on record is taken to be as scattered
as a run). R. G. Sargent, "Verification and validation of simulation models", Journal of Simulation 7 (2013) 12-24, asks
that the accuracy that is good enough be stated beforehand: the tolerance.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from shopsim.studies.match_figures import BY_WEEK, LEAD_CURVE, ON_TIME, Figures
from shopsim.studies.precision import Interval

Floats = NDArray[np.float64]
Outcome = Literal["agrees", "differs", "cannot tell"]
_TINY = 1e-9


@dataclass(frozen=True, slots=True)
class Tolerance:
    """What is good enough: per cent of what happened, and points for shares."""

    pct: float = 10.0
    points: float = 5.0


@dataclass(frozen=True, slots=True)
class Level:
    """One number compared: what happened, the runs' mean and the bounds within which luck puts a run, the difference
    (record less mean) with its interval, the tolerance, and the outcome."""

    name: str
    record: float
    mean: float
    low: float
    high: float
    difference: Interval
    tolerance: float
    outcome: Outcome
    luck: float


@dataclass(frozen=True, slots=True, eq=False)
class Shape:
    """A list compared: what happened, and of the runs mean and middle 95 % point by point.

    `distance` from the record to the runs' mean, on average over the points; `luck` the greatest that a run would lie
    off by luck.
    """

    name: str
    record: Floats
    mean: Floats
    low: Floats
    high: Floats
    distance: float
    luck: float
    tolerance: float
    outcome: Outcome


@dataclass(frozen=True, slots=True, eq=False)
class Judged:
    """All figures, the record's score and the limit that luck stays below; `confidence_pct` holds for all at once."""

    levels: tuple[Level, ...]
    shapes: tuple[Shape, ...]
    score: float
    limit: float
    confidence_pct: float

    @property
    def accepted(self) -> bool:
        """Whether luck alone explains everything."""
        return self.score <= self.limit


def least_runs(confidence_pct: float) -> int:
    """Fewer runs than this give no limit at a confidence."""
    return math.ceil(confidence_pct / (100 - confidence_pct) - _TINY)


def judge(record: Figures, runs: Sequence[Figures], tolerance: Tolerance, confidence_pct: float) -> Judged:
    """Set the record against the runs. Raises ValueError for fewer runs than `least_runs`."""
    if len(runs) < max(3, least_runs(confidence_pct)):
        raise ValueError(f"{confidence_pct:g} % takes at least {least_runs(confidence_pct)} runs, found {len(runs)}")
    levels = [name for name in record.levels if _known(name, record.levels, [run.levels for run in runs])]
    shapes = [name for name in record.shapes if _known(name, record.shapes, [run.shapes for run in runs])]
    made = {name: np.array([run.levels[name] for run in runs]) for name in levels}
    lists = {name: np.array([run.shapes[name] for run in runs]) for name in shapes}
    own: list[float] = []
    of_runs: list[Floats] = []
    for name in levels:
        one, others = _level_scores(record.levels[name], made[name], record.steps.get(name, 0.0))
        own.append(one)
        of_runs.append(others)
    for name in shapes:
        one, others = _shape_scores(record.shapes[name], lists[name])
        own.append(one)
        of_runs.append(others)
    score = max(own)
    limit = float(np.sort(np.max(of_runs, axis=0))[_rank(len(runs), confidence_pct) - 1])
    return Judged(
        tuple(_level(name, record, made[name], limit, tolerance) for name in levels),
        tuple(_shape(name, record, lists[name], limit, tolerance) for name in shapes), score, limit, confidence_pct,
    )  # fmt: skip


def _known(name: str, record: Mapping[str, object], runs: Sequence[Mapping[str, object]]) -> bool:
    """What the record or a run does not have (no order due, none out) cannot be compared."""
    return all(name in each and bool(np.isfinite(np.asarray(each[name])).all()) for each in (record, *runs))


def _rank(runs: int, confidence_pct: float) -> int:
    return math.ceil((runs + 1) * confidence_pct / 100 - _TINY)


def agrees_within(level: Level) -> float:
    """The tolerance with which a level would agree: the farther bound of its difference."""
    low, high = level.difference.low, level.difference.high
    return max(abs(level.difference.mean), *(abs(end) for end in (low, high) if end is not None))


def weeks_to_tell(level: Level, weeks: int) -> int | None:
    """About how many weeks on record would tell that a level agrees, if the model is right; None if none would.

    Luck shrinks with the root of the weeks, as if these had nothing to do with one another, and the gap is all luck.
    """
    return math.ceil(weeks * (agrees_within(level) / level.tolerance) ** 2) if level.tolerance > 0 else None


def spread_of_one(values: Floats, step: float) -> float:
    """Standard deviation of one draw about the mean of the others, whole orders counted (W. F. Sheppard, 1898)."""
    n = len(values)
    return math.sqrt((float(values.var(ddof=1)) + step**2 / 12) * (1 + 1 / n))


def _level_scores(record: float, runs: Floats, step: float) -> tuple[float, Floats]:
    """Distance of the record, and of each run from the others, in standard deviations of one draw."""
    n = len(runs)
    means = (runs.sum() - runs) / (n - 1)
    squares = ((runs - runs.mean()) ** 2).sum() - (runs - runs.mean()) ** 2 * n / (n - 1)
    spreads = np.sqrt((np.maximum(squares, 0.0) / (n - 2) + step**2 / 12) * (1 + 1 / (n - 1)))
    own = _ratio(abs(record - float(runs.mean())), spread_of_one(runs, step), abs(record))
    return own, np.array([_ratio(abs(x - m), s, abs(x)) for x, m, s in zip(runs, means, spreads, strict=True)])


def _ratio(distance: float, spread: float, size: float) -> float:
    if distance <= _TINY * max(1.0, size):
        return 0.0
    return distance / spread if spread > 0 else math.inf


def _shape_scores(record: Floats, runs: Floats) -> tuple[float, Floats]:
    """How much farther from the mean of the others than runs are: on the scale of square roots, above 0 only."""
    roots, middle, spread = _root_distances(runs)
    n = len(roots)
    own = (math.sqrt(_distance(record, runs.mean(axis=0))) - middle) / (spread * math.sqrt(1 + 1 / n))
    means = (roots.sum() - roots) / (n - 1)
    squares = ((roots - middle) ** 2).sum() - (roots - middle) ** 2 * n / (n - 1)
    spreads = np.sqrt(np.maximum(squares, _TINY) / (n - 2) * (1 + 1 / (n - 1)))
    others: Floats = np.maximum(0.0, (roots - means) / spreads)
    return max(0.0, own), others


def _root_distances(runs: Floats) -> tuple[Floats, float, float]:
    """Square roots of each run's distance from the mean of the others, their mean and standard deviation.

    A distance is skewed to the right; its square root hardly is, so that shapes and levels have scores of one kind.
    """
    n = len(runs)
    means = (runs.sum(axis=0) - runs) / (n - 1)
    roots = np.sqrt([_distance(one, rest) for one, rest in zip(runs, means, strict=True)])
    return roots, float(roots.mean()), max(math.sqrt(_TINY), float(roots.std(ddof=1)))


def _distance(one: Floats, other: Floats) -> float:
    return float(np.abs(one - other).mean())


def _level(name: str, record: Figures, runs: Floats, limit: float, tolerance: Tolerance) -> Level:
    happened, mean = record.levels[name], float(runs.mean())
    spread = spread_of_one(runs, record.steps.get(name, 0.0))
    half = limit * spread if spread > 0 else 0.0
    bound = tolerance.points / 100 if name == ON_TIME else tolerance.pct / 100 * abs(happened)
    # No figure is below nothing, and no share above all.
    low, high = max(min(0.0, mean), mean - half), mean + half
    high = max(mean, min(1.0, high)) if name == ON_TIME else high
    step = Interval(happened - mean, happened - high, happened - low, (high - low) / 2, len(runs))
    outcome: Outcome = "cannot tell"
    if max(abs(happened - high), abs(happened - low)) <= bound:
        outcome = "agrees"
    elif step.sign:
        outcome = "differs"
    return Level(name, happened, mean, low, high, step, bound, outcome, spread)


def _shape(name: str, record: Figures, runs: Floats, limit: float, tolerance: Tolerance) -> Shape:
    happened, mean = record.shapes[name], runs.mean(axis=0)
    low, high = np.quantile(runs, [0.025, 0.975], axis=0)
    _, middle, spread = _root_distances(runs)
    luck = (middle + limit * spread * math.sqrt(1 + 1 / len(runs))) ** 2
    distance = _distance(happened, mean)
    size = record.levels[BY_WEEK[name]] if name in BY_WEEK else float(happened.mean())
    bound = tolerance.pct / 100 * abs(size)
    outcome: Outcome = "cannot tell"
    # The shop may lie as far from the runs as the record does, and by as much as luck could hide.
    if max(distance, luck) <= bound or distance + luck <= bound:
        outcome = "agrees"
    elif distance > luck:
        outcome = "differs"
    return Shape(name, happened, mean, low, high, distance, luck, bound, outcome)


__all__ = [
    "BY_WEEK",
    "LEAD_CURVE",
    "Judged",
    "Level",
    "Shape",
    "Tolerance",
    "agrees_within",
    "judge",
    "least_runs",
    "spread_of_one",
    "weeks_to_tell",
]  # fmt: skip
