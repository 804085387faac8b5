"""Numbers of documents as text: means with their intervals, and money."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from shopsim.figures import POINTS
from shopsim.measures.measure_names import is_share, least_of, scale_of, unit_of
from shopsim.pictures.text import between, change

Bounds = Mapping[str, Any]
NOTHING = "–"


def told(found: Bounds, measure: str, scale: float | None = None) -> str:
    """A measure's mean with its interval, e.g. `81 (78 to 84)`: shares in per cent, all else multiplied by `scale`.

    Bounds stay where means of the measure can lie.
    """
    most = POINTS if is_share(measure) else math.inf
    return told_by(found, scale or scale_of(measure), least_of(measure), most)


def told_by(found: Bounds, scale: float = 1.0, least: float = -math.inf, most: float = math.inf) -> str:
    """A mean with its interval, multiplied by `scale`; bounds (scaled) never leave `least` to `most`."""
    if found.get("mean") is None:
        return NOTHING
    return between(found["mean"], found.get("low"), found.get("high"), scale, least, most)


def step(found: Bounds, scale: float = 1.0) -> str:
    """A difference with its sign and interval, e.g. `+15 (+12 to +18)`; of shares with scale 100."""
    if found.get("mean") is None:
        return NOTHING
    return change(found["mean"], found.get("low"), found.get("high"), scale)


def unit_in(measure: str, currency: str) -> str:
    """A measure's unit as it is told: `%` for shares, the currency's name for CU."""
    unit = "%" if is_share(measure) else unit_of(measure)
    return unit.replace("CU", currency).replace("m2", "m²").replace("1/week", "a week").replace("/week", " a week")
