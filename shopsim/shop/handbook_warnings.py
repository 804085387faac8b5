"""Values a practitioner would look at twice: possible, but outside the usual range of their trade-handbook row.

Only values that were written warn. Zero says "none" on purpose and never warns.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from pydantic import BaseModel

from shopsim import distributions as shapes
from shopsim.errors import Problem
from shopsim.shop.model_paths import Path, path_text
from shopsim.shop.scenario import Scenario

# A value this many times beyond its range is more likely a slip of unit than an unusual shop.
_FAR = 3.0
_FACTORS = (10.0, 100.0, 1000.0)
_TIME_ENDINGS = ("_min", "_s", "_h", "_days", "minutes", "hours")


def handbook_warnings(scenario: Scenario) -> list[Problem]:
    """Every written value outside its row's usual range (a distribution by its mean), without file and line."""
    return [Problem("", None, None, path_text(scenario, path), message) for path, message in find_unusual(scenario)]


def find_unusual(scenario: Scenario) -> list[tuple[Path, str]]:
    """As `handbook_warnings`, with paths as tuples of keys and list positions."""
    return list(_unusual(scenario, ()))


def _unusual(value: Any, path: Path) -> Iterator[tuple[Path, str]]:
    if isinstance(value, tuple):
        for index, item in enumerate(value):
            yield from _unusual(item, (*path, index))
    elif isinstance(value, BaseModel):
        for name, field in type(value).model_fields.items():
            if name in value.model_fields_set:
                extra = field.json_schema_extra
                if isinstance(extra, dict) and "usual" in extra:
                    yield from _judged(getattr(value, name), (*path, name), extra)
                yield from _unusual(getattr(value, name), (*path, name))


def _judged(value: Any, path: Path, extra: dict[str, Any]) -> Iterator[tuple[Path, str]]:
    low, high = extra["usual"]
    number = value.mean if isinstance(value, shapes.Distribution) else value
    if isinstance(number, bool) or not isinstance(number, int | float) or low is None or high is None:
        return
    if number == 0 or low <= number <= high:
        return
    far = number > _FAR * high or number < low / _FAR
    shown = f"{number:.6g}" if isinstance(value, int | float | shapes.Fixed) else f"a mean of {number:.4g}"
    message = (
        f"{shown} is {'far ' if far else ''}outside the usual {low:g} to {high:g} (handbook {extra['handbook_row']})"
    )
    meant = _meant(number, low, high, str(path[-1])) if far else None
    yield path, message + (f"; was {meant:.4g} meant?" if meant is not None else "")


def _meant(number: float, low: float, high: float, name: str) -> float | None:
    factors = (*_FACTORS, 60.0) if name.endswith(_TIME_ENDINGS) else _FACTORS
    candidates = [number * factor for factor in factors] + [number / factor for factor in factors]
    inside = [candidate for candidate in candidates if low <= candidate <= high and candidate > 0]
    middle = math.sqrt(low * high) if low > 0 else high / 2
    return min(inside, key=lambda candidate: abs(math.log(candidate / middle)), default=None)
