"""Paths into a scenario in the trade's form, and what the models allow at a path."""

from __future__ import annotations

import re
from collections.abc import Sequence
from types import UnionType
from typing import Annotated, Any, Literal, NamedTuple, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from shopsim.shop.base import ID_PATTERN

Path = tuple[str | int, ...]


class Spot(NamedTuple):
    """Where a fault lies: its path in the file, the model that holds it and the field, where there are such."""

    path: Path
    model: type[BaseModel] | None
    field: FieldInfo | None


def part_of(path: str) -> str:
    """The list or group at the top of the file that a value stands in."""
    return re.split(r"[.\[]", path, maxsplit=1)[0]


def path_text(root: Any, path: Sequence[str | int]) -> str:
    """A path as people read it: ``printers.p1.modes.fast.passes``, ``products.flag.route[2].at``.

    List items are named by their id where they have one. ``root`` is the scenario or its plain values.
    """
    text, here = "", root
    for part in path:
        here = _step(here, part)
        if isinstance(part, int):
            name = _step(here, "id")
            known = isinstance(name, str) and re.match(ID_PATTERN, name)
            text += f".{name}" if known else f"[{part}]"
        else:
            text += f".{part}" if text else part
    return text


def _step(value: Any, part: str | int) -> Any:
    if isinstance(value, dict):
        return value.get(part)
    if isinstance(value, list | tuple):
        return value[part] if isinstance(part, int) and part < len(value) else None
    return getattr(value, str(part), None) if isinstance(value, BaseModel) else None


def spot(root: type[BaseModel], loc: Sequence[str | int]) -> Spot:
    """Follow a validation error's location through the models; tags of unions and ``[key]`` marks drop out of it."""
    kind: Any = root
    path: list[str | int] = []
    model: type[BaseModel] | None = None
    field: FieldInfo | None = None
    for part in loc:
        models = models_of(kind)
        if part == "[key]":
            continue
        if len(models) > 1:
            kind = next((each for each in models if part in tags_of(each)), None)
            continue
        path.append(part)
        if models:
            model, field = models[0], fields_by_key(models[0]).get(str(part))
            kind = field.annotation if field else None
        else:
            kind, field = item_kind(kind), None
    if models := models_of(kind):
        model = models[0] if len(models) == 1 else None
    return Spot(tuple(path), model, field)


def fields_by_key(model: type[BaseModel]) -> dict[str, FieldInfo]:
    """The fields of a model by the key a file has for them."""
    return {field.alias or name: field for name, field in model.model_fields.items()}


def models_of(kind: Any) -> list[type[BaseModel]]:
    """The models a type admits at its top: one, or the members of a union."""
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return [kind]
    if get_origin(kind) is Annotated:
        return models_of(get_args(kind)[0])
    if get_origin(kind) in (Union, UnionType):
        return [model for member in get_args(kind) for model in models_of(member)]
    return []


def tags_of(model: type[BaseModel]) -> tuple[str, ...]:
    """The words by which a member of a union is known: its ``op`` or ``kind``, or the ``TAG`` of its class."""
    return getattr(model, "TAG", ()) or tuple(
        tag
        for name in ("op", "kind")
        if name in model.model_fields and get_origin(model.model_fields[name].annotation) is Literal
        for tag in get_args(model.model_fields[name].annotation)
    )


def item_kind(kind: Any) -> Any:
    """The type of the items of a list, or of the values of a dict; None for a type that has none."""
    if get_origin(kind) is Annotated:
        return item_kind(get_args(kind)[0])
    if get_origin(kind) in (Union, UnionType):
        return next((item for member in get_args(kind) if (item := item_kind(member)) is not None), None)
    arguments = get_args(kind)
    if get_origin(kind) is tuple:
        return arguments[0]
    return arguments[1] if get_origin(kind) is dict else None
