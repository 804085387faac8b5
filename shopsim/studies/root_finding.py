"""Where a curve known only from replications meets a target, e.g. the demand at which on-time falls below 95 %.

Retrospective approximation: replication k is asked at several x under the same random numbers, the mean of these curves
is solved as if it were known, and replications are added until the root is known well enough. H. Chen and B. W.
Schmeiser, "Stochastic root finding via retrospective approximation", IIE Transactions 33 (2001) 259-275, their variant
that keeps earlier replications. Between two x a replication's curve is interpolated without overshoot (F. N. Fritsch
and R. E. Carlson, "Monotone piecewise cubic interpolation", SIAM Journal on Numerical Analysis 17 (1980) 238-246), and
the mean is taken as monotone (M. Ayer et al., "An empirical distribution function for sampling with incomplete
information", Annals of Mathematical Statistics 26 (1955) 641-647).

The interval holds every x at which a t test would not tell the mean from the target (E. C. Fieller, "Some problems in
interval estimation", Journal of the Royal Statistical Society B 16 (1954) 175-185): the true root is left out only if
the test errs there, so the confidence is that of one t interval however steep or flat the curve.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from shopsim.studies._checks import require_above_zero, require_count
from shopsim.studies.precision import t_quantile, upper_share

Floats = NDArray[np.float64]
Curve = Mapping[float, Sequence[float]]
"""By x the values of replications 0, 1, ...; NaN where a replication had nothing to measure."""

# Points between two neighbours at which the interpolated curves are looked at.
_BETWEEN = 64
# How much longer each step is beyond what was tried first.
_STRIDE = 1.5
# Steps that x are rounded to, in closenesses: coarse while neighbours lie further apart than ten of them.
_COARSE, _FINE, _FAR = 2, 0.2, 10


@dataclass(frozen=True, slots=True)
class Root:
    """Where the mean curve crosses the target on its way down (or up), with its interval.

    `estimate` is None if it does not cross between `tried`: `beyond` is then 1 if it would later, -1 if it has crossed
    before. `low` or `high` is None where the interval has no end inside what was tried. `n` counts the replications
    used: those with a value at every x.
    """

    estimate: float | None
    low: float | None
    high: float | None
    beyond: int
    tried: tuple[float, float]
    n: int

    @property
    def half_width(self) -> float | None:
        """Half the interval; None if it is open."""
        return None if self.low is None or self.high is None else (self.high - self.low) / 2


def root_of(curve: Curve, target: float, confidence_pct: float = 95.0, falling: bool = True) -> Root:
    """The root of replications known at two or more x, as many at each as there are at all.

    Raises ValueError for fewer x, and for an impossible confidence.
    """
    require_count("x", len(curve), 2)
    share = upper_share(confidence_pct)
    xs, ahead = ahead_of(curve, target, falling)
    ahead = ahead[:, np.isfinite(ahead).all(axis=0)]
    n, tried = ahead.shape[1], (float(xs[0]), float(xs[-1]))
    if n == 0:
        return Root(None, None, None, 0, tried, 0)
    fine, curves = interpolated(xs, ahead)
    mean = curves.mean(axis=1)
    error = curves.std(axis=1, ddof=1) / math.sqrt(n) if n > 1 else np.zeros(len(fine))
    estimate, beyond = crossing(fine, mean)
    if n < 2:
        return Root(estimate, None, None, beyond, tried, n)
    low, high = _ends(fine, mean, t_quantile(n - 1, share) * error, estimate)
    return Root(estimate, low, high, beyond, tried, n)


def rests_on(curve: Curve, target: float, confidence_pct: float = 95.0, falling: bool = True) -> Curve:
    """The part of a curve that its root is found from: where most replications are known, if that tells both ends."""
    most = max(map(len, curve.values()))
    finest = {x: values for x, values in curve.items() if len(values) == most}
    if len(finest) < 2:
        return curve
    near = root_of(finest, target, confidence_pct, falling)
    return finest if near.half_width is not None and near.estimate is not None else curve


def ahead_of(curve: Curve, target: float, falling: bool = True) -> tuple[Floats, Floats]:
    """All x in order, and how far each replication lies on the good side of the target there, a row an x."""
    xs = np.array(sorted(curve))
    fewest = min(len(values) for values in curve.values())
    ahead = np.array([curve[x][:fewest] for x in xs.tolist()], dtype=float) - target
    return xs, ahead if falling else -ahead


def interpolated(xs: Floats, ahead: Floats) -> tuple[Floats, Floats]:
    """Fine x, and there each replication's curve."""
    from scipy.interpolate import PchipInterpolator

    fine = np.unique(np.concatenate([np.linspace(a, b, _BETWEEN + 1) for a, b in pairwise(xs.tolist())]))
    return fine, PchipInterpolator(xs, ahead)(fine)


