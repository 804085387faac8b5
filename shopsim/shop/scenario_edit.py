"""Changing values in scenario files: every comment, space and quote elsewhere stays as it was.

A changed text is read again before it is returned: one that does not hold exactly the wanted values never leaves here.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from shopsim.errors import Problem, ScenarioError
from shopsim.shop.changes import Change, changed_values, find_path, plain_change
from shopsim.shop.file_text import read_text, write_text
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_file import parse_scenario
from shopsim.shop.yaml_surgery import change_text
from shopsim.shop.yaml_tree import compose
from shopsim.shop.yaml_values import plain_value


def save_scenario(path: str | Path, changes: Iterable[Change]) -> Scenario:
    """Make changes in a scenario file, all or none, and return the scenario it then holds.

    Raises ScenarioError if the file or the changed file is not sound; the file is then as it was.
    """
    path = Path(path)
    text = edit_scenario(read_text(path), changes, str(path))
    scenario = parse_scenario(text, str(path))
    write_text(path, text)
    return scenario


def edit_scenario(text: str, changes: Iterable[Change], name: str = "scenario") -> str:
    """The text with changes made one after the other; it need not be a sound scenario, before or after.

    Raises ScenarioError if the text is no YAML of ours, a path leads nowhere, or a place cannot be changed.
    """
    for change in changes:
        root = compose(text, name)
        values = plain_value(root, name)
        try:
            plain = plain_change(values, change)
            wanted = changed_values(values, plain)
            edited = change_text(text, root, plain, find_path(values, plain.path), wanted)
        except ValueError as fault:
            raise ScenarioError([Problem(name, None, None, change.path, str(fault))]) from None
        if not _holds(edited, wanted):
            message = "this place cannot be changed in the text; edit the file by hand"
            raise ScenarioError([Problem(name, None, None, change.path, message)])
        text = edited
    return text


def _holds(text: str, wanted: dict[str, Any]) -> bool:
    try:
        return bool(plain_value(compose(text, ""), "") == wanted)
    except ScenarioError:
        return False
