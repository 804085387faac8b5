"""A scenario built in Python, written as a file: what was chosen, without the defaults."""

from __future__ import annotations

import datetime
from typing import Any

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from shopsim.distributions import Distribution
from shopsim.shop.base import read_distribution, write_distribution
from shopsim.shop.materials import Fabric, family_values
from shopsim.shop.model_paths import tags_of
from shopsim.shop.scenario import Scenario
from shopsim.shop.yaml_writing import block


def dump_scenario(scenario: Scenario) -> str:
    """YAML of a scenario; reading it gives an equal scenario. Values equal to their default are left out."""
    blocks = []
    for name, value in scenario_values(scenario).items():
        blocks.append("\n".join(block({name: value}, 0)))
    return "\n\n".join(blocks) + "\n"


def scenario_values(scenario: Scenario) -> dict[str, Any]:
    """The plain values a scenario file would hold, without the defaults."""
    return _model_values(scenario)


def is_default(model: BaseModel, name: str) -> bool:
    """Whether a field has the value it would have if the file left it out."""
    field, value = type(model).model_fields[name], getattr(model, name)
    filled_in = family_values(model.family) if isinstance(model, Fabric) else {}
    return not field.is_required() and bool(value == filled_in.get(name, _default(field, value)))


def _model_values(model: BaseModel) -> dict[str, Any]:
    tags = tags_of(type(model))
    values: dict[str, Any] = {}
    for name in type(model).model_fields:
        value = getattr(model, name)
        if name in ("op", "kind") and tags == (value,):
            # The word by which a reader knows the member of a union stands first, even where it is the default.
            values = {name: value, **values}
        elif not is_default(model, name):
            values[name] = plain(value)
    return values


def _default(field: FieldInfo, value: Any) -> Any:
    default = field.get_default(call_default_factory=False)
    return read_distribution(default) if isinstance(value, Distribution) and default is not None else default


def plain(value: Any) -> Any:
    """Any part of a scenario as a file would hold it, without the defaults. Raises TypeError for anything else."""
    if isinstance(value, BaseModel):
        return _model_values(value)
    if isinstance(value, Distribution):
        return write_distribution(value)
    if isinstance(value, tuple | list):
        return [plain(item) for item in value]
    if isinstance(value, dict):
        return {key: plain(item) for key, item in value.items()}
    if value is None or isinstance(value, str | int | float | datetime.date):
        return value
    raise TypeError(f"no part of a scenario: {value!r}")
