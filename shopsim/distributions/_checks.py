"""What all distributions check when they are made; each complaint is a ValueError with the value found."""

import math

import numpy as np
from numpy.typing import NDArray

Sample = NDArray[np.float64]


def require_finite(**fields: float) -> None:
    for name, value in fields.items():
        if not math.isfinite(value):
            raise ValueError(f"{name} must be finite, got {value!r}")


def require_positive(**fields: float) -> None:
    for name, value in fields.items():
        if not 0 < value < math.inf:
            raise ValueError(f"{name} must be positive and finite, got {value!r}")


def require_finite_each(name: str, values: tuple[float, ...]) -> None:
    if not values:
        raise ValueError(f"{name} must hold at least one number, got none")
    for value in values:
        if not math.isfinite(value):
            raise ValueError(f"{name} must all be finite, got {value!r}")


def checked_factor(factor: float) -> float:
    require_positive(factor=factor)
    return factor
