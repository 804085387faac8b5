"""Numbers of documents as text: means with their intervals, and money."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from shopsim.measures.measure_names import is_share, unit_of
from shopsim.pictures.text import between, change

Bounds = Mapping[str, Any]
NOTHING = "–"


def told(found: Bounds, measure: str) -> str:
    """A measure's mean with its interval: shares in per cent, e.g. `81 (78 to 84)`."""
    return told_by(found, 100.0 if is_share(measure) else 1.0)


def told_by(found: Bounds, scale: float = 1.0) -> str:
    """A mean with its interval, multiplied by `scale`; shares (scale 100) stay within 0 and 100."""
    if found.get("mean") is None:
        return NOTHING
    ends = (0.0, 100.0) if scale == 100 else ()
    return between(found["mean"], found.get("low"), found.get("high"), scale, *ends)


def step(found: Bounds, scale: float = 1.0) -> str:
    """A difference with its sign and interval, e.g. `+15 (+12 to +18)`."""
    if found.get("mean") is None:
        return NOTHING
    return change(found["mean"], found.get("low"), found.get("high"), scale)


def unit_in(measure: str, currency: str) -> str:
    """A measure's unit as it is told: `%` for shares, the currency's name for CU."""
    unit = "%" if is_share(measure) else unit_of(measure)
    return unit.replace("CU", currency).replace("m2", "m²").replace("1/week", "a week").replace("/week", " a week")
