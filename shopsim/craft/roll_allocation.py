"""How many rolls a list of lengths takes: first fit, a plan that is close to the best, and a bound nobody can beat.

Lengths that must stay whole (a banner, a lot) are cut one behind the other from rolls of one length. The bound and the
plan follow P. C. Gilmore, R. E. Gomory, Operations Research 9 (1961) 849-859 and 11 (1963) 863-888.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor

import numpy as np
from numpy.typing import NDArray

from shopsim.craft._limits import count, positive

# A sum of lengths like 3 x 0.1 m must not fall out of a roll of 0.3 m.
_SLACK_M = 1e-9
_BETTER = 1e-9
_MOST_ROUNDS = 2000

_Floats = NDArray[np.float64]
Pattern = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class RollPlan:
    """Patterns (pieces of each length in one roll) with the number of rolls cut so, and the bound on their sum.

    `bound` is what the work takes if rolls could be cut in fractions: no plan needs fewer.
    """

    patterns: tuple[tuple[Pattern, int], ...]
    bound: float

    @property
    def rolls(self) -> int:
        """Rolls needed."""
        return sum(times for _, times in self.patterns)


def first_fit_decreasing(lengths_m: Sequence[float], counts: Sequence[int], roll_m: float) -> list[Pattern]:
    """Return the pattern of each roll when the longest piece goes first, into the first roll with room for it.

    D. S. Johnson et al., SIAM Journal on Computing 3 (1974) 299-325. Raises ValueError for an impossible number and a
    length above the roll's.
    """
    _check(lengths_m, counts, roll_m)
    room_m: list[float] = []
    rolls: list[list[int]] = []
    for kind in sorted(range(len(lengths_m)), key=lambda kind: -lengths_m[kind]):
        at = 0
        for _ in range(counts[kind]):
            # The first roll with room for one piece is never before the one the last alike went to.
            while at < len(rolls) and room_m[at] < lengths_m[kind] - _SLACK_M:
                at += 1
            if at == len(rolls):
                room_m.append(roll_m)
                rolls.append([0] * len(lengths_m))
            room_m[at] -= lengths_m[kind]
            rolls[at][kind] += 1
    return [tuple(roll) for roll in rolls]


def allocate_rolls(lengths_m: Sequence[float], counts: Sequence[int], roll_m: float) -> RollPlan:
    """Return a plan for pieces of each length, the better of first fit and the fractional optimum made whole.

    Whole rolls of the fractional optimum are kept and the rest is cut by first fit. Raises ValueError for an impossible
    number and a length above the roll's.
    """
    _check(lengths_m, counts, roll_m)
    wanted = [kind for kind in range(len(lengths_m)) if counts[kind]]
    if not wanted:
        return RollPlan((), 0.0)
    lengths, needs = [lengths_m[kind] for kind in wanted], [counts[kind] for kind in wanted]
    patterns, times, bound = _fractional(np.array(lengths), np.array(needs, dtype=np.float64), roll_m)
    whole = [floor(t + _BETTER) for t in times.tolist()]
    cut = patterns @ np.array(whole, dtype=np.int64)
    rest = [max(0, need - int(done)) for need, done in zip(needs, cut.tolist(), strict=True)]
    rounded = [(tuple(patterns[:, i].tolist()), n) for i, n in enumerate(whole) if n]
    rounded += [(roll, 1) for roll in first_fit_decreasing(lengths, rest, roll_m)]
    plain = [(roll, 1) for roll in first_fit_decreasing(lengths, needs, roll_m)]
    best = min(rounded, plain, key=lambda plan: sum(n for _, n in plan))
    total: dict[Pattern, int] = {}
    for pattern, n in best:
        spread = [0] * len(lengths_m)
        for kind, pieces in zip(wanted, pattern, strict=True):
            spread[kind] = int(pieces)
        total[tuple(spread)] = total.get(tuple(spread), 0) + n
    return RollPlan(tuple(total.items()), bound)


def _fractional(lengths_m: _Floats, needs: _Floats, roll_m: float) -> tuple[NDArray[np.int64], _Floats, float]:
    """Patterns (columns), how often each is cut, in fractions, and the bound: column generation from one length a roll.

    Cut short it still bounds: A. A. Farley, Operations Research 38 (1990) 922-923.
    """
    patterns = np.diag(np.floor((roll_m + _SLACK_M) / lengths_m)).astype(np.int64)
    times, value = needs, 1.0
    for _ in range(_MOST_ROUNDS):
        times = np.asarray(np.linalg.solve(patterns, needs), dtype=np.float64)
        worth = np.linalg.solve(patterns.T, np.ones(len(needs)))
        new, value = _most_worth(lengths_m.tolist(), worth.tolist(), roll_m)
        if value <= 1 + _BETTER:
            break
        change = np.linalg.solve(patterns, np.array(new, dtype=np.float64))
        limits = np.where(change > _BETTER, times / np.maximum(change, _BETTER), np.inf)
        patterns[:, int(np.argmin(limits))] = new
    return patterns, times, float(times.sum()) / max(1.0, value)


def _most_worth(lengths_m: list[float], worth: list[float], roll_m: float) -> tuple[list[int], float]:
    """The pattern of most worth that a roll holds: depth first, best worth a metre first, cut off by the bound."""
    order = sorted(range(len(lengths_m)), key=lambda kind: -worth[kind] / lengths_m[kind])
    best: list[int] = [0] * len(lengths_m)
    best_value = 0.0
    pattern = [0] * len(lengths_m)

    def go_on(at: int, room_m: float, value: float) -> None:
        nonlocal best, best_value
        if value > best_value:
            best, best_value = pattern.copy(), value
        if at == len(order) or worth[order[at]] <= 0:
            return
        kind = order[at]
        if value + room_m * worth[kind] / lengths_m[kind] <= best_value + _BETTER:
            return
        for pieces in range(int((room_m + _SLACK_M) / lengths_m[kind]), -1, -1):
            pattern[kind] = pieces
            go_on(at + 1, room_m - pieces * lengths_m[kind], value + pieces * worth[kind])
        pattern[kind] = 0

    go_on(0, roll_m, 0.0)
    return best, best_value


def _check(lengths_m: Sequence[float], counts: Sequence[int], roll_m: float) -> None:
    positive("roll_m", roll_m)
    for length_m, pieces in zip(lengths_m, counts, strict=True):
        count("counts", pieces)
        if positive("lengths_m", length_m) > roll_m + _SLACK_M:
            raise ValueError(f"lengths_m must be at most the roll's {roll_m:g} m, found {length_m!r}")
