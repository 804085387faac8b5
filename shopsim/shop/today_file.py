"""A file of the shop this morning: read strictly against its scenario, every fault with its place; and written."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from shopsim.errors import Problem, TodayError
from shopsim.shop.file_text import read_text
from shopsim.shop.located_faults import read_model
from shopsim.shop.model_paths import path_text
from shopsim.shop.scenario import Scenario
from shopsim.shop.today_checks import check_today
from shopsim.shop.today_model import Today
from shopsim.shop.today_slips import unusual_today
from shopsim.shop.yaml_writing import block


def load_today(path: str | Path, scenario: Scenario) -> tuple[Today, list[Problem]]:
    """The morning in a file, and what looks like a slip. Raises TodayError with every fault found, sorted by line."""
    return parse_today(read_text(Path(path), error=TodayError), str(path), scenario)


def parse_today(text: str, name: str, scenario: Scenario) -> tuple[Today, list[Problem]]:
    """As `load_today`, from a text; ``name`` stands for the file in messages."""
    read = read_model(Today, text, name, TodayError)
    faults = check_today(read.model, scenario)
    if faults:
        raise TodayError(read.problems(faults))
    return read.model, read.problems(unusual_today(read.model, scenario))


def require_fits(today: Today, scenario: Scenario, name: str) -> None:
    """Raise TodayError, without lines, where a morning does not fit a scenario, e.g. one changed by a what-if."""
    faults = check_today(today, scenario)
    if faults:
        raise TodayError(Problem(name, None, None, path_text(today, path), message) for path, message in faults)


def dump_today(today: Today) -> str:
    """YAML of a morning; reading it gives an equal one."""
    return "\n".join(block(_plain(today.model_dump(exclude_defaults=True)), 0)) + "\n"


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    return [_plain(item) for item in value] if isinstance(value, list | tuple) else value


def today_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of files of a morning, for completion in editors."""
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **Today.model_json_schema()}
