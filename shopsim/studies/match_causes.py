"""Which input most likely explains the gap between a record and the runs of a model.

Each input is moved alone, runs meeting the same orders and the same luck, and the gap that is left is measured by all
levels together: the synthetic likelihood of S. N. Wood, "Statistical inference for noisy nonlinear ecological dynamic
systems", Nature 466 (2010) 1102-1104, normal with mean and covariance of the runs. From the file's own runs to those
with a moved input the levels are taken to lie on a line; where it closes the gap best the shop is run again. Inputs
within two units of log-likelihood of the best cannot be told from it (A. W. F. Edwards, Likelihood, Cambridge, 1972).
It says what fits best among single inputs, not that nothing else is wrong.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shopsim.studies.match_figures import Figures, figures_of_run
from shopsim.studies.match_inputs import Input, inputs_of, moved_scenario
from shopsim.studies.match_luck import Judged, spread_of_one
from shopsim.studies.match_record import Record
from shopsim.studies.option import Option
from shopsim.studies.runner import Ask, Runner

Floats = NDArray[np.float64]
FIRST_RUNS, LAST_RUNS = 10, 24
_FINALISTS, _ROUNDS, _FARTHEST, _NEAR = 3, 2, 2.0, 0.1
_LEAST, _LEAST_CREDIT = 1e-9, 0.2
# Two units of log-likelihood, as a difference of squares.
CLEAR = 4.0
# So much of each correlation is given up, because few runs tell it badly.
_SHRINK = 0.2


@dataclass(frozen=True, slots=True)
class Cause:
    """An input moved to where it closes the gap best: by how much, the gap left (twice the negative logarithm of the
    likelihood of all levels), and how many levels that surely differed still do."""

    name: str
    unit: str
    amount: float
    gap: float
    still_differ: int


@dataclass(frozen=True, slots=True)
class Causes:
    """Inputs by the gap they leave, the least first; `gap` is that of the file as it is, `tried` how many inputs were
    moved, `differ` how many levels surely differ."""

    found: tuple[Cause, ...]
    gap: float
    tried: int
    differ: int

    @property
    def likeliest(self) -> tuple[Cause, ...]:
        """The best and those that cannot be told from it; none where no input closes the gap clearly."""
        if not self.found or self.gap - self.found[0].gap <= CLEAR:
            return ()
        best = self.found[0].gap
        return tuple(each for each in self.found if each.gap - best <= CLEAR and self.gap - each.gap > CLEAR)


def causes_of(
    runner: Runner, record: Record, own: Figures, base: Sequence[Figures], busy: Mapping[str, float], judged: Judged
) -> Causes:
    """Move inputs and see which closes the gap. `base` are the figures of the file's own runs. Raises as `Runner`."""
    compared = _Compared(own, judged)
    as_it_is = compared.law(base)
    inputs = inputs_of(record.scenario, busy)
    found = _run(runner, record, [(one, step) for one in inputs for step in one.steps], min(FIRST_RUNS, len(base)))
    before = compared.table(base[:FIRST_RUNS]).mean(axis=0)
    best: dict[str, tuple[float, float, Input]] = {}
    for (one, amount), figures in found.items():
        step = compared.table(figures).mean(axis=0) - before
        share = as_it_is.closest(step)
        left = as_it_is.left(share * step)
        if share > 0 and left < best.get(one.name, (math.inf, 0.0, one))[0]:
            best[one.name] = (left, share * amount, one)
    ranked = sorted(best.values(), key=lambda each: each[0])[:_FINALISTS]
    causes = [
        cause
        for _, amount, one in ranked
        if (cause := _refined(runner, record, compared, as_it_is, one, amount)) is not None
    ]
    causes.sort(key=lambda cause: cause.gap)
    return Causes(tuple(causes), as_it_is.deviance, len({one.name for one, _ in found}), compared.differ)


def _run(
    runner: Runner, record: Record, points: Sequence[tuple[Input, float]], runs: int
) -> dict[tuple[Input, float], list[Figures]]:
    """The figures of each input moved, left out where no scenario is like that."""
    asks: dict[tuple[Input, float], Ask] = {}
    for one, amount in points:
        scenario = moved_scenario(record.scenario, one, amount)
        if scenario is not None:
            asks[one, amount] = Ask(Option(one.name, scenario, record.lines, in_detail=True), runs)
    rows = runner.run(list(asks.values()))
    return {point: [figures_of_run(record, row) for row in given] for point, given in zip(asks, rows, strict=True)}