def crossing(xs: Floats, means: Floats) -> tuple[float | None, int]:
    """Where the means, made to fall, cross 0, straight between two x; else None and, as in `Root`, what is beyond."""
    fitted = np.array(_made_to_fall(means.tolist()))
    # What pools leave of 0 is rounding.
    fitted[np.abs(fitted) <= 1e-12 * np.abs(means).max()] = 0.0
    if fitted[-1] > 0:
        return None, 1
    if fitted[0] < 0:
        return None, -1
    before, past = np.flatnonzero(fitted > 0), np.flatnonzero(fitted < 0)
    left = int(before[-1]) if len(before) else 0
    right = int(past[0]) if len(past) else len(xs) - 1
    if right - left == 1 and fitted[left] > 0 > fitted[right]:
        way = fitted[left] / (fitted[left] - fitted[right])
        return float(xs[left] + way * (xs[right] - xs[left])), 0
    on_target = xs[fitted == 0]
    return float(on_target[0] + on_target[-1]) / 2, 0


def _made_to_fall(means: Sequence[float]) -> list[float]:
    """The nearest sequence that never rises: neighbours that rise are pooled."""
    pools: list[tuple[float, int]] = []
    for mean in means:
        pools.append((mean, 1))
        while len(pools) > 1 and pools[-2][0] < pools[-1][0]:
            (a, m), (b, n) = pools[-2:]
            pools[-2:] = [((a * m + b * n) / (m + n), m + n)]
    return [mean for mean, size in pools for _ in range(size)]


def _ends(xs: Floats, means: Floats, half_widths: Floats, estimate: float | None) -> tuple[float | None, float | None]:
    """The ends of what the test does not reject; None where that, or the wrong side of the target, reaches the end."""
    at = np.flatnonzero(np.abs(means) <= half_widths)
    known = [] if estimate is None else [estimate]
    low = high = None
    if means[0] > half_widths[0]:
        ends = [*known, *(_edge(xs, means, half_widths, int(i), -1) for i in at[:1])]
        low = min(ends, default=float(xs[-1]))
    if means[-1] < -half_widths[-1]:
        ends = [*known, *(_edge(xs, means, half_widths, int(i), 1) for i in at[-1:])]
        high = max(ends, default=float(xs[0]))
    return low, high


def _edge(xs: Floats, means: Floats, half_widths: Floats, at: int, step: int) -> float:
    """Between the last point not rejected and its neighbour that is, where the test just rejects."""
    slack = half_widths - np.abs(means)
    inner, outer = float(slack[at]), float(slack[at + step])
    return float(xs[at] + (xs[at + step] - xs[at]) * inner / (inner - outer))


@dataclass(frozen=True, slots=True)
class RootPlan:
    """How to look: `grid` first, then nearer and nearer until neighbours are `closeness` apart.

    Nobody looks nearer than half the width of the root's interval: what a knee between two neighbours hides is then
    less than what luck does.
    What does not cross on the grid is followed to `lowest` and `highest`. `count` replications at each x; with a
    `half_width` as many more as it takes, `at_most` of them.
    """

    grid: tuple[float, ...]
    closeness: float
    lowest: float
    highest: float
    count: int
    half_width: float | None = None
    at_most: int = 400
    confidence_pct: float = 95.0
    falling: bool = True

    def __post_init__(self) -> None:
        require_count("grid", len(set(self.grid)), 2)
        require_count("count", self.count, 2)
        require_above_zero(closeness=self.closeness, **({"half_width": self.half_width} if self.half_width else {}))


