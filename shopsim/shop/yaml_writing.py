"""Plain values to YAML text: flow style where it fits a line, block style where it does not."""

from __future__ import annotations

import datetime
import json
import re
from typing import Any

LINE_LENGTH = 110
# Text that stands without quotes and cannot be taken for anything else.
_PLAIN_TEXT = re.compile(r"[A-Za-z][A-Za-z0-9_./%()+-]*( [A-Za-z0-9_./%()+-]+)*")
_NOT_TEXT = re.compile(r"null|true|false", re.IGNORECASE)
# JSON leaves these bare, but YAML takes them for line ends or refuses them.
_UNSAFE = re.compile("[\\x7f-\\x9f\\u2028\\u2029\\ufeff\\ufffe\\uffff\\ud800-\\udfff]")


def flow(value: Any) -> str:
    """One line of YAML for text, numbers, dates, lists and dicts with text keys. Raises TypeError for anything else."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{flow(key)}: {flow(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(flow(item) for item in value) + "]"
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return _float(value)
    if isinstance(value, int):
        return str(int(value))
    if isinstance(value, datetime.datetime):
        return value.isoformat(" ")
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, str):
        return _text(value)
    raise TypeError(f"cannot be written as YAML: {value!r}")


def block(value: Any, indent: int) -> list[str]:
    """Lines of YAML for a list or dict, indented; parts that fit a line are in flow style."""
    lines: list[str] = []
    pad = " " * indent
    if isinstance(value, dict):
        for key, item in value.items():
            lines += _entry(f"{pad}{flow(key)}:", item, indent + 2)
    else:
        for item in value:
            if isinstance(item, dict | list | tuple) and item and not _fits(f"{pad}- ", item):
                inner = block(item, indent + 2)
                lines += [f"{pad}- {inner[0].lstrip()}", *inner[1:]]
            else:
                lines.append(f"{pad}- {flow(item)}")
    return lines


def _entry(head: str, item: Any, indent: int) -> list[str]:
    if isinstance(item, dict | list | tuple) and item and not _fits(f"{head} ", item):
        return [head, *block(item, indent)]
    return [f"{head} {flow(item)}"]


def _fits(head: str, value: Any) -> bool:
    # Items with an id are what people look for in a file: each of them starts a line of its own.
    if isinstance(value, list | tuple) and any(isinstance(item, dict) for item in value):
        return False
    return len(head) + len(flow(value)) <= LINE_LENGTH


def _float(value: float) -> str:
    if value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    if value != value:
        return ".nan"
    return repr(value).replace("inf", ".inf")


def _text(value: str) -> str:
    if _PLAIN_TEXT.fullmatch(value) and not _NOT_TEXT.fullmatch(value):
        return value
    return _UNSAFE.sub(lambda match: f"\\u{ord(match[0]):04x}", json.dumps(value, ensure_ascii=False))
