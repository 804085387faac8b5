"""Texts that the command line tells as well, on a page: what a file calls by a path is called as the pages call it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

from shopsim.shop.forms.layout import PARTS

_TABLES = {
    "policies.bought_in_print": "House rules, Printing bought in", "policies.bought_in": "House rules, Work bought in",
    "bought_in_print": "House rules, Printing bought in", "policies.overtime": "House rules, Overtime",
    "policies.working_time": "House rules, Rest and working hours",
}  # fmt: skip
# What stands in quotes is somebody's name, and stays.
_PATHS = re.compile(r"“[^”]*”|`?\b([a-z]\w*(?:[._]\w+)+)`?(?: \(line \d+\))?")


def on_page(text: str, words: Mapping[str, str] | None = None) -> str:
    """The text with fields and tables by their titles; `words` are what parts are called, by their ids."""

    def told(found: re.Match[str]) -> str:
        path = found[1]
        if path is None:
            return found[0]
        if path in _TABLES:
            return _TABLES[path] if found[0] == path else f"“{_TABLES[path]}”"
        *before, field = path.split(".")
        title = _titles().get(field)
        if title is None:
            return found[0]
        owner = next((words[step] for step in before if words and step in words), "")
        return f"“{title}” of {owner}" if owner else f"“{title}”"

    return _PATHS.sub(told, text)


@cache
def _titles() -> dict[str, str]:
    """What each field is called on the pages, by its name in the file."""
    columns = [column for part in PARTS for layout in part.tables for column in layout.columns]
    return {column.path[-1]: column.label for column in reversed(columns) if column.kind != "group"}
