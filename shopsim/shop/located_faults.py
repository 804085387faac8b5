"""Faults found in the values of a file, put where they stand in its text."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from pydantic import BaseModel, ValidationError
from ruamel.yaml.nodes import MappingNode

from shopsim.errors import Problem
from shopsim.shop.model_paths import Path, path_text
from shopsim.shop.plain_messages import explain
from shopsim.shop.yaml_tree import locate

Fault = tuple[Path, str]


def faults_of(root: type[BaseModel], error: ValidationError) -> list[Fault]:
    """What a model found wrong with the values it was made of, as paths with messages in plain words."""
    explained = (explain(root, each) for each in error.errors(include_url=False))
    return [fault for fault in explained if fault is not None]


def located(root: MappingNode, values: Any, name: str, faults: Iterable[Fault]) -> list[Problem]:
    """The faults as problems of the file ``name`` with its tree and its values, in the order of its lines."""
    problems = [Problem(name, *locate(root, path), path_text(values, path), message) for path, message in faults]
    return sorted(problems, key=lambda problem: (problem.line or 0, problem.column or 0))
