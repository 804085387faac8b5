"""Comments put beside values in a scenario text; nothing else of the text changes."""

from __future__ import annotations

from collections.abc import Mapping

from shopsim.shop.changes import find_path
from shopsim.shop.yaml_tree import compose, locate
from shopsim.shop.yaml_values import plain_value


def with_comments(text: str, comments: Mapping[str, str], head: str = "") -> str:
    """The text with a comment line above each value named by its path, and ``head`` above all.

    Raises ValueError if a path leads nowhere. A text is returned only if it still holds the same values.
    """
    root = compose(text, "")
    values = plain_value(root, "")
    above: dict[int, list[str]] = {}
    for path, comment in comments.items():
        number, _ = locate(root, find_path(values, path))
        above.setdefault(number, []).append(comment)
    newline = "\r\n" if "\r\n" in text else "\n"
    made: list[str] = [f"# {line}".rstrip() for line in head.splitlines()]
    for number, line in enumerate(text.split(newline), start=1):
        indent = line[: len(line) - len(line.lstrip())]
        made += [f"{indent}# {comment}" for comment in above.get(number, ())]
        made.append(line)
    commented = newline.join(made)
    if plain_value(compose(commented, ""), "") != values:
        raise ValueError("the comments would change the file")
    return commented
