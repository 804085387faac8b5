"""Reading scenario files: text in, one sound `Scenario` out, or every fault at once with its place. Start reading here.

The text becomes a tree (`yaml_tree`), the tree plain values (`yaml_values`), the values models, whose faults
`plain_messages` words; `cross_checks` finds what no part can see alone, `handbook_warnings` what is merely unusual.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from shopsim.errors import Problem, ScenarioError
from shopsim.shop.cross_checks import cross_check
from shopsim.shop.file_text import read_text
from shopsim.shop.handbook_warnings import find_unusual
from shopsim.shop.located_faults import Fault, faults_of, located, read_model
from shopsim.shop.model_paths import path_text
from shopsim.shop.scenario import Scenario
from shopsim.shop.yaml_tree import compose
from shopsim.shop.yaml_values import plain_value


def load_scenario(path: str | Path) -> Scenario:
    """The scenario in a file. Raises ScenarioError with every fault found, sorted by line."""
    return load_with_warnings(path)[0]


def load_with_warnings(path: str | Path) -> tuple[Scenario, list[Problem]]:
    """The scenario in a file, and the values in it that lie outside their usual range of the handbook.

    Raises ScenarioError with every fault found, sorted by line.
    """
    return parse_with_warnings(read_text(Path(path)), str(path))


def parse_scenario(text: str, name: str) -> Scenario:
    """The scenario in a text; ``name`` stands for the file in messages. Raises ScenarioError with every fault found."""
    return parse_with_warnings(text, name)[0]


def parse_with_warnings(text: str, name: str) -> tuple[Scenario, list[Problem]]:
    """As `load_with_warnings`, from a text; ``name`` stands for the file in messages."""
    read = read_model(Scenario, text, name, ScenarioError)
    faults = cross_check(read.model)
    if faults:
        raise ScenarioError(read.problems(faults))
    return read.model, read.problems(find_unusual(read.model))


def check_values(values: dict[str, Any], name: str) -> Scenario:
    """The scenario made of plain values (a form, a changed scenario). Raises ScenarioError without lines."""
    made = scenario_or_faults(values)
    if isinstance(made, Scenario):
        return made
    raise ScenarioError(Problem(name, None, None, path_text(values, path), message) for path, message in made)


def scenario_or_faults(values: dict[str, Any]) -> Scenario | list[Fault]:
    """The scenario made of plain values, or every fault that keeps them from being one."""
    try:
        scenario = Scenario.model_validate(values)
    except ValidationError as error:
        return faults_of(Scenario, error)
    return cross_check(scenario) or scenario


def problem_at(text: str, name: str, path: Sequence[str | int], message: str) -> Problem:
    """A problem with a value of a sound scenario text, with its place."""
    root = compose(text, name)
    return located(root, plain_value(root, name), name, [(tuple(path), message)])[0]


def scenario_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of scenario files, for completion in editors; handbook rows stand in descriptions."""
    schema = Scenario.model_json_schema()
    for model in [schema, *schema.get("$defs", {}).values()]:
        for field in model.get("properties", {}).values():
            row_id = field.pop("handbook_row", None)
            low, high = field.pop("usual", (None, None))
            if row_id is not None:
                usual = f"; usual {low:g} to {high:g}" if low is not None and high is not None else ""
                field["description"] = f"{field.get('description', '')} Handbook {row_id}{usual}.".strip()
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}
