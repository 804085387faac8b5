"""What study methods check about the numbers they are given; each complaint is a ValueError with the value found."""

from __future__ import annotations

import math
from collections.abc import Sequence


def require_numbers(name: str, values: Sequence[float], at_least: int) -> None:
    """Refuse fewer numbers than a method needs, and any that is not finite: a series has no place for a gap."""
    if len(values) < at_least:
        raise ValueError(f"{name} must hold at least {at_least} numbers, found {len(values)}")
    for value in values:
        if not math.isfinite(value):
            raise ValueError(f"{name} must all be finite, found {value!r}")


def finite(value: float) -> float:
    """A replication's number, for methods that have no way to leave one out."""
    if not math.isfinite(value):
        raise ValueError(f"every replication must give a finite number, found {value!r}")
    return value


def require_above_zero(**fields: float) -> None:
    for name, value in fields.items():
        if not 0 < value < math.inf:
            raise ValueError(f"{name} must be above 0, found {value!r}")


def require_count(name: str, value: int, at_least: int) -> None:
    if value < at_least:
        raise ValueError(f"{name} must be at least {at_least}, found {value!r}")


def error_share(confidence_pct: float) -> float:
    """The chance of error that a stated confidence leaves, e.g. 0.05."""
    if not 0 < confidence_pct < 100:
        raise ValueError(f"confidence_pct must be between 0 and 100, found {confidence_pct!r}")
    return 1 - confidence_pct / 100
