"""Distributions as one line of text in a cell: ``5``, ``20 / 26 / 38``, ``log_normal: median 2, p90 10``."""

from __future__ import annotations

import re
from typing import Any

from shopsim.shop.base import SHAPES

_TOKEN = re.compile(r"[A-Za-z_]\w*|[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")
_BETWEEN = re.compile(r"[\s:,;/–]*")
_LISTS = ("values", "weights")
HOW = "One number; or at least / usually / at most; or a shape, e.g. log_normal: median 2, p90 10"


def spread_text(value: Any) -> str:
    """The text of a distribution in its form in a file; `read_spread` gives an equal one back."""
    if isinstance(value, list | tuple):
        return " / ".join(number_text(each) for each in value)
    if isinstance(value, dict) and len(value) == 1:
        name, body = next(iter(value.items()))
        if isinstance(body, list | tuple):
            body = {"values": body}
        if isinstance(body, dict):
            parts = (f"{key} {_argument_text(argument)}" for key, argument in body.items())
            return f"{name}: {', '.join(parts)}"
    return "" if value is None else number_text(value)


def read_spread(text: str) -> Any:
    """The form in a file of what a cell says; text that says nothing of the kind is given back as it is."""
    text = text.strip()
    words = _TOKEN.findall(text)
    if not words or _BETWEEN.sub("", _TOKEN.sub("", text)):
        return text
    if _is_number(words[0]):
        numbers = [_number(word) if _is_number(word) else None for word in words]
        if None in numbers:
            return text
        return numbers[0] if len(numbers) == 1 else numbers
    return _read_shape(words) or text


def number_text(value: Any) -> str:
    """A number as short as it can be without losing anything."""
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    return str(value)


def _argument_text(argument: Any) -> str:
    return " ".join(map(number_text, argument)) if isinstance(argument, list | tuple) else number_text(argument)


def _is_number(word: str) -> bool:
    return not (word[0].isalpha() or word[0] == "_")


def _number(word: str) -> int | float:
    return int(word) if re.fullmatch(r"[+-]?\d{1,15}", word) else float(word)


def _read_shape(words: list[str]) -> Any:
    name, arguments = words[0].lower(), words[1:]
    if name not in SHAPES:
        return None
    found: dict[str, list[Any]] = {}
    for word in arguments:
        if not _is_number(word):
            found[word.lower()] = []
        elif found:
            list(found.values())[-1].append(_number(word))
        else:
            return None
    if any(len(numbers) != 1 for key, numbers in found.items() if key not in _LISTS):
        return None
    return {name: {key: numbers if key in _LISTS else numbers[0] for key, numbers in found.items()}}
