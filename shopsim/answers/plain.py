"""Pieces of documents that several questions share: plain values, null where there is no number."""

from __future__ import annotations

import json
import math
from typing import Any

from shopsim.figures import Figure, figure, percent
from shopsim.studies.precision import Interval


def bounds(found: Interval) -> dict[str, float | None]:
    """A mean and its interval."""
    return {"mean": found.mean, "low": found.low, "high": found.high}


def measure_figure(measure: dict[str, Any], runs: int, scale: float = 1.0) -> Figure:
    """A measure of a document, `bounds` with its unit, as tables say it: shares in per cent, nothing below 0."""
    mean, low, high = (measure[name] for name in ("mean", "low", "high"))
    known = low is not None and high is not None
    found = Interval(math.nan if mean is None else mean, low, high, (high - low) / 2 if known else None, runs)
    return percent(found) if measure["unit"] == "1" else figure(found, scale, least=0)


def held_back_by(top: tuple[str, Interval] | None) -> dict[str, Any] | None:
    """What holds a shop back, and how much of the time."""
    return {"id": top[0], "share": top[1].mean} if top else None


def typed(number: float) -> str:
    """A number as one types it on a command line, which reads back as the same."""
    short = f"{number:g}"
    return short if float(short) == number else repr(float(number))


def typed_pct(share: float, scale: float = 100.0) -> str:
    """A share as one types it in per cent, which is the same share once it is read."""
    short = f"{share * scale:.12g}"
    return short if float(short) / scale == share else repr(share * scale)


def json_text(document: dict[str, Any], ascii_only: bool = False) -> str:
    """A document as JSON, if need be with every sign beyond ASCII escaped. NaN and infinity become null."""
    return json.dumps(without_nan(document), indent=2, ensure_ascii=ascii_only, allow_nan=False) + "\n"


def without_nan(value: Any) -> Any:
    """The same with None for every number that JSON cannot hold, and lists for tuples."""
    if isinstance(value, dict):
        return {key: without_nan(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [without_nan(item) for item in value]
    return None if isinstance(value, float) and not math.isfinite(value) else value