def _refined(
    runner: Runner, record: Record, compared: _Compared, as_it_is: _Law, one: Input, amount: float
) -> Cause | None:
    """Run the shop where the line says the gap closes, draw the line anew from there, and run once more."""
    best: Cause | None = None
    for _ in range(_ROUNDS):
        amount = float(round(amount)) if one.whole else amount
        found = _run(runner, record, [(one, amount)], LAST_RUNS) if amount else {}
        if not found:
            break
        (figures,) = found.values()
        law = compared.law(figures)
        made = Cause(one.name, one.unit, amount, law.deviance, law.still_differ())
        if best is None or made.gap < best.gap:
            best = made
        share = as_it_is.closest(law.mean - as_it_is.mean)
        if abs(share - 1) < _NEAR or share == 0:
            break
        amount *= share
    return best


class _Compared:
    """The levels that the record and all runs have."""

    def __init__(self, own: Figures, judged: Judged) -> None:
        self.names = [level.name for level in judged.levels]
        self.record: Floats = np.array([own.levels[name] for name in self.names], dtype=np.float64)
        self.steps: Floats = np.array([own.steps.get(name, 0.0) for name in self.names], dtype=np.float64)
        self.differing: NDArray[np.bool_] = np.array([level.difference.sign != 0 for level in judged.levels])
        self.differ = int(self.differing.sum())
        self.limit = judged.limit

    def table(self, figures: Sequence[Figures]) -> Floats:
        """A row a run; what a run has not (no order out) is the mean of the others."""
        rows = np.array([[run.levels.get(name, math.nan) for name in self.names] for run in figures], dtype=np.float64)
        known = np.isfinite(rows)
        means = np.where(known, rows, 0.0).sum(axis=0) / np.maximum(known.sum(axis=0), 1)
        return np.asarray(np.where(known, rows, means), dtype=np.float64)

    def law(self, figures: Sequence[Figures]) -> _Law:
        """The normal law of some runs."""
        return _Law(self, self.table(figures))


class _Law:
    """The normal law of one draw by a set of runs, and what it says of the record.

    Twice the negative logarithm of the record's likelihood is `deviance`; the inverse of a covariance that few runs
    tell is too wide, which (n - k - 2) / (n - 1) makes good (T. W. Anderson, An Introduction to Multivariate
    Statistical Analysis, 3rd ed., Wiley, 2003, section 7.7; from memory).
    """

    def __init__(self, compared: _Compared, table: Floats) -> None:
        n, k = table.shape
        self.compared = compared
        self.mean: Floats = np.asarray(table.mean(axis=0), dtype=np.float64)
        self.gap: Floats = compared.record - self.mean
        spreads = [spread_of_one(column, step) for column, step in zip(table.T, compared.steps, strict=True)]
        # What never varies has no luck to be measured by; one per cent of it is as good as nothing.
        least = 0.01 * np.maximum(np.abs(compared.record), _LEAST)
        self.spreads: Floats = np.maximum(spreads, least)
        with np.errstate(invalid="ignore", divide="ignore"):
            found: Floats = np.nan_to_num(np.atleast_2d(np.corrcoef(table.T)))
        np.fill_diagonal(found, 1.0)
        covariance = ((1 - _SHRINK) * found + _SHRINK * np.eye(k)) * np.outer(self.spreads, self.spreads)
        self.inverse: Floats = np.linalg.inv(covariance) * max(_LEAST_CREDIT, (n - k - 2) / (n - 1))
        self.deviance = self.left(np.zeros(k)) + float(np.linalg.slogdet(covariance)[1])

    def left(self, step: Floats) -> float:
        """The gap that is left after a step, in squares of luck."""
        rest = self.gap - step
        return float(rest @ self.inverse @ rest)

    def closest(self, step: Floats) -> float:
        """The share of a step, up to twice as far, that leaves the least gap; 0 where it leads away."""
        size = float(step @ self.inverse @ step)
        if size <= 0:
            return 0.0
        return min(_FARTHEST, max(0.0, float(step @ self.inverse @ self.gap) / size))

    def still_differ(self) -> int:
        """How many of the levels that surely differ lie outside the luck of these runs too."""
        outside = np.abs(self.gap) > self.compared.limit * self.spreads
        return int(outside[self.compared.differing].sum())
