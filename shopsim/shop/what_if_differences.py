"""What differs between two scenarios, in the order of their parts: values, and a sentence for a person."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from pydantic import BaseModel

from shopsim.shop.id_checks import KINDS
from shopsim.shop.names import by_name, words_for
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_dump import plain
from shopsim.shop.what_if_model import WhatIf
from shopsim.shop.what_if_words import change_in_words, group_in_words, unit_of, words_of

# By which field the items of a list are known beyond their ids, and what one of them is called.
_KNOWN_BY = {
    "bought_in": "at", "sequences": "at", "mix": "product", "campaigns": "product", "hire_fleets": "product",
    "route": "op", "closed": "first",
}  # fmt: skip
_ONE = {
    **KINDS, "bought_in": "work bought in at", "sequences": "list of", "campaigns": "campaign of", "modes": "mode",
    "hire_fleets": "hire fleet of", "route": "step", "closed": "closure", "overtime": "overtime of",
}  # fmt: skip
# Groups that only hold others: a person speaks of printing, dispatch, the forecast.
_HOLDERS = {"policies": "house rules", "demand": "demand"}
# An added item is told by an item that was there already if no more than this differs.
_ALIKE = 12


@dataclass(frozen=True, slots=True)
class Difference:
    """One difference: ``before`` and ``after`` as plain values, None where there was or is nothing.

    ``path`` leads to it in the changed scenario, for what was removed in the base; the field's name tells the ``unit``.
    """

    path: str
    before: Any
    after: Any
    unit: str
    sentence: str

    def __str__(self) -> str:
        return self.sentence


@dataclass(frozen=True, slots=True)
class _Where:
    """How a place is reached: its path, whom a sentence about it is about, and the groups on the way in words."""

    currency: str
    copies: Mapping[str, str]
    path: str = ""
    subject: str = ""
    groups: tuple[str, ...] = ()

    def at(self, path: str) -> _Where:
        return replace(self, path=path)

    def group(self, name: str) -> _Where:
        """The place of a group of keys."""
        path = f"{self.path}.{name}" if self.path else name
        if self.path in ("", *_HOLDERS):
            return replace(self, path=path, subject=_HOLDERS.get(name) or words_of(name) or name, groups=())
        return replace(self, path=path, groups=(*self.groups, words_of(name)))

    def item(self, name: str, item: Any, place: int) -> _Where:
        """The place of an item of the list ``name``, which is here."""
        list_path = f"{self.path}.{name}" if self.path else name
        path = f"{list_path}.{item.id}" if hasattr(item, "id") else f"{list_path}[{place}]"
        label = _label(name, item, place)
        if self.path in ("", *_HOLDERS):
            return replace(self, path=path, subject=label, groups=())
        return replace(self, path=path, groups=(*self.groups, f"{label},"))

    def difference(self, before: Any, after: Any, unit: str, phrase: str) -> Difference:
        words = " ".join([*(group for group in self.groups if group), phrase])
        return Difference(self.path, _kept(before), _kept(after), unit, f"{self.subject}: {words}")


def differences(base: Scenario, changed: Scenario, what_ifs: Sequence[WhatIf] = ()) -> list[Difference]:
    """Every difference between the values of two scenarios, defaults included; equal ones have none.

    An item that one of the `what_ifs` copied is told by the one it was copied from.
    """
    return list(_in_groups(base, changed, _Where(changed.money.currency, _copies(what_ifs))))


def differences_in_words(base: Scenario, changed: Scenario, what_ifs: Sequence[WhatIf] = ()) -> list[str]:
    """The sentences of all differences, parts called by their names in the changed scenario."""
    words = {**words_for(base), **words_for(changed)}
    copies = {
        f"{items}.{words.get(made, made)}": words.get(source, source)
        for items, made, source in ((*path.rpartition(".")[::2], source) for path, source in _copies(what_ifs).items())
    }
    where = _Where(changed.money.currency, copies)
    return [each.sentence for each in _in_groups(by_name(base, words), by_name(changed, words), where)]


def _copies(what_ifs: Sequence[WhatIf]) -> dict[str, str]:
    """By the path of each copied item the id of what it was copied from."""
    found = {}
    for change in (change for what_if in what_ifs for change in what_if.changes):
        if change.action == "copy" and isinstance(change.value, Mapping) and "id" in change.value:
            items, _, source = change.path.rpartition(".")
            found[f"{items}.{change.value['id']}"] = source
    return found


def _label(name: str, item: Any, place: int) -> str:
    """What an item of the list ``name`` is called: ``crew sewers``, ``printer_1``, ``overtime 2``."""
    noun, known = _ONE.get(name, words_of(name)), _known(name, item, place)
    return known if noun.split()[0] in known else f"{noun} {known}"


def _known(name: str, item: Any, place: int) -> str:
    if name == "overtime":
        return " and ".join(item.crews)
    key = _key(name, item)
    return str(place + 1) if key is None else str(key)


def _in_groups(before: BaseModel, after: BaseModel, where: _Where) -> Iterator[Difference]:
    for name, field in type(after).model_fields.items():
        old, new = getattr(before, name), getattr(after, name)
        if _same(old, new):
            continue
        if isinstance(old, BaseModel) and type(old) is type(new):
            yield from _in_groups(old, new, where.group(name))
        elif _are_groups(old) and _are_groups(new) and name != "weeks":
            yield from _in_lists(old, new, where, name)
        elif isinstance(old, Mapping) and isinstance(new, Mapping):
            yield from _in_mappings(old, new, where, name)
        else:
            place = where.at(f"{where.path}.{name}" if where.path else name)
            phrase = change_in_words(field, name, old, new, where.currency)
            yield place.difference(old, new, unit_of(name, where.currency), phrase)


def _in_lists(before: Sequence[Any], after: Sequence[Any], where: _Where, name: str) -> Iterator[Difference]:
    pairs = _paired(name, before, after)
    whole = where.group(name)
    for old, new in pairs:
        if old is not None and new is not None and type(before[old]) is type(after[new]):
            yield from _in_groups(before[old], after[new], where.item(name, after[new], new))
            continue
        if old is not None:
            item, known = before[old], _known(name, before[old], old)
            yield whole.at(where.item(name, item, old).path).difference(item, None, "", f"{known} removed")
        if new is not None:
            item, known = after[new], _known(name, after[new], new)
            path = where.item(name, item, new).path
            told = _told(name, item, before, where, where.copies.get(path))
            yield whole.at(path).difference(None, item, "", f"{known} added{told}")
    common = [new for old, new in pairs if old is not None and new is not None]
    if common != sorted(common):
        orders = [[_known(name, item, place) for place, item in enumerate(items)] for items in (before, after)]
        yield whole.difference(orders[0], orders[1], "", "in another order")


def _in_mappings(old: Mapping[Any, Any], new: Mapping[Any, Any], where: _Where, name: str) -> Iterator[Difference]:
    for key in dict.fromkeys([*old, *new]):
        before, after = old.get(key), new.get(key)
        if before == after:
            continue
        place = where.at(f"{where.path}.{name}.{key}")
        if name == "skills":
            yield place.difference(before, after, "", _skill(key, before, after))
        else:
            texts = [str(value or "none").replace("_", " ") for value in (after, before)]
            yield place.difference(before, after, "", f"{words_of(name)} {key} {texts[0]} instead of {texts[1]}")
    if name == "skills" and next(iter(old)) != next(iter(new)):
        place = where.at(f"{where.path}.{name}")
        yield place.difference(list(old), list(new), "", f"{next(iter(new))} comes first instead of {next(iter(old))}")


def _skill(skill: str, before: int | None, after: int | None) -> str:
    if before is None:
        return f"also skilled in {skill} at level {after}"
    return f"skill in {skill} at level {after} instead of {before}" if after else f"no longer skilled in {skill}"


def _told(name: str, item: BaseModel, others: Sequence[BaseModel], where: _Where, copied: str | None) -> str:
    """What an added item is: like the one it was copied from, or the most similar one that was there, but for this and
    that; or what it says itself."""
    known_by = "id" if "id" in type(item).model_fields else _KNOWN_BY.get(name, "")
    source = [other for other in others if copied is not None and getattr(other, "id", None) == copied]
    texts = []
    for other in source or others:
        if known_by == "id" and type(other) is type(item):
            same = {field: getattr(other, field) for field in ("id", "name") if hasattr(other, field)}
            found = list(_in_groups(other, item.model_copy(update=same), _Where(where.currency, {}, "-")))
            if len(found) <= _ALIKE:
                phrases = "; ".join(each.sentence.removeprefix(": ") for each in found)
                texts.append(f"like {same['id']}" + (f", but {phrases}" if phrases else ""))
    text = min(texts, key=len, default="") or group_in_words(item, where.currency, known_by)
    return f" ({text})" if text else ""


def _paired(name: str, before: Sequence[Any], after: Sequence[Any]) -> list[tuple[int | None, int | None]]:
    """Which item of one list is which of the other: by what tells them apart; else equal ones, the rest in turn."""
    old, new = ([_key(name, item) for item in items] for items in (before, after))
    if len(set(old)) < len(old) or len(set(new)) < len(new) or None in (*old, *new):
        old, new = list(before), list(after)
    pairs: list[tuple[int | None, int | None]] = []
    left = list(range(len(new)))
    for i, key in enumerate(old):
        same = next((j for j in left if new[j] == key), None)
        pairs.append((i, same))
        left = [j for j in left if j != same]
    if isinstance(old[0] if old else None, BaseModel):
        alone = iter(left)
        pairs = [(i, next(alone, None) if j is None else j) for i, j in pairs]
        left = list(alone)
    return [*pairs, *((None, j) for j in left)]


def _key(name: str, item: Any) -> Any:
    return getattr(item, "id", None) or getattr(item, _KNOWN_BY.get(name, ""), None)


def _are_groups(value: Any) -> bool:
    return isinstance(value, tuple) and all(isinstance(item, BaseModel) for item in value)


def _same(old: Any, new: Any) -> bool:
    # Equal dicts may differ in their order, and the first skill of a crew is its home.
    return bool(old == new) and _orders(old) == _orders(new)


def _orders(value: Any) -> list[Any]:
    """The keys of all dicts in a value, in their order."""
    if isinstance(value, Mapping):
        return list(value)
    if isinstance(value, BaseModel):
        return [_orders(item) for _, item in value]
    return [_orders(item) for item in value] if isinstance(value, tuple) else []


def _kept(value: Any) -> Any:
    return value if isinstance(value, list) else plain(value)
