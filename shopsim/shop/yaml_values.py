"""A YAML tree to plain values: dicts with text keys, lists, numbers, true and false, dates, text and None."""

from __future__ import annotations

import datetime
import re
from typing import Any

from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from shopsim.errors import InputError, Problem, ScenarioError
from shopsim.shop.yaml_tree import place

_TAG = "tag:yaml.org,2002:"
_DATE = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")
_FLOATS = {".inf": float("inf"), "+.inf": float("inf"), "-.inf": float("-inf"), ".nan": float("nan")}
_BASES = {"0o": 8, "0x": 16, "0b": 2}


def plain_value(root: Node, name: str, error: type[InputError] = ScenarioError) -> Any:
    """The tree as dicts with text keys, lists, numbers, true and false, dates, text and None.

    Raises ``error`` with all keys that stand twice or are no text, and all values that only look like a number or date.
    """
    problems: list[Problem] = []
    value = _plain(root, name, problems)
    if problems:
        raise error(sorted(problems, key=lambda problem: (problem.line or 0, problem.column or 0)))
    return value


def _plain(node: Node, name: str, problems: list[Problem]) -> Any:
    if isinstance(node, SequenceNode):
        return [_plain(item, name, problems) for item in node.value]
    if isinstance(node, MappingNode):
        return _plain_mapping(node, name, problems)
    try:
        return _scalar(str(node.value), str(node.tag).removeprefix(_TAG))
    except ValueError as fault:
        problems.append(Problem(name, *place(node), "", str(fault)))
        return None


def _plain_mapping(node: MappingNode, name: str, problems: list[Problem]) -> dict[str, Any]:
    made: dict[str, Any] = {}
    for key, value in node.value:
        if not isinstance(key, ScalarNode):
            problems.append(Problem(name, *place(key), "", "a key must be a plain word"))
        elif key.tag == _TAG + "merge":
            problems.append(Problem(name, *place(key), "", "merge keys (<<) are not allowed; write the keys out"))
        elif key.value in made:
            first = next(other for other, _ in node.value if other.value == key.value)
            message = f"the key {key.value!r} stands here twice; the first is in line {first.start_mark.line + 1}"
            problems.append(Problem(name, *place(key), "", message))
        else:
            made[key.value] = _plain(value, name, problems)
    return made


def _scalar(text: str, kind: str) -> Any:
    if kind == "null":
        return None
    if kind == "bool":
        return text.lower() == "true"
    if kind == "int":
        return _whole_number(text)
    if kind == "float":
        lowered = text.lower().replace("_", "")
        return _FLOATS[lowered] if lowered in _FLOATS else float(lowered)
    if kind == "timestamp":
        return _date(text)
    return text


def _whole_number(text: str) -> int:
    digits = text.replace("_", "")
    if len(digits) > 400:
        raise ValueError(f"a number of {len(digits)} digits is too long")
    bare = digits.lstrip("+-").lower()
    number = int(bare[2:], _BASES[bare[:2]]) if bare[:2] in _BASES else int(bare)
    return -number if digits.startswith("-") else number


def _date(text: str) -> datetime.date:
    match = _DATE.fullmatch(text)
    try:
        if match:
            return datetime.date(int(match[1]), int(match[2]), int(match[3]))
        return datetime.datetime.fromisoformat(text)
    except ValueError:
        raise ValueError(f"there is no such date or time: {text!r}") from None
