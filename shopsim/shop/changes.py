"""Changes to a scenario's values, by path: what the editor of files and what-ifs have in common.

A path may lead through what a file leaves out: the defaults on its way are then written out with the change.
"""

from __future__ import annotations

import copy
import re
from dataclasses import dataclass
from typing import Any, Literal

from shopsim.shop.default_values import Spot, at_root
from shopsim.shop.model_paths import Path
from shopsim.shop.plain_messages import choices, found

Action = Literal["set", "add", "copy", "remove", "replace"]
_PART = re.compile(r"([^.\[\]]+)|\[(\d{1,6})\]")


@dataclass(frozen=True, slots=True)
class Change:
    """One change. Paths are written as in messages: ``printers.p1.head.swath_m``, ``products.flag.route[2].at``.

    ``set`` puts ``value``; ``add`` appends it to a list; ``remove`` takes a key or list item away. ``replace`` puts
    other keys in place of all those of an item, which keeps its id. ``copy`` appends a copy of a list item to its list:
    ``value`` gives the copy's own id, and by paths inside it what else differs, ``{"id": "p2", "head.swath_m": 1.0}``.
    """

    action: Action
    path: str
    value: Any = None


def find_path(values: Any, text: str) -> Path:
    """Keys and list positions of a path in the trade's form; keys at its end may be new, list items may not.

    Raises ValueError with the part that leads nowhere.
    """
    return _written_out(values, text)[1]


def changed_values(values: dict[str, Any], change: Change) -> dict[str, Any]:
    """A copy of plain scenario values with one change made. Raises ValueError if the change does not fit."""
    change = plain_change(values, change)
    made, path = _written_out(values, change.path, to_the_end=change.action == "add")
    _make(_at(made, path[:-1]), path[-1], change)
    return made


def plain_change(values: dict[str, Any], change: Change) -> Change:
    """The same change in terms of ``set``, ``add`` and ``remove``. Raises ValueError if it does not fit the values."""
    if change.action == "copy":
        return _copying(values, change)
    if change.action == "replace":
        return _replacing(values, change)
    return change


def _written_out(values: Any, text: str, to_the_end: bool = False) -> tuple[dict[str, Any], Path]:
    """A copy of the values in which every part of the path but the last is there (that too: ``to_the_end``)."""
    parts = list(_PART.finditer(text))
    if not parts or ".".join(part[0] for part in parts).replace(".[", "[") != text:
        raise ValueError(f"not a path: {text!r}; write it like printers.p1.head.swath_m or products.flag.route[0].mode")
    made: dict[str, Any] = copy.deepcopy(values)
    path: list[str | int] = []
    spot = at_root(made)
    for part in parts:
        here = spot.here
        if isinstance(here, list):
            path.append(_position(here, part[1], part[2]))
            spot = spot.item(int(path[-1]))
        elif isinstance(here, dict):
            if part[2] is not None:
                raise ValueError(f"{part[0]} stands where there is no list")
            path.append(part[1])
            spot = _below(spot, part[1], part is parts[-1], to_the_end)
        else:
            raise ValueError(f"nothing can stand under {found(here)}")
    return made, tuple(path)


def _below(spot: Spot, key: str, last: bool, to_the_end: bool) -> Spot:
    below = spot.key(key)
    if below.here is None and not last:
        below = Spot({}, below.kind)
    if below.here is not None and (to_the_end or not last):
        spot.here[key] = below.here
    return below


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


def _copying(values: dict[str, Any], change: Change) -> Change:
    made, path, item = _group(values, change)
    if not isinstance(path[-1], int):
        raise ValueError(f"{change.path!r} is not in a list, so it cannot be copied")
    inside = dict(change.value)
    if "id" in item and "id" not in inside:
        raise ValueError("the copy needs an id of its own")
    if "id" in inside and "id" not in item:
        raise ValueError(f"{change.path!r} has no id, so its copy cannot have one")
    items = change.path[: list(_PART.finditer(change.path))[-1].start()].rstrip(".")
    place = len(_at(made, path[:-1]))
    own_id = {"id": inside.pop("id")} if "id" in inside else {}
    made = changed_values(made, Change("add", items, {**item, **own_id}))
    for name, value in inside.items():
        try:
            made = changed_values(made, Change("set", f"{items}[{place}].{name}", value))
        except ValueError as fault:
            raise ValueError(f"{name}: {fault}") from None
    return Change("add", items, _at(made, path[:-1])[place])


def _replacing(values: dict[str, Any], change: Change) -> Change:
    _, _, item = _group(values, change)
    kept = {"id": item["id"]} if "id" in item else {}
    if change.value.get("id", item.get("id")) != item.get("id"):
        raise ValueError(f"{change.path!r} keeps its id; leave `id` out")
    return Change("set", change.path, {**kept, **change.value})


def _group(values: dict[str, Any], change: Change) -> tuple[dict[str, Any], Path, dict[str, Any]]:
    """The values with what is to be copied or replaced written out, the path to it, and it."""
    made, path = _written_out(values, change.path, to_the_end=True)
    item: Any = made
    for part in path:
        item = item.get(part) if isinstance(item, dict) else item[part]
    if item is None:
        raise ValueError(f"there is no {change.path!r} to {change.action}")
    if not isinstance(item, dict):
        raise ValueError(f"{change.path!r} is not a group of keys; use `set`")
    return made, path, item


def _at(values: Any, path: Path) -> Any:
    for part in path:
        values = values[part]
    return values
