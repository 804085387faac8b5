"""What one field of the models may hold, as a column of a table: kind, unit, ranges, default, choices, help."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal, NamedTuple, get_args

from pydantic import BaseModel
from pydantic.fields import FieldInfo
from pydantic_core import PydanticUndefined

from shopsim.shop.base import MOST
from shopsim.shop.forms.spread_text import HOW, spread_text
from shopsim.shop.forms.words import help_of, label_of
from shopsim.shop.materials import Fabric, family_values
from shopsim.shop.model_paths import item_kind, models_of, tags_of
from shopsim.shop.policies import OrderSequence
from shopsim.shop.scenario_dump import plain
from shopsim.shop.what_if_words import unit_of

Kind = Literal["text", "number", "whole", "yes_no", "choice", "spread", "date", "several", "group", "tag"]
"""`several`: a list of words. `group`: whether an optional group of keys is there. `tag`: which member of a union."""

# Which part of the file a name leads to, by its field.
REFERS_TO = {
    "fabric": "fabrics", "shift": "shifts", "at": "work_centres", "check_at": "work_centres", "crews": "crews",
    "order_check_at": "work_centres", "repair_at": "work_centres", "calender": "calenders", "product": "products",
    "printers": "printers",
}  # fmt: skip


# A title that says "minutes" needs no unit besides.
_SPELLED = {"min": "minutes", "h": "hours"}
_OF_FAMILY = frozenset(family_values("front_lit"))


class Limits(NamedTuple):
    """The allowed range of a number; None where it is open. `above` and `below` leave the bound itself out."""

    least: float | None = None
    most: float | None = None
    above: float | None = None
    below: float | None = None

    def text(self) -> str:
        """``above 0``, ``0 to 100``, or nothing."""
        most = None if self.most is None or self.most >= MOST else self.most
        if self.least is not None and most is not None:
            return f"{self.least:g} to {most:.10g}"
        low = f"above {self.above:g}" if self.above is not None else ""
        low = f"at least {self.least:g}" if self.least is not None else low
        high = f"below {self.below:g}" if self.below is not None else ""
        high = f"at most {most:.10g}" if most is not None else high
        return " and ".join(part for part in (low, high) if part)


_OPEN = Limits()


@dataclass(frozen=True, slots=True)
class Column:
    """One field to edit; `path` leads to it from the row's item. `default` is a plain value, None if there is none.

    `may_be_none`: the file may say null. `required`: the file must hold it. `refers` names the lists of the scenario
    whose ids are the choices, `tags` the members of a union that have the field (empty: all).
    """

    path: tuple[str, ...]
    kind: Kind
    label: str
    about: str
    default: Any = None
    required: bool = False
    may_be_none: bool = False
    limits: Limits = _OPEN
    usual: tuple[float, float] | None = None
    row_id: str = ""
    choices: tuple[str, ...] = ()
    refers: tuple[str, ...] = ()
    tags: tuple[str, ...] = ()

    @property
    def key(self) -> str:
        """The path as one word."""
        return ".".join(self.path)

    def title(self, currency: str) -> str:
        """``Roll width, m``: the label with its unit."""
        unit = self.unit(currency)
        told = _SPELLED.get(unit, unit) in self.label.lower().replace(",", " ").split()
        return f"{self.label}, {unit}" if unit and not told else self.label

    def unit(self, currency: str) -> str:
        """The unit the field's name tells, empty without one."""
        return unit_of(self.path[-1], currency) if self.kind in ("number", "whole", "spread") else ""

    def help(self) -> str:
        """One or two lines: what it is, what is usual and where that comes from, what is allowed."""
        parts = [self.about]
        if self.usual is not None:
            parts.append(f"Usual {self.usual[0]:g} to {self.usual[1]:g} (handbook {self.row_id}).")
        elif self.row_id:
            parts.append(f"Handbook {self.row_id}.")
        shown = self.shown_default()
        if shown and self.kind not in ("yes_no", "group"):
            parts.append(f"Left empty: {shown}.")
        if self.limits.text() and self.kind in ("number", "whole"):
            parts.append(f"Allowed: {self.limits.text()}.")
        if self.kind == "spread":
            parts.append(f"{HOW}.")
        return " ".join(part for part in parts if part)

    def shown_default(self) -> str:
        """The default as text, empty without one."""
        if self.default is None or self.default == "":
            return ""
        if isinstance(self.default, list):
            return spread_text(self.default) if self.kind == "spread" else ", ".join(map(str, self.default))
        return spread_text(self.default) if self.kind in ("spread", "number", "whole") else str(self.default)


