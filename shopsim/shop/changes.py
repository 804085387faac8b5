"""Changes to a scenario's values, by path: what the editor of files and what-ifs have in common."""

from __future__ import annotations

import copy
import re
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Literal

from shopsim.shop.model_paths import Path
from shopsim.shop.plain_messages import choices, found

_PART = re.compile(r"([^.\[\]]+)|\[(\d{1,6})\]")


@dataclass(frozen=True, slots=True)
class Change:
    """One change. ``set`` puts a value, ``add`` appends to a list, ``remove`` takes a key or list item away.

    Paths are written as messages write them: ``printers.p1.head.swath_m``, ``products.flag.route[2].at``.
    """

    action: Literal["set", "add", "remove"]
    path: str
    value: Any = None


def find_path(values: Any, text: str) -> Path:
    """Keys and list positions of a path in the trade's form; keys at its end may be new, list items may not.

    Raises ValueError with the part that leads nowhere.
    """
    parts = list(_PART.finditer(text))
    if not parts or ".".join(part[0] for part in parts).replace(".[", "[") != text:
        raise ValueError(f"not a path: {text!r}; write it like printers.p1.head.swath_m or products.flag.route[0].mode")
    path: list[str | int] = []
    here = values
    for part in parts:
        if isinstance(here, list):
            step: str | int = _position(here, part[1], part[2])
            here = here[int(step)]
        elif here is None or isinstance(here, dict):
            if part[2] is not None:
                raise ValueError(f"{part[0]} stands where there is no list")
            step = part[1]
            here = here.get(step) if here else None
        else:
            raise ValueError(f"nothing can stand under {found(here)}")
        path.append(step)
    return tuple(path)


def _position(items: list[Any], name: str | None, number: str | None) -> int:
    if number is not None:
        if int(number) < len(items):
            return int(number)
        raise ValueError(f"there is no item [{number}]; the list holds {len(items)}, counted from 0")
    ids = [str(item.get("id")) if isinstance(item, dict) else "" for item in items]
    if name in ids:
        return ids.index(str(name))
    there_are = [each for each in ids if each]
    raise ValueError(f"there is no item {name!r}{choices(name, there_are)}")


def changed_values(values: dict[str, Any], change: Change) -> dict[str, Any]:
    """A copy of plain scenario values with one change made. Raises ValueError if the change does not fit."""
    path = find_path(values, change.path)
    made = copy.deepcopy(values)
    holder: Any = made
    for part, following in pairwise(path):
        if isinstance(holder, dict) and holder.get(str(part)) is None:
            if change.action == "remove":
                raise ValueError(f"there is no {change.path!r} to remove")
            holder[str(part)] = [] if isinstance(following, int) else {}
        holder = holder[part]
    _make(holder, path[-1], change)
    return made


def _make(holder: Any, last: str | int, change: Change) -> None:
    there = isinstance(last, int) or last in holder
    if change.action == "set":
        holder[last] = change.value
    elif change.action == "add":
        items = holder[last] if there and holder[last] is not None else []
        if not isinstance(items, list):
            raise ValueError(f"{change.path!r} is not a list, so nothing can be added to it")
        holder[last] = [*items, change.value]
    elif there:
        del holder[last]
    else:
        raise ValueError(f"there is no {change.path!r} to remove")
