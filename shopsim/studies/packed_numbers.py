"""A number a key in little memory: a study holds some 500 of them a replication, for thousands of replications.

Rows name the same things, but not each names all, so each lists which of the shared keys it has, in its own order.
"""

from __future__ import annotations

from array import array
from collections.abc import Hashable, ItemsView, Iterator, Mapping, ValuesView
from typing import Generic, TypeVar

K = TypeVar("K", bound=Hashable)


class Keys:
    """Keys that many tables share; each has a number."""

    __slots__ = ("listed", "number")

    def __init__(self) -> None:
        self.number: dict[Hashable, int] = {}
        self.listed: list[Hashable] = []

    def numbered(self, key: Hashable) -> int:
        """The number of a key, which is a new one for a new key."""
        number = self.number.setdefault(key, len(self.listed))
        if number == len(self.listed):
            self.listed.append(key)
        return number


class PackedNumbers(Mapping[K, float], Generic[K]):
    """As the dict of floats it is made of: equal to it, with the same order and the same `repr`."""

    __slots__ = ("_has", "_keys", "_numbers")

    def __init__(self, numbers: Mapping[K, float], keys: Keys) -> None:
        self._keys = keys
        self._has = array("I", map(keys.numbered, numbers))
        self._numbers = array("d", numbers.values())

    def __getitem__(self, key: K) -> float:
        number = self._keys.number.get(key)
        if number is not None:
            try:
                return self._numbers[self._has.index(number)]
            except ValueError:
                pass
        raise KeyError(key)

    def __iter__(self) -> Iterator[K]:
        return map(self._keys.listed.__getitem__, self._has)  # type: ignore[arg-type]

    def __len__(self) -> int:
        return len(self._has)

    def items(self) -> ItemsView[K, float]:
        return _Items(self)

    def values(self) -> ValuesView[float]:
        return _Values(self)

    def __repr__(self) -> str:
        return repr(dict(self.items()))


class _Items(ItemsView[K, float]):
    """In one pass, without looking each key up."""

    _mapping: PackedNumbers[K]

    def __iter__(self) -> Iterator[tuple[K, float]]:
        return zip(self._mapping, self._mapping._numbers, strict=True)


class _Values(ValuesView[float]):
    _mapping: PackedNumbers[Hashable]

    def __iter__(self) -> Iterator[float]:
        return iter(self._mapping._numbers)
