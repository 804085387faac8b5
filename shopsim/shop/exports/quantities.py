"""Numbers as people write them: decimal point or comma, thousands, and units behind them.

Every reader returns the value and, where something beyond the mapping had to be understood, a note; it raises
ValueError where a text could mean two things. Nothing is guessed.
"""

from __future__ import annotations

import datetime
import math
import re
from typing import Any

from shopsim.shop.plain_messages import found

DecimalMark = str | None
_SPACES = "\u00a0\u202f\u2009\u2007"
_POINT = re.compile(r"[+-]?(\d{1,15}|\d{1,3}([ ,'’]\d{3})+)(\.\d{1,15})?")
_COMMA = re.compile(r"[+-]?(\d{1,15}|\d{1,3}([ .'’]\d{3})+)(,\d{1,15})?")
_ABOUT = re.compile(r"(ca\.?|circa|approx\.?|about|etwa|~)\s*", re.IGNORECASE)
_QUANTITY = re.compile(r"([+-]?[\d.,'’ ]*\d)\s*([^\d\s].*)?")
_SIDES = re.compile(r"\s*[x×*]\s*", re.IGNORECASE)
_SIDE_NAMES = re.compile(r"^(w|b|h|width|height|breite|höhe)\b\.?\s*:?\s*|\s*\(?\b(w|b|h)\)?$", re.IGNORECASE)

_LENGTHS = {
    "m": 1.0, "mtr": 1.0, "metre": 1.0, "metres": 1.0, "meter": 1.0, "meters": 1.0, "lfm": 1.0, "cm": 0.01,
    "mm": 0.001, "in": 0.0254, "inch": 0.0254, "inches": 0.0254, '"': 0.0254, "ft": 0.3048, "feet": 0.3048, "'": 0.3048,
}  # fmt: skip
_AREAS = {
    "m2": 1.0, "m²": 1.0, "sqm": 1.0, "sq m": 1.0, "qm": 1.0, "cm2": 1e-4, "cm²": 1e-4, "mm2": 1e-6, "mm²": 1e-6,
    "ft2": 0.09290304, "ft²": 0.09290304, "sqft": 0.09290304, "sq ft": 0.09290304,
}  # fmt: skip
_MINUTES = {
    "min": 1.0, "mins": 1.0, "minute": 1.0, "minutes": 1.0, "minuten": 1.0, "h": 60.0, "hr": 60.0, "hrs": 60.0,
    "hour": 60.0, "hours": 60.0, "std": 60.0, "stunde": 60.0, "stunden": 60.0, "s": 1 / 60, "sec": 1 / 60,
    "secs": 1 / 60, "second": 1 / 60, "seconds": 1 / 60, "sek": 1 / 60, "sekunden": 1 / 60,
}  # fmt: skip
_PIECES = {
    "pcs": 1.0, "pc": 1.0, "pieces": 1.0, "piece": 1.0, "stk": 1.0, "stück": 1.0, "st": 1.0, "x": 1.0, "×": 1.0,
    "ea": 1.0, "each": 1.0, "off": 1.0, "units": 1.0,
}  # fmt: skip
UNITS = {"length": _LENGTHS, "area": _AREAS, "minutes": _MINUTES, "whole": _PIECES, "count": _PIECES}
_CLOCK = re.compile(r"(\d{1,4}):(\d{2})(?::(\d{2}))?\s*(\D*)")
_LONG = re.compile(r"(\d+)\s*(?:h|hrs?|std\.?|stunden?)\s*(?:(\d{1,2})\s*(?:m|min|mins|minuten)?\.?)", re.IGNORECASE)


def read_number(text: str, mark: DecimalMark) -> tuple[float, str | None]:
    """The number in a text; ``mark`` is its decimal mark, None where the mapping does not say.

    Raises ValueError for text that is no number, or two different ones.
    """
    text = _tidied(text)
    readings = {"." : _as(_POINT, text, ".", " ,'’"), ",": _as(_COMMA, text, ",", " .'’")}  # fmt: skip
    known = {sign: value for sign, value in readings.items() if value is not None}
    if not known:
        raise ValueError(f"must be a number, found {found(text)}")
    if mark in known:
        return known[mark], None
    if mark is None and len(set(known.values())) > 1:
        point, comma = known["."], known[","]
        raise ValueError(f"{found(text)} could be {point:g} or {comma:g}; give `decimal_mark`")
    value = next(iter(known.values()))
    if mark is None:
        return value, None
    other = "point" if mark == "," else "comma"
    return value, f"{text!r} read as {value:g}, with a decimal {other}"


