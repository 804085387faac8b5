"""The parts of a shop and the fields of each part, for whoever composes a change without writing a path."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from textwrap import indent
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from shopsim.shop.model_paths import fields_by_key
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_dump import plain
from shopsim.shop.what_if_words import unit_of, words_of
from shopsim.shop.yaml_tree import compose
from shopsim.shop.yaml_values import plain_value
from shopsim.shop.yaml_writing import flow

Kind = Literal["whole", "number", "yes_no", "choice", "text", "written"]
_ONE_OF = {
    "crews": "Crew", "work_centres": "Place", "shifts": "Shift", "printers": "Printer", "calenders": "Calender",
    "products": "Product", "fabrics": "Fabric",
}  # fmt: skip
# What changes are mostly made in comes first; names and remarks change nothing in a shop.
_FIRST = ("count", "seats", "weeks", "shift", "wage_per_h", "price", "price_per_m2")
_SAY_NOTHING = ("id", "name", "note")
_GROUPS = ("policies", "money", "supplies", "demand", "study")
# Fields that name a part of another list.
_NAMES_OF = {"shift": "shifts", "fabric": "fabrics", "at": "work_centres", "calender": "calenders"}
_DEPTH = 5


@dataclass(frozen=True, slots=True)
class Part:
    """Something in the shop that changes are made in; an `item` can be copied and taken away."""

    path: str
    words: str
    item: bool


@dataclass(frozen=True, slots=True)
class Pick:
    """A field of a part: its path, words and unit, its plain value now, and how a value is entered.

    `written` values are entered as a scenario file has them (three numbers, lists, groups of keys).
    """

    path: str
    words: str
    unit: str
    value: Any
    kind: Kind
    choices: tuple[str, ...] = ()
    help: str = ""


def parts_of(scenario: Scenario) -> list[Part]:
    """All parts, lists first."""
    items = [
        Part(f"{name}.{one.id}", _called(word, getattr(one, "name", "") or one.id), True)
        for name, word in _ONE_OF.items()
        for one in getattr(scenario, name)
    ]
    return [*items, *(Part(name, name.capitalize(), False) for name in _GROUPS)]


def lists_of(scenario: Scenario) -> list[str]:
    """Paths of the lists that items can be added to."""
    return [*_ONE_OF, "closed", *(f"policies.{name}" for name, field in fields_by_key(type(scenario.policies)).items()
                                  if _is_list(field.annotation))]  # fmt: skip


def fields_of(scenario: Scenario, part: Part) -> list[Pick]:
    """The fields of a part, those of groups inside it too: heads, seats, hours and prices first, then in the order of
    the file; without names and notes."""
    here: Any = scenario
    for name in part.path.split(".", 1):
        here = getattr(here, name) if isinstance(here, BaseModel) else next(one for one in here if one.id == name)
    found = [pick for pick in _inside(scenario, here, part.path, "", _DEPTH)
             if pick.path.rsplit(".", 1)[-1] not in _SAY_NOTHING]  # fmt: skip
    first = {f"{part.path}.{name}": rank for rank, name in enumerate(_FIRST)}
    return sorted(found, key=lambda pick: first.get(pick.path, len(first)))


def _called(word: str, name: str) -> str:
    """`Crew sewers`, but not `Printer Printer by the window`."""
    spoken = name.replace("_", " ")
    return spoken[:1].upper() + spoken[1:] if word.casefold() in spoken.casefold().split() else f"{word} {spoken}"


def written(value: Any) -> str:
    """A plain value as it would stand in a file."""
    return flow(value)


def read_written(text: str) -> Any:
    """The plain value of what was written as in a file. Raises ScenarioError if it cannot be read."""
    body = f"value: {text}" if "\n" not in text.strip() else "value:\n" + indent(text.strip("\n"), "  ")
    return plain_value(compose(body, "here"), "here")["value"]


def _inside(scenario: Scenario, model: BaseModel, path: str, words: str, depth: int) -> Iterator[Pick]:
    for name, field in fields_by_key(type(model)).items():
        value = getattr(model, name, None)
        said = f"{words}, {words_of(name) or name}" if words else words_of(name) or name
        here = f"{path}.{name}"
        if isinstance(value, BaseModel) and depth:
            yield from _inside(scenario, value, here, said, depth - 1)
        elif _is_groups(value) and depth:
            for number, one in enumerate(value or ()):
                own_id = getattr(one, "id", None)
                at = f"{here}.{own_id}" if own_id else f"{here}[{number}]"
                called = own_id or getattr(one, "op", None) or getattr(one, "name", None) or number + 1
                yield from _inside(scenario, one, at, f"{said} {called}", depth - 1)
        else:
            yield _pick(scenario, name, field, here, said, value)


def _pick(scenario: Scenario, name: str, field: FieldInfo, path: str, words: str, value: Any) -> Pick:
    kind, choices = _kind(scenario, name, field, value)
    said = words.replace("_", " ")
    unit = unit_of(name, scenario.money.currency)
    return Pick(path, said[:1].upper() + said[1:], unit, plain(value), kind, choices, _help(field))


def _kind(scenario: Scenario, name: str, field: FieldInfo, value: Any) -> tuple[Kind, tuple[str, ...]]:
    literal = _literals(field.annotation)
    if isinstance(value, bool):
        return "yes_no", ()
    if isinstance(value, int) and not _may_be(field.annotation, float):
        return "whole", ()
    if isinstance(value, int | float):
        return "number", ()
    if literal and (value is None or isinstance(value, str)):
        return "choice", literal
    if isinstance(value, str) and name in _NAMES_OF:
        return "choice", tuple(one.id for one in getattr(scenario, _NAMES_OF[name]))
    return ("text", ()) if isinstance(value, str) else ("written", ())


def _help(field: FieldInfo) -> str:
    extra = field.json_schema_extra if isinstance(field.json_schema_extra, dict) else {}
    row, usual = extra.get("handbook_row"), extra.get("usual")
    low, high = usual if isinstance(usual, list) else (None, None)
    found = f"usual {low:g} to {high:g}" if isinstance(low, int | float) and isinstance(high, int | float) else ""
    return ", ".join(part for part in (found, f"handbook {row}" if row else "") if part)


def _literals(kind: Any) -> tuple[str, ...]:
    if get_origin(kind) is Literal:
        return tuple(str(each) for each in get_args(kind))
    if get_origin(kind) in (Union, UnionType, Annotated):
        return next((found for each in get_args(kind) if (found := _literals(each))), ())
    return ()


def _may_be(kind: Any, wanted: type) -> bool:
    return kind is wanted or any(_may_be(each, wanted) for each in get_args(kind))


def _is_list(kind: Any) -> bool:
    return get_origin(kind) is tuple or any(_is_list(each) for each in get_args(kind))


def _is_groups(value: Any) -> bool:
    return isinstance(value, tuple) and bool(value) and all(isinstance(each, BaseModel) for each in value)
