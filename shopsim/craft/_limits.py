"""Guards shared by the craft functions: one wording for every impossible number."""

from math import inf


def positive(name: str, value: float) -> float:
    """Return `value`, or raise ValueError unless it is finite and above 0."""
    if 0.0 < value < inf:
        return value
    raise ValueError(f"{name} must be above 0, found {value!r}")


def not_negative(name: str, value: float) -> float:
    """Return `value`, or raise ValueError unless it is finite and at least 0."""
    if 0.0 <= value < inf:
        return value
    raise ValueError(f"{name} must be at least 0, found {value!r}")


def share(name: str, value: float) -> float:
    """Return `value`, or raise ValueError unless it is from 0 to 1, both included."""
    if 0.0 <= value <= 1.0:
        return value
    raise ValueError(f"{name} must be from 0 to 1, found {value!r}")


def share_above_zero(name: str, value: float) -> float:
    """Return `value`, or raise ValueError unless it is above 0 and at most 1 (something is divided by it)."""
    if 0.0 < value <= 1.0:
        return value
    raise ValueError(f"{name} must be above 0 and at most 1, found {value!r}")


def part_below_one(name: str, value: float) -> float:
    """Return `value`, or raise ValueError unless it is from 0 to below 1 (something must remain)."""
    if 0.0 <= value < 1.0:
        return value
    raise ValueError(f"{name} must be from 0 to below 1, found {value!r}")


def count(name: str, value: int, least: int = 0) -> int:
    """Return `value`, or raise ValueError unless it is a whole number not below `least`."""
    if least <= value < inf and value == int(value):
        return int(value)
    raise ValueError(f"{name} must be a whole number of at least {least}, found {value!r}")