def read_quantity(cell: Any, kind: str, unit: str | None, mark: DecimalMark) -> tuple[float, str | None]:
    """A length in m, an area in m², a time in minutes or a count, from a cell with or without a unit of its own.

    ``unit`` is the mapping's unit, for bare numbers; a unit in the cell goes before it and is noted where it differs.
    Raises ValueError for other units, no unit at all, and anything below 0.
    """
    units = UNITS[kind]
    if kind == "minutes" and (isinstance(cell, datetime.time | datetime.timedelta) or _is_clock(cell)):
        return _clock_minutes(cell, unit)
    if isinstance(cell, bool) or not isinstance(cell, int | float | str):
        raise ValueError(f"must be a number, found {found(cell)}")
    if isinstance(cell, int | float):
        return _scaled(float(cell), unit, units, kind, cell), None
    text, about = _without_about(_tidied(cell))
    match = _QUANTITY.fullmatch(text)
    if match is None:
        raise ValueError(f"must be a number with a unit, found {found(cell)}")
    number, note = read_number(match[1], mark)
    own = _unit_in(match[2], units)
    if match[2] and own is None:
        raise ValueError(f"unknown unit in {found(cell)}; known: {', '.join(units)}")
    value = _scaled(number, own or unit, units, kind, cell)
    if about or (own is not None and kind not in ("whole", "count") and units[own] != units.get(unit or "")):
        note = f"{_tidied(cell)!r} read as {_shown(value, kind)}"
    return value, note


def read_size(cell: Any, unit: str | None, mark: DecimalMark) -> tuple[tuple[float, float], str | None]:
    """Width and height in m from one cell like ``200 x 100 cm``; a unit behind the second counts for both.

    Raises ValueError for anything but two lengths.
    """
    if not isinstance(cell, str):
        raise ValueError(f"must be two lengths like 200 x 100 cm, found {found(cell)}")
    parts = [_SIDE_NAMES.sub("", part.strip()) for part in _SIDES.split(_tidied(cell))]
    if len(parts) != 2:
        raise ValueError(f"must be two lengths like 200 x 100 cm, found {found(cell)}")
    last = _QUANTITY.fullmatch(parts[1])
    shared = _unit_in(last[2], _LENGTHS) if last else None
    width, one = read_quantity(parts[0], "length", shared or unit, mark)
    height, _ = read_quantity(parts[1], "length", unit, mark)
    if one or (shared is not None and _LENGTHS[shared] != _LENGTHS.get(unit or "")):
        return (width, height), f"{_tidied(cell)!r} read as {width:g} m x {height:g} m"
    return (width, height), None


def _tidied(text: str) -> str:
    for space in _SPACES:
        text = text.replace(space, " ")
    return text.removeprefix("'").strip()


def _as(pattern: re.Pattern[str], text: str, mark: str, groups: str) -> float | None:
    if not pattern.fullmatch(text):
        return None
    for sign in groups:
        text = text.replace(sign, "")
    return float(text.replace(mark, "."))


def _without_about(text: str) -> tuple[str, bool]:
    match = _ABOUT.match(text)
    return (text[match.end() :], True) if match else (text, False)


def _unit_in(text: str | None, units: dict[str, float]) -> str | None:
    name = (text or "").strip().casefold().rstrip(".")
    return name if name in units else None


def _scaled(number: float, unit: str | None, units: dict[str, float], kind: str, cell: Any) -> float:
    if unit is None:
        if kind not in ("whole", "count"):
            raise ValueError(f"{found(cell)} has no unit; give `unit` in the mapping")
        unit = "pcs"
    if unit not in units:
        raise ValueError(f"{unit!r} is no unit of {kind}; known: {', '.join(units)}")
    if not 0 <= number < math.inf:
        raise ValueError(f"must not be negative, found {found(cell)}")
    # Twelve digits: 250 x 0.01 is 2.5, not its neighbour.
    return float(f"{number * units[unit]:.12g}")


def _shown(value: float, kind: str) -> str:
    return f"{value:g} { ({'length': 'm', 'area': 'm²', 'minutes': 'min'}.get(kind, '')) }".strip()


def _is_clock(cell: Any) -> bool:
    return isinstance(cell, str) and bool(_CLOCK.fullmatch(cell.strip()) or _LONG.fullmatch(cell.strip()))


def _clock_minutes(cell: Any, unit: str | None) -> tuple[float, str | None]:
    if isinstance(cell, datetime.timedelta):
        return cell.total_seconds() / 60, None
    if isinstance(cell, datetime.time):
        return cell.hour * 60 + cell.minute + cell.second / 60, None
    text = cell.strip()
    long = _LONG.fullmatch(text)
    if long:
        minutes = float(long[1]) * 60 + float(long[2])
        return minutes, f"{text!r} read as {minutes:g} min"
    match = _CLOCK.fullmatch(text)
    assert match is not None  # `_is_clock` has seen it
    first, second, third, word = int(match[1]), int(match[2]), match[3], match[4].strip().casefold().rstrip(".")
    if second > 59 or (third and int(third) > 59):
        raise ValueError(f"must be a time like 1:30, found {found(cell)}")
    if third is not None:
        return first * 60 + second + int(third) / 60, None
    named = _MINUTES.get(word or (unit or ""))
    if named is None or named not in (60.0, 1.0):
        raise ValueError(f"{found(cell)} could be hours and minutes or minutes and seconds; give `unit`: h or min")
    minutes = first * named + second * named / 60
    return minutes, f"{text!r} read as {minutes:g} min" if word else None
