"""Inputs somebody is unsure of, as ranges over values of a scenario: read strictly, checked against that scenario.

A file holds `ranges: [{path: crews.sewers.efficiency_pct, low: 65, high: 85, shape: triangular, likely: 72}]`; paths
are written as in messages and what-ifs, in quotes where they hold a [number], and lead to one number each.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, Literal, get_args, get_origin

from pydantic import Field, model_validator

from shopsim.errors import Problem, RangesError
from shopsim.shop.base import Base
from shopsim.shop.changes import Change, changed_values, find_path
from shopsim.shop.default_values import at_root
from shopsim.shop.file_text import read_text
from shopsim.shop.located_faults import Fault, read_model
from shopsim.shop.model_paths import path_text
from shopsim.shop.plain_messages import did_you_mean, found
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import scenario_or_faults

Bound = Annotated[float, Field(ge=-1e9, le=1e9)]


class InputRange(Base):
    """One input: where it stands in the scenario, and between which values it lies; `likely` is a triangle's top."""

    path: Annotated[str, Field(min_length=1, max_length=300)]
    low: Bound
    high: Bound
    shape: Literal["uniform", "triangular"] = "uniform"
    likely: Bound | None = None

    @model_validator(mode="after")
    def _rises(self) -> InputRange:
        if self.low >= self.high:
            raise ValueError(f"`low` must be below `high`, found {self.low:g} and {self.high:g}")
        if self.likely is not None and self.shape != "triangular":
            raise ValueError("`likely` goes with the shape triangular")
        if self.likely is not None and not self.low <= self.likely <= self.high:
            raise ValueError(f"`likely` must be from {self.low:g} to {self.high:g}, found {self.likely:g}")
        return self


class RangesFile(Base):
    """A file of ranges."""

    ranges: tuple[InputRange, ...] = Field(min_length=1, max_length=100)


@dataclass(frozen=True, slots=True)
class Unsure:
    """A range that fits its scenario: `now` is the value there, `whole` says that only whole numbers may stand there.

    `given` has `likely` filled in for triangles: the value now where it lies in the range, else the middle.
    """

    given: InputRange
    now: float
    whole: bool


def load_ranges(path: str | Path, scenario: Scenario) -> tuple[Unsure, ...]:
    """The ranges in a file. Raises RangesError with every fault found, sorted by line."""
    return parse_ranges(read_text(Path(path), error=RangesError), str(path), scenario)


def parse_ranges(text: str, name: str, scenario: Scenario) -> tuple[Unsure, ...]:
    """The ranges in a text; ``name`` stands for the file in messages. Raises RangesError with every fault found."""
    read = read_model(RangesFile, text, name, RangesError)
    made, faults = _fitted(read.model.ranges, scenario)
    if faults:
        raise RangesError(read.problems(faults))
    return made


def check_ranges(ranges: Iterable[InputRange], scenario: Scenario, name: str) -> tuple[Unsure, ...]:
    """Ranges made in Python or on a command line. Raises RangesError with every fault found, without lines."""
    given = tuple(ranges)
    made, faults = _fitted(given, scenario)
    if faults:
        raise RangesError(Problem(name, None, None, given[int(path[1])].path, text) for path, text in faults)
    return made


def with_values(scenario: Scenario, ranges: Sequence[Unsure], values: Sequence[float]) -> Scenario:
    """The scenario with other values at the paths. Raises RangesError where these do not go together."""
    plain = _changed(scenario_values(scenario), ranges, values)
    made = scenario_or_faults(plain)
    if isinstance(made, Scenario):
        return made
    chosen = ", ".join(f"{one.given.path}={value:g}" for one, value in zip(ranges, values, strict=True))
    raise RangesError(Problem(f"with {chosen}", None, None, path_text(plain, path), message) for path, message in made)


def _changed(plain: dict[str, Any], ranges: Sequence[Unsure], values: Sequence[float]) -> dict[str, Any]:
    for one, value in zip(ranges, values, strict=True):
        plain = changed_values(plain, Change("set", one.given.path, int(value) if one.whole else value))
    return plain


def _fitted(ranges: Sequence[InputRange], scenario: Scenario) -> tuple[tuple[Unsure, ...], list[Fault]]:
    plain = scenario_values(scenario)
    made: list[Unsure] = []
    faults: list[Fault] = []
    seen: set[str] = set()
    for number, one in enumerate(ranges):
        if one.path in seen:
            faults.append((("ranges", number, "path"), f"a second range for {one.path!r}"))
            continue
        seen.add(one.path)
        unsure = _at_its_place(one, plain)
        if isinstance(unsure, str):
            faults.append((("ranges", number, "path"), unsure))
            continue
        made.append(unsure)
        faults += [(("ranges", number, *path), message) for path, message in _faults_of_ends(unsure, plain)]
    return tuple(made), faults


def _at_its_place(one: InputRange, plain: dict[str, Any]) -> Unsure | str:
    """The range with what stands at its path now, or why it cannot stand there."""
    try:
        path = find_path(plain, one.path)
    except ValueError as fault:
        return str(fault)
    spot = at_root(plain)
    for depth, part in enumerate(path, start=1):
        names = spot.here if isinstance(spot.here, dict) else ()
        spot = spot.item(part) if isinstance(part, int) else spot.key(part)
        if depth < len(path) and spot.here is None:
            return f"{one.path} must lead to a number, but there is no {part!r}{did_you_mean(part, names)}"
    now = spot.here
    if isinstance(now, bool) or not isinstance(now, int | float):
        numbers = "; give the path of one of its numbers" if isinstance(now, dict | list) else ""
        return f"{one.path} must lead to a number, found {found(now)}{numbers}"
    middle = float(now) if one.low <= now <= one.high else (one.low + one.high) / 2
    likely = one.likely if one.likely is not None or one.shape == "uniform" else middle
    return Unsure(one.model_copy(update={"likely": likely}), float(now), _is_whole(spot.kind))


def _is_whole(kind: Any) -> bool:
    return kind is int or (get_origin(kind) is Annotated and get_args(kind)[0] is int)


def _faults_of_ends(one: Unsure, plain: dict[str, Any]) -> list[Fault]:
    faults: list[Fault] = []
    for end in ("low", "high"):
        value = getattr(one.given, end)
        if one.whole and value != int(value):
            faults.append(((end,), f"{one.given.path} must be a whole number, found {value:g}"))
            continue
        made = scenario_or_faults(_changed(plain, [one], [value]))
        if not isinstance(made, Scenario):
            faults += [((end,), f"{path_text(plain, path)}: {message}") for path, message in made]
    return faults
