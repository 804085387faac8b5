"""Random streams by name, so that a new purpose, machine or order moves no draw of another.

The key follows numpy's advice for independent streams (SeedSequence over a tuple of integers); the name enters as a
hash that is the same in every process and on every machine.
"""

from hashlib import blake2b

import numpy as np

from shopsim.distributions import Distribution

# One 32-bit word each, so that the words of seed and replication can never change places with each other.
_LIMIT = 2**32


def stream(seed: int, replication: int, name: str) -> np.random.Generator:
    """A fresh generator (PCG64) for one purpose, e.g. ``"orders/gap"``, in one replication.

    The same three arguments give the same draws, any other three independent ones.
    Raises ValueError unless seed and replication are from 0 to 2**32 - 1.
    """
    for label, value in (("seed", seed), ("replication", replication)):
        if not 0 <= value < _LIMIT:
            raise ValueError(f"{label} must be from 0 to {_LIMIT - 1}, got {value!r}")
    name_hash = int.from_bytes(blake2b(name.encode(), digest_size=8).digest(), "big")
    return np.random.Generator(np.random.PCG64(np.random.SeedSequence([seed, replication, name_hash])))


class Draws:
    """Single draws of one distribution, taken from the generator in blocks; the block size changes no draw.

    Raises ValueError if ``block`` is below 1.
    """

    __slots__ = ("_block", "_distribution", "_drawn", "_generator", "_waiting")

    def __init__(self, generator: np.random.Generator, distribution: Distribution, block: int = 1024) -> None:
        if block < 1:
            raise ValueError(f"block must be at least 1, got {block!r}")
        self._generator = generator
        self._distribution = distribution
        self._block = block
        self._waiting: list[float] = []
        self._drawn = 0

    def next(self) -> float:
        """The next draw, in the distribution's unit."""
        if not self._waiting:
            self._waiting = self._distribution.sample(self._generator, self._block)[::-1].tolist()
            self._drawn += self._block
        return self._waiting.pop()

    @property
    def used(self) -> int:
        """How many draws have been taken."""
        return self._drawn - len(self._waiting)

    def restart(self, generator: np.random.Generator, used: int) -> None:
        """Go on as if ``used`` draws (>= 0) had been taken from this fresh generator."""
        self._generator = generator
        self._drawn = -(-used // self._block) * self._block
        # Samples in a row are the one of their joint length (``distributions``).
        drawn = self._distribution.sample(generator, self._drawn) if self._drawn else np.empty(0)
        self._waiting = drawn[used:][::-1].tolist()