def column(models: Sequence[type[BaseModel]], dotted: str) -> Column:
    """The column of a field of a model (or of the members of a union), or of the groups in it.

    ``nozzle_check.*`` is whether an optional group is there at all. Raises KeyError for a path that leads nowhere.
    """
    path = tuple(dotted.split("."))
    *way, name = path
    holders, tagged = list(models), len(models) > 1
    for part in way[:-1] if name == "*" else way:
        below = [inner for holder in holders for inner in _models_at(holder, part)]
        if not below and any(part in holder.model_fields for holder in holders):
            return _mapping_column(path, [holder for holder in holders if part in holder.model_fields])
        holders, tagged = below, tagged or len(below) > 1
    name = way[-1] if name == "*" else name
    having = [holder for holder in holders if name in holder.model_fields]
    if not having:
        raise KeyError(f"no {dotted} in {', '.join(model.__name__ for model in models)}")
    tags = tuple(tag for holder in having for tag in tags_of(holder)) if tagged else ()
    return _group_column(path, having[0]) if path[-1] == "*" else _leaf_column(path, having, tags)


def _leaf_column(path: tuple[str, ...], holders: list[type[BaseModel]], tags: tuple[str, ...]) -> Column:
    holder, name = holders[0], path[-1]
    field = holder.model_fields[name]
    schema = _schema_of(holder)[name]
    options = [each for each in schema.get("anyOf", [schema]) if each.get("type") != "null"]
    kind, choices = _kind(options, holders, name)
    extra: dict[str, Any] = field.json_schema_extra if isinstance(field.json_schema_extra, dict) else {}
    low, high = extra.get("usual", (None, None))
    first = options[0]
    required = all(each.model_fields[name].is_required() for each in holders)
    bounds = (first.get(key) for key in ("minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum"))
    about, default = help_of(holder.__name__, name), _default(field)
    if holder is Fabric and name in _OF_FAMILY:
        about, default = f"{about} Left empty: as the family has it.".strip(), None
    return Column(
        path, kind, label_of(path), about, default, required,
        len(options) < len(schema.get("anyOf", [schema])), Limits(*bounds),
        None if low is None or high is None else (low, high), extra.get("handbook_row", ""), choices,
        _refers(holder, name), tags,
    )  # fmt: skip


def _mapping_column(path: tuple[str, ...], holders: list[type[BaseModel]]) -> Column:
    """A key of a mapping whose values are words of a list."""
    field = holders[0].model_fields[path[-2]]
    words = get_args(item_kind(field.annotation))
    tags = tuple(tag for holder in holders for tag in tags_of(holder))
    about = help_of(holders[0].__name__, path[-2])
    return Column(path, "choice", label_of(path), about, may_be_none=False, choices=words, tags=tags)


def _group_column(path: tuple[str, ...], holder: type[BaseModel]) -> Column:
    field = holder.model_fields[path[-2]]
    return Column(path, "group", label_of(path), help_of(holder.__name__, path[-2]), field.default is not None)


def _kind(options: list[dict[str, Any]], holders: list[type[BaseModel]], name: str) -> tuple[Kind, tuple[str, ...]]:
    first = options[0]
    if name in ("op", "kind") and "const" in first:
        return "tag", tuple(tag for holder in holders for tag in tags_of(holder))
    if len(options) > 1:
        return "spread", ()
    if "enum" in first:
        return "choice", tuple(first["enum"])
    if first.get("type") == "array":
        return "several", tuple(first["items"].get("enum", ()))
    if first.get("format") == "date":
        return "date", ()
    kinds: dict[str, Kind] = {"number": "number", "integer": "whole", "boolean": "yes_no", "string": "text"}
    return kinds[first["type"]], ()


def _refers(holder: type[BaseModel], name: str) -> tuple[str, ...]:
    if holder is OrderSequence and name == "at":
        return "work_centres", "printers"
    return (REFERS_TO[name],) if name in REFERS_TO else ()


def _default(field: FieldInfo) -> Any:
    return None if field.default is PydanticUndefined else plain(field.default)


@cache
def _schema_of(model: type[BaseModel]) -> dict[str, Any]:
    properties: dict[str, Any] = model.model_json_schema()["properties"]
    return properties


def _models_at(holder: type[BaseModel], name: str) -> list[type[BaseModel]]:
    field = holder.model_fields.get(name)
    return models_of(field.annotation) if field is not None else []
