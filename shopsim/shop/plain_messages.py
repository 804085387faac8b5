"""Validation faults in plain words: what was found, what is allowed, and what was probably meant."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable
from difflib import get_close_matches
from typing import Any, get_args

import annotated_types
from pydantic import BaseModel
from pydantic_core import ErrorDetails

from shopsim.shop.base import ID_PATTERN
from shopsim.shop.model_paths import Path, Spot, fields_by_key, models_of, spot, tags_of
from shopsim.shop.people import HOURS_PATTERN

MOST_NAMED = 30
_LONGEST = 60
_LONGEST_MESSAGE = 300

PATTERNS = {
    ID_PATTERN: "must be an id: a letter, then letters, digits, _ or -, at most 40 in all",
    HOURS_PATTERN: "must be hours like 06:00-14:30 in quotes",
}


def found(value: Any) -> str:
    """A value as it is named in a message; long ones are cut off."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "a group of keys"
    if isinstance(value, list | tuple):
        return f"a list of {len(value)}"
    if isinstance(value, datetime.datetime):
        return value.isoformat(" ")
    text = value.isoformat() if isinstance(value, datetime.date | datetime.time) else _shown(value)
    return _cut_off(text, _LONGEST)


def _cut_off(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"


def _shown(value: Any) -> str:
    return f"{value:.15g}" if isinstance(value, float) else repr(value)


def did_you_mean(word: Any, allowed: Iterable[str]) -> str:
    """``; did you mean 'x'?`` for the nearest allowed word, or nothing."""
    near = get_close_matches(str(word), list(allowed), n=1, cutoff=0.6)
    return f"; did you mean {near[0]!r}?" if near else ""


def choices(word: Any, allowed: Iterable[str], head: str = "known") -> str:
    """The end of a message about an unknown word: the nearest allowed one, and up to MOST_NAMED of them all."""
    words = list(allowed)
    return f"{did_you_mean(word, words) or ';'} {head}: {', '.join(words[:MOST_NAMED]) or 'none'}"


def explain(root: type[BaseModel], error: ErrorDetails) -> tuple[Path, str] | None:
    """Path and message of one validation error; None for one that only repeats a fault further in."""
    where = spot(root, error["loc"])
    kind, value = error["type"], error["input"]
    context = error.get("ctx", {})
    if kind == "too_short" and len(value) >= context["min_length"]:
        return None
    if kind in ("union_tag_not_found", "union_tag_invalid"):
        return _explain_tag(root, error)
    if kind == "value_error":
        return where.path, _cut_off(str(context["error"]), _LONGEST_MESSAGE)
    if kind == "extra_forbidden":
        return where.path, _unknown_key(where)
    if kind == "missing":
        return where.path, f"missing; give {_wanted(where)}"
    if kind in ("too_short", "too_long"):
        return where.path, _length(where, value, context)
    if kind in _BY_TYPE:
        return where.path, _BY_TYPE[kind](value, context)
    if kind.startswith("date"):
        return where.path, f"must be a date like 2026-01-05 without quotes, found {found(value)}"
    return where.path, f"{error['msg']}, found {found(value)}"


def _explain_tag(root: type[BaseModel], error: ErrorDetails) -> tuple[Path, str]:
    path, value, context = spot(root, error["loc"]).path, error["input"], error.get("ctx", {})
    if not isinstance(value, dict):
        return path, f"must be a group of `key: value`, found {found(value)}"
    name = context["discriminator"].strip("'")
    tags = _tags_at(root, error["loc"])
    if name not in value:
        return (*path, name), f"missing; give one of {', '.join(tags)}"
    return (*path, name), _one_of(value[name], tags)


def _tags_at(root: type[BaseModel], loc: tuple[str | int, ...]) -> list[str]:
    field = spot(root, loc).field or spot(root, loc[:-1]).field
    members = models_of(field.annotation) if field else []
    if field and not members:
        members = models_of(get_args(field.annotation)[0])
    return [tag for member in members for tag in tags_of(member)]


def _one_of(value: Any, allowed: list[str]) -> str:
    return f"must be one of {', '.join(allowed)}, found {found(value)}{did_you_mean(value, allowed)}"


def _unknown_key(where: Spot) -> str:
    key = where.path[-1]
    allowed = list(fields_by_key(where.model)) if where.model else []
    return f"unknown key {found(key)}{choices(key, allowed, 'allowed')}"


def _wanted(where: Spot) -> str:
    annotation = where.field.annotation if where.field else None
    for member in (annotation, *get_args(annotation)):
        for kind, words in ((str, "a name"), (float, "a number"), (int, "a whole number"), (datetime.date, "a date")):
            if member is kind:
                return words
    if str(annotation).startswith("tuple"):
        return "a list"
    return "a group of `key: value`" if models_of(annotation) else "a value"


def _literal(value: Any, context: dict[str, Any]) -> str:
    return _one_of(value, [word.strip("'") for word in context["expected"].replace(" or ", ", ").split(", ")])


def _length(where: Spot, value: Any, context: dict[str, Any]) -> str:
    limits: dict[type, int] = {}
    for mark in where.field.metadata if where.field else ():
        if isinstance(mark, annotated_types.MinLen):
            limits[annotated_types.MinLen] = mark.min_length
        elif isinstance(mark, annotated_types.MaxLen):
            limits[annotated_types.MaxLen] = mark.max_length
    least, most = limits.get(annotated_types.MinLen), limits.get(annotated_types.MaxLen)
    count = context.get("actual_length") or len(value)
    if least is not None and least == most:
        return f"must hold exactly {least} values, found {count}"
    if "min_length" in context:
        return f"must hold at least {context['min_length']}, found {count or 'none'}"
    return f"must hold at most {context['max_length']}, found {count}"


def _text(value: Any, _: dict[str, Any]) -> str:
    hint = "; put it in quotes" if isinstance(value, bool | int | float | datetime.date) else ""
    return f"must be text, found {found(value)}{hint}"


def _number(value: Any, _: dict[str, Any]) -> str:
    if isinstance(value, int) and not isinstance(value, bool):
        return "is far too large a number"
    return f"must be a number, found {found(value)}"


def _finite(value: Any, _: dict[str, Any]) -> str:
    return "not a number (NaN) is not allowed" if value != value else "infinity is not allowed"


def _pattern(value: Any, context: dict[str, Any]) -> str:
    wanted = PATTERNS.get(context["pattern"], "must be one line of text without control characters")
    return f"{wanted}, found {found(value)}"


def _simple(words: str) -> Callable[[Any, dict[str, Any]], str]:
    return lambda value, context: f"{words.format(**context)}, found {found(value)}"


_group = _simple("must be a group of `key: value`")
_BY_TYPE: dict[str, Callable[[Any, dict[str, Any]], str]] = {
    "literal_error": _literal,
    "string_type": _text,
    "float_type": _number,
    "finite_number": _finite,
    "string_pattern_mismatch": _pattern,
    "int_type": _simple("must be a whole number"),
    "int_from_float": _simple("must be a whole number"),
    "bool_type": _simple("must be true or false"),
    "greater_than": _simple("must be greater than {gt:g}"),
    "greater_than_equal": _simple("must be at least {ge:g}"),
    "less_than": _simple("must be less than {lt:g}"),
    "less_than_equal": _simple("must be at most {le:.15g}"),
    "string_too_short": _simple("must have at least {min_length} characters"),
    "string_too_long": _simple("must have at most {max_length} characters"),
    "tuple_type": _simple("must be a list"),
    "dict_type": _group,
    "model_type": _group,
    "model_attributes_type": _group,
}
