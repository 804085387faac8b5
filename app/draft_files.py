"""Files somebody gave, by the place they belong to in a draft."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from shopsim.errors import Problem, ScenarioError
from shopsim.shop.file_text import MAX_BYTES, decode
from shopsim.shop.yaml_tree import compose
from shopsim.shop.yaml_values import plain_value

WHAT_IFS = "what_ifs"
MORNINGS = "mornings"
_LONGEST_NAME = 120


def sorted_out(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """Files by the place they belong to; the order book under the name that the scenario has for it.

    Raises ScenarioError unless there is exactly one scenario among them.
    """
    yamls = {name: data for name, data in files.items() if name.lower().endswith((".yaml", ".yml"))}
    values = {name: values_of(name, data) for name, data in yamls.items()}
    shops = [name for name in yamls if "changes" not in values[name]]
    if len(shops) != 1:
        found = "none" if not shops else ", ".join(shops)
        raise ScenarioError([Problem("", None, None, "", f"one scenario file (.yaml) is needed, found {found}")])
    made = {f"{slug(Path(shops[0]).stem)}.yaml": yamls[shops[0]]}
    books = {name: data for name, data in files.items() if name not in yamls}
    wanted = wanted_book(values[shops[0]])
    if wanted and books:
        fits = [name for name in books if Path(name).name == Path(wanted).name]
        fits = fits or [name for name in books if Path(name).suffix.lower() == Path(wanted).suffix.lower()]
        if fits:
            made[wanted] = books[fits[0]]
    base = next(iter(made))
    for name in yamls:
        if name not in shops:
            made[f"{WHAT_IFS}/{slug(Path(name).stem)}.yaml"] = _with_base(name, yamls[name], f"../{base}")
    return made


def values_of(name: str, data: bytes) -> dict[str, Any]:
    """The plain values of a YAML file. Raises ScenarioError for one that is too large or cannot be read."""
    if len(data) > MAX_BYTES:
        raise ScenarioError([Problem(name, None, None, "", f"must be at most {MAX_BYTES / 1e6:g} MB")])
    return plain_value(compose(decode(data, name), name), name)


def wanted_book(values: Mapping[str, Any]) -> str:
    """The file of the order book, if it is one below the scenario's folder."""
    demand = values.get("demand")
    book = demand.get("order_book") if isinstance(demand, dict) else None
    name = book.get("file") if isinstance(book, dict) else None
    if not isinstance(name, str) or len(name) > _LONGEST_NAME or not name.isprintable():
        return ""
    if Path(name).is_absolute() or ".." in Path(name).parts:
        return ""
    return name


def _with_base(name: str, data: bytes, base: str) -> bytes:
    """A what-if file that starts from the scenario as it is called here."""
    text = decode(data, name)
    return re.sub(r"(?m)^base:.*$", lambda _: f"base: {base}", text, count=1).encode()


def slug(name: str) -> str:
    """A file name made of letters, digits and underscores."""
    return re.sub(r"[^a-z0-9]+", "_", name.lower()).strip("_")[:60] or "shop"
