"""Forges a state of a shop: a few of its values are others, and its digest fits."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from typing import Any

from shopsim.floor.snapshot.file import digest

_VALUES = (-1, 0, 1, 7, 1e308, -1e-320, 10**20, 4920.0, True, None, "", "x", "sewer", "=1+1", [], {}, [0], {"id": 1})
Holder = dict[str, Any] | list[Any]


def forged(content: bytes, number: int) -> bytes:
    """The state with one to three values changed, taken away or doubled, by the number of the trial."""
    chance = random.Random(number)
    found = json.loads(content)
    for _ in range(chance.randint(1, 3)):
        holder, key = chance.choice(list(_places(found["state"])))
        chance.choice((_another, _another, _of_elsewhere, _of_elsewhere, _gone, _twice))(holder, key, found, chance)
    found["digest"] = digest(found["minute"], found["replication"], found["state"])
    return json.dumps(found).encode()


def _places(value: Any) -> Iterator[tuple[Holder, Any]]:
    for key in value if isinstance(value, dict) else range(len(value)):
        yield value, key
        if isinstance(value[key], dict | list):
            yield from _places(value[key])


def _another(holder: Any, key: Any, _: Any, chance: random.Random) -> None:
    old = holder[key]
    near = [old + 1, old - 1, -old, old * 2] if isinstance(old, int | float) and not isinstance(old, bool) else []
    holder[key] = chance.choice([*_VALUES, *near * 4])


def _of_elsewhere(holder: Any, key: Any, found: Any, chance: random.Random) -> None:
    other, at = chance.choice(list(_places(found["state"])))
    # Through text, so that nothing can come to hold itself.
    holder[key] = json.loads(json.dumps(other[at]))


def _gone(holder: Any, key: Any, _: Any, __: random.Random) -> None:
    del holder[key]


def _twice(holder: Any, key: Any, _: Any, __: random.Random) -> None:
    if isinstance(holder, list):
        holder.insert(key, holder[key])
    else:
        holder[f"{key} again"] = holder[key]
