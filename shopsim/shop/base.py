"""What every part of the shop on paper shares: strict frozen models, handbook rows, distributions in files.

A field made with `row(...)` carries its trade-handbook row id and usual range; `check` warns, quoting the
row, about values outside it. In a file a distribution is a number (fixed), three numbers (low, typical, high:
triangular) or one named shape, e.g. `{log_normal: {median: 5, p90: 30}}`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Annotated, Any

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Field,
    PlainSerializer,
    PlainValidator,
    WithJsonSchema,
    field_validator,
    model_validator,
)

from shopsim import distributions as shapes
from shopsim.clock import parse_clock
from shopsim.distributions import Distribution

ID_PATTERN = r"^[A-Za-z][A-Za-z0-9_\-]{0,39}$"
MOST = 1e9
# Anything smaller is a slip; dividing by the least floats there are would give infinite times.
LEAST = 1e-9
Id = Annotated[str, Field(pattern=ID_PATTERN)]
STEERING = r"\x00-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069"
"""Signs that steer a terminal or turn a line round, for patterns."""
Label = Annotated[str, Field(max_length=120, pattern=f"^[^{STEERING}]*$")]
Positive = Annotated[float, Field(gt=0, le=1e9)]
NotNegative = Annotated[float, Field(ge=0, le=1e9)]
Percent = Annotated[float, Field(ge=0, le=100)]
Count = Annotated[int, Field(ge=1, le=1000)]


def _is_clock(text: str) -> str:
    parse_clock(text)
    return text


ClockText = Annotated[str, AfterValidator(_is_clock)]
"""A time of day, HH:MM."""


class Base(BaseModel):
    """A frozen, strict model: unknown keys, wrong types, NaN and infinity are refused."""

    model_config = ConfigDict(
        extra="forbid", strict=True, frozen=True, allow_inf_nan=False, arbitrary_types_allowed=True
    )

    @model_validator(mode="before")
    @classmethod
    def _lists_are_tuples(cls, data: Any) -> Any:
        # Files know lists only; a frozen value holds tuples.
        if not isinstance(data, dict):
            return data
        return {key: tuple(value) if isinstance(value, list) else value for key, value in data.items()}

    @field_validator("*", mode="after")
    @classmethod
    def _not_tiny(cls, value: Any) -> Any:
        for number in value if isinstance(value, tuple) else (value,):
            if isinstance(number, float) and 0 < abs(number) < LEAST:
                raise ValueError(f"must be 0 or at least {LEAST:g}, found {number!r}")
        return value


def row(default: Any, row_id: str, low: float | None = None, high: float | None = None, **limits: Any) -> Any:
    """A field whose default comes from a trade-handbook row; `low`..`high` is the row's usual range.

    A default of three numbers is the row's low, typical and high value, and so its range.
    """
    if low is None and isinstance(default, list):
        low, high = default[0], default[-1]
    return Field(default=default, json_schema_extra={"handbook_row": row_id, "usual": [low, high]}, **limits)


SHAPES: dict[str, tuple[Callable[..., Distribution], tuple[str, ...]]] = {
    "uniform": (shapes.Uniform, ("low", "high")),
    "triangular": (shapes.Triangular, ("low", "mode", "high")),
    "exponential": (shapes.Exponential, ("mean",)),
    "gamma": (shapes.Gamma, ("mean", "cv")),
    "erlang": (shapes.Erlang, ("mean", "k")),
    "log_normal": (shapes.LogNormal, ("median", "p90")),
    "weibull": (shapes.Weibull, ("mean", "cv")),
    "empirical": (shapes.Empirical, ("values",)),
    "discrete": (shapes.Discrete, ("values", "weights")),
}


def _number(value: Any, what: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{what} must be a number, found {value!r}")
    if value != value:
        raise ValueError("not a number (NaN) is not allowed")
    if abs(value) > MOST:
        raise ValueError(f"{what} must be at most 1e9")
    if 0 < abs(value) < LEAST:
        raise ValueError(f"{what} must be 0 or at least {LEAST:g}, found {value!r}")
    return float(value)


def _argument(name: str, value: Any) -> Any:
    if name == "k":
        if isinstance(value, bool) or not isinstance(value, int):
            raise ValueError(f"k must be a whole number, found {value!r}")
        return int(value)
    if name in ("values", "weights"):
        if not isinstance(value, list | tuple) or len(value) > 100_000:
            raise ValueError(f"{name} must be a list of numbers, found {value!r}")
        return tuple(_number(v, name) for v in value)
    return _number(value, name)


def read_distribution(value: Any) -> Distribution:
    """A distribution from its form in a file; ValueError says what is allowed."""
    if isinstance(value, Distribution):
        return value
    if isinstance(value, list | tuple):
        if len(value) != 3:
            raise ValueError(f"a list must be three numbers (low, typical, high), found {len(value)}")
        return shapes.Triangular(*(_number(v, "low, typical and high") for v in value))
    if isinstance(value, dict):
        if len(value) != 1 or next(iter(value)) not in SHAPES:
            raise ValueError(f"a shape is one of {', '.join(SHAPES)}, found {', '.join(map(str, value)) or 'nothing'}")
        name, body = next(iter(value.items()))
        make, arguments = SHAPES[name]
        if name == "empirical" and isinstance(body, list | tuple):
            body = {"values": body}
        if not isinstance(body, dict) or set(body) != set(arguments):
            raise ValueError(f"{name} needs exactly {', '.join(arguments)}, found {body!r}")
        return make(*(_argument(key, body[key]) for key in arguments))
    return shapes.Fixed(_number(value, "a distribution"))


def write_distribution(value: Distribution) -> Any:
    """The form in a file of a distribution; `read_distribution` gives it back unchanged."""
    if isinstance(value, shapes.Fixed):
        return value.value
    if isinstance(value, shapes.Triangular):
        return [value.low, value.mode, value.high]
    for name, (make, arguments) in SHAPES.items():
        if type(value) is make:
            body = {key: getattr(value, key) for key in arguments}
            return {name: {k: list(v) if isinstance(v, tuple) else v for k, v in body.items()}}
    raise TypeError(f"not a distribution: {value!r}")


def lowest(value: Distribution) -> float:
    """The least value a distribution can give; 0 for those that reach down to it."""
    if isinstance(value, shapes.Fixed):
        return value.value
    if isinstance(value, shapes.Uniform | shapes.Triangular):
        return value.low
    return min(value.values) if isinstance(value, shapes.Empirical | shapes.Discrete) else 0.0


def highest(value: Distribution) -> float:
    """The greatest value a distribution can give; infinity for those without bound."""
    if isinstance(value, shapes.Fixed):
        return value.value
    if isinstance(value, shapes.Uniform | shapes.Triangular):
        return value.high
    return max(value.values) if isinstance(value, shapes.Empirical | shapes.Discrete) else math.inf


def _not_negative(value: Any) -> Distribution:
    found = read_distribution(value)
    if lowest(found) < 0:
        raise ValueError(f"times and amounts must not be negative, found {found.describe()}")
    try:
        too_large = found.mean > MOST
    except OverflowError:
        too_large = True
    if too_large:
        raise ValueError(f"the mean must be at most 1e9, found {found.describe()}")
    return found


_SCHEMA = {
    "anyOf": [
        {"type": "number"},
        {"type": "array", "items": {"type": "number"}, "minItems": 3, "maxItems": 3},
        {"type": "object", "propertyNames": {"enum": list(SHAPES)}, "minProperties": 1, "maxProperties": 1},
    ]
}
Spread = Annotated[
    Distribution, PlainValidator(_not_negative), PlainSerializer(write_distribution), WithJsonSchema(_SCHEMA)
]
"""A distribution of something that cannot be negative."""


def _time_between(value: Any) -> Distribution:
    found = _not_negative(value)
    if found.mean < LEAST:
        raise ValueError(f"must be at least {LEAST:g} on average, found {found.describe()}")
    return shapes.Exponential(found.value) if isinstance(found, shapes.Fixed) else found


TimeBetween = Annotated[
    Distribution, PlainValidator(_time_between), PlainSerializer(write_distribution), WithJsonSchema(_SCHEMA)
]
"""A time between failures. A number is the mean of those that come at random (exponential), not a fixed time."""
