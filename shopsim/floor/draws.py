"""Random numbers of a replication, keyed by (seed, replication, purpose) and read by row.

A row is a piece's number within its product, so a what-if that changes machines, people or rules meets exactly the
same pieces, faults and pace of work. Tables grow on demand; growing moves no earlier row.
"""

from __future__ import annotations

from array import array
from bisect import bisect_left
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from shopsim.distributions import Distribution, Uniform
from shopsim.streams import Draws, stream

Sampler = Callable[[np.random.Generator, int], NDArray[np.float64]]
_FIRST_BLOCK = 512
_SHARE = Uniform(0.0, 1.0)


class SumTable:
    """Running sums of one random number a row, so that a range of rows adds up in one subtraction."""

    __slots__ = ("_rng", "_sampler", "_sums")

    def __init__(self, rng: np.random.Generator, sampler: Sampler) -> None:
        self._rng = rng
        self._sampler = sampler
        self._sums = array("d", [0.0])

    def total(self, first: int, count: int) -> float:
        """Sum of rows first .. first+count-1."""
        sums, last = self._sums, first + count
        if last >= len(sums):
            self._grow(last)
        return sums[last] - sums[first]

    def _grow(self, row: int) -> None:
        while len(self._sums) <= row:
            block = self._sampler(self._rng, max(_FIRST_BLOCK, len(self._sums)))
            # The last sum goes into the cumulation itself: the same floats result however the table grew.
            self._sums.frombytes(np.cumsum(np.concatenate(([self._sums[-1]], block)))[1:].tobytes())


class HitTable:
    """Rows whose uniform number lies below `rate`, with that number."""

    __slots__ = ("_levels", "_rate", "_rng", "_rows", "_seen")

    def __init__(self, rng: np.random.Generator, rate: float) -> None:
        self._rng = rng
        self._rate = rate
        self._rows: list[int] = []
        self._levels: list[float] = []
        self._seen = 0

    def hits(self, first: int, count: int) -> list[tuple[int, float]]:
        """(row, uniform number) of each hit among rows first .. first+count-1."""
        while self._seen < first + count:
            levels = self._rng.random(max(_FIRST_BLOCK, self._seen))
            (found,) = np.nonzero(levels < self._rate)
            self._rows.extend((found + self._seen).tolist())
            self._levels.extend(levels[found].tolist())
            self._seen += len(levels)
        rows = self._rows
        i = bisect_left(rows, first)
        if i == len(rows) or rows[i] >= first + count:
            return []
        j = bisect_left(rows, first + count, i)
        return list(zip(rows[i:j], self._levels[i:j], strict=True))


class ReplicationDraws:
    """All random numbers of one replication by purpose; what is drawn as time passes begins at `starts_min`."""

    def __init__(self, seed: int, replication: int, starts_min: float = 0.0) -> None:
        self.seed = seed
        self.replication = replication
        self.starts_min = starts_min
        self._sums: dict[tuple[str, int], SumTable] = {}
        self._hits: dict[tuple[str, int], HitTable] = {}
        self._lines: dict[str, Draws] = {}
        # How many numbers of lines not yet asked for were used before.
        self._used: dict[str, int] = {}

    def generator(self, purpose: str) -> np.random.Generator:
        """A fresh generator for a purpose."""
        return stream(self.seed, self.replication, purpose)

    def line(self, purpose: str, distribution: Distribution) -> Draws:
        """Numbers used one after another, e.g. the repairs of one machine."""
        line = self._lines.get(purpose)
        if line is None:
            line = self._lines[purpose] = Draws(self.generator(purpose), distribution, block=64)
            self._move(purpose, self._used.get(purpose, 0))
        return line

    def used(self) -> dict[str, int]:
        """How many numbers of each line have been used."""
        return {**self._used, **{purpose: line.used for purpose, line in self._lines.items() if line.used}}

    def go_on_from(self, used: dict[str, int]) -> None:
        """Let each line go on after so many numbers; lines not named begin anew."""
        self._used = dict(used)
        for purpose in self._lines:
            self._move(purpose, used.get(purpose, 0))

    def _move(self, purpose: str, used: int) -> None:
        if self._lines[purpose].used != used:
            self._lines[purpose].restart(self.generator(purpose), used)

    def luck(self, purpose: str) -> Draws:
        """Numbers from 0 to 1, used one after another."""
        return self.line(purpose, _SHARE)

    def sums(self, purpose: str, attempt: int, sampler: Sampler) -> SumTable:
        """The table of a purpose at an attempt (0 = first make)."""
        key = (purpose, attempt)
        table = self._sums.get(key)
        if table is None:
            table = self._sums[key] = SumTable(self.generator(f"{purpose}/attempt {attempt}"), sampler)
        return table

    def hits(self, purpose: str, attempt: int, rate: float) -> HitTable:
        """The hits of a purpose at an attempt."""
        key = (purpose, attempt)
        table = self._hits.get(key)
        if table is None:
            table = self._hits[key] = HitTable(self.generator(f"{purpose}/attempt {attempt}"), rate)
        return table
