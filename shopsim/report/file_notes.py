"""What a scenario file says beside its values: its comments, by the path of the value they stand at."""

from __future__ import annotations

from shopsim.shop.model_paths import path_text
from shopsim.shop.yaml_tree import compose, places_in
from shopsim.shop.yaml_values import plain_value

_LONGEST = 300


def notes_beside(text: str, name: str) -> dict[str, str]:
    """The comment at the end of a value's line, or the comment lines right above it, by path as `path_text` writes it.

    A line with several values gives its comment to each of them. Raises ScenarioError for text that is no sound file.
    """
    root = compose(text, name)
    values = plain_value(root, name)
    lines = text.splitlines()
    found = {}
    for path, (line, _) in places_in(root).items():
        note = _beside(lines, line)
        if note:
            found[path_text(values, path)] = note
    return found


def _beside(lines: list[str], number: int) -> str:
    own = _comment(lines[number - 1])
    if own:
        return own[:_LONGEST]
    above: list[str] = []
    at = number - 2
    while at >= 0 and lines[at].strip().startswith("#"):
        above.insert(0, lines[at].strip().lstrip("#").strip())
        at -= 1
    # A rule or heading between parts of the file belongs to no value.
    return "" if any("----" in line for line in above) else " ".join(above)[:_LONGEST]


def _comment(line: str) -> str:
    """What follows the `#` that begins a comment; one inside quotes begins none."""
    quote = ""
    for at, sign in enumerate(line):
        if quote:
            quote = "" if sign == quote else quote
        elif sign in "\"'" and (at == 0 or line[at - 1] in " :[{,("):
            quote = sign
        elif sign == "#" and (at == 0 or line[at - 1] in " \t") and line[:at].strip():
            return line[at + 1 :].strip()
    return ""
