"""Faults found in the values of a file, put where they stand in its text."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Generic, NamedTuple, TypeVar

from pydantic import BaseModel, ValidationError
from ruamel.yaml.nodes import MappingNode

from shopsim.errors import InputError, Problem
from shopsim.shop.model_paths import Path, path_text
from shopsim.shop.plain_messages import explain
from shopsim.shop.yaml_tree import compose, locate
from shopsim.shop.yaml_values import plain_value

Fault = tuple[Path, str]
Model = TypeVar("Model", bound=BaseModel)


def faults_of(root: type[BaseModel], error: ValidationError) -> list[Fault]:
    """What a model found wrong with the values it was made of, as paths with messages in plain words."""
    explained = (explain(root, each) for each in error.errors(include_url=False))
    return [fault for fault in explained if fault is not None]


def located(root: MappingNode, values: Any, name: str, faults: Iterable[Fault]) -> list[Problem]:
    """The faults as problems of the file ``name`` with its tree and its values, in the order of its lines."""
    problems = [Problem(name, *locate(root, path), path_text(values, path), message) for path, message in faults]
    return sorted(problems, key=lambda problem: (problem.line or 0, problem.column or 0))


class FileOf(NamedTuple, Generic[Model]):
    """A file as its model, with what it takes to put further faults where they stand in its text."""

    model: Model
    root: MappingNode
    values: dict[str, Any]
    name: str

    def problems(self, faults: Iterable[Fault]) -> list[Problem]:
        """The faults as problems of this file, in the order of its lines."""
        return located(self.root, self.values, self.name, faults)


def read_model(model: type[Model], text: str, name: str, error: type[InputError]) -> FileOf[Model]:
    """A YAML text as a model; ``name`` stands for the file in messages. Raises ``error`` with every fault found."""
    root = compose(text, name, error)
    values = plain_value(root, name, error)
    try:
        return FileOf(model.model_validate(values), root, values, name)
    except ValidationError as found:
        raise error(located(root, values, name, faults_of(model, found))) from None