Asked = tuple[str, float, int]
"""A curve by name, an x, and how many replications are wanted of it there."""


def find_roots(
    observe: Callable[[Sequence[Asked]], Sequence[Sequence[float]]], names: Sequence[str], target: float, plan: RootPlan
) -> dict[str, Root]:
    """The roots of several curves, all asked together round by round. Raises ValueError as `root_of`."""
    searches = {name: _Search(name, target, plan) for name in names}
    while True:
        asks = [ask for search in searches.values() for ask in search.wanted()]
        if not asks:
            return {name: search.root() for name, search in searches.items()}
        for (name, x, _), values in zip(asks, observe(asks), strict=True):
            searches[name].curve[x] = tuple(values)


class _Search:
    """One curve, and what to ask about it next."""

    def __init__(self, name: str, target: float, plan: RootPlan) -> None:
        self.name = name
        self.target = target
        self.plan = plan
        self.count = plan.count
        self.curve: dict[float, tuple[float, ...]] = {}

    def root(self) -> Root:
        plan = self.plan
        found = root_of(self.curve, self.target, plan.confidence_pct, plan.falling)
        used = rests_on(self.curve, self.target, plan.confidence_pct, plan.falling)
        if len(used) == len(self.curve):
            return found
        return replace(root_of(used, self.target, plan.confidence_pct, plan.falling), tried=found.tried)

    def wanted(self) -> list[Asked]:
        if not self.curve:
            return [(self.name, x, self.count) for x in sorted(set(self.plan.grid))]
        root = self.root()
        if (x := self._next_x(root)) is not None:
            return [(self.name, x, self.count)]
        return self._more_of(root)

    def _next_x(self, root: Root) -> float | None:
        xs = sorted(self.curve)
        if (root.beyond > 0 or (root.beyond == 0 and root.high is None)) and xs[-1] < self.plan.highest:
            return self._new(min(self.plan.highest, xs[-1] + _STRIDE * (xs[-1] - xs[-2])))
        if (root.beyond < 0 or (root.beyond == 0 and root.low is None)) and xs[0] > self.plan.lowest:
            return self._new(max(self.plan.lowest, xs[0] - _STRIDE * (xs[1] - xs[0])))
        if root.estimate is None:
            return None
        right = min(max(1, bisect_right(xs, root.estimate)), len(xs) - 1)
        gap = xs[right] - xs[right - 1]
        open_width = (xs[-1] if root.high is None else root.high) - (xs[0] if root.low is None else root.low)
        if gap <= max(self.plan.closeness, open_width / 2) * (1 + 1e-9):
            return None
        return self._new(min(max(root.estimate, xs[right - 1] + gap / 4), xs[right] - gap / 4), gap)

    def _new(self, x: float, gap: float = math.inf) -> float | None:
        """Rounded, so that like questions meet what is kept of earlier ones."""
        step = self.plan.closeness * (_COARSE if gap > _FAR * self.plan.closeness else _FINE)
        rounded = x if x in (self.plan.lowest, self.plan.highest) else round(round(x / step) * step, 12)
        return rounded if rounded not in self.curve else None

    def _more_of(self, root: Root) -> list[Asked]:
        """More replications around the interval, as many as its width so far asks for."""
        wanted, plan = self.plan.half_width, self.plan
        found = root.half_width
        if wanted is None or root.estimate is None or self.count >= plan.at_most:
            return []
        if found is not None and found <= wanted:
            return []
        factor = 2.0 if found is None else min(4.0, max(1.2, (found / wanted) ** 2))
        self.count = min(plan.at_most, math.ceil(self.count * factor))
        xs = sorted(self.curve)
        low, high = (root.low or xs[0]), (root.high or xs[-1])
        first = max(0, bisect_right(xs, low) - 1)
        last = min(len(xs) - 1, bisect_right(xs, high))
        return [(self.name, x, self.count) for x in xs[first : last + 1]]
