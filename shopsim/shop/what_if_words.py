"""Fields and values of a scenario in a person's words, with the unit that a field's name tells."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from shopsim import distributions as shapes
from shopsim.distributions import Distribution
from shopsim.shop.people import ShiftBlock, Week
from shopsim.shop.scenario_dump import is_default

_UNITS = {
    "_m2_per_h": "m²/h", "_g_per_m2": "g/m²", "_ml_per_m2": "ml/m²", "_m_per_s": "m/s", "_min_per_10c": "min/10 °C",
    "_pct_per_year": "% a year", "_pct_per_day": "% a day", "_m2": "m²", "_m": "m", "_min": "min", "_h": "h", "_s": "s",
    "_pct": "%", "_c": "°C", "_kw": "kW", "_ml": "ml", "_days": "days", "_weeks": "weeks", "_years": "years",
    "_rolls": "rolls", "minutes": "min", "hours": "h",
}  # fmt: skip
_MONEY = {
    "price": "", "minimum_order": "", "wage_per_h": "/h", "price_per_m2": "/m²", "price_per_piece": " a piece",
    "ink_price_per_l": "/l", "bought_in_sewing_per_m": "/m", "bought_in_sewing_per_piece": " a piece",
    "energy_per_kwh": "/kWh", "rent_per_m2_month": "/m² a month", "packing_and_freight_per_order": " an order",
}  # fmt: skip
_WORDS = {
    "every_running_h": "running time between", "may_turn": "turned on the web", "one_lot": "one lot an order",
    "minutes": "", "hours": "", "money": "", "full_min": "in full", "join_min": "by joining",
    "hot_overnight": "heat on overnight", "running_kw": "power running", "when_queue_h": "from a queue of",
    "leaves": "cloth leaves", "at": "place", "bought_in_sewing_per_m": "bought-in sewing",
    "bought_in_sewing_per_piece": "bought-in sewing",
}  # fmt: skip
# Where a number's noun stands in for both words and unit.
_COUNTED = {"count": ("person", "people"), "seats": ("seat", "seats"), "people": ("person", "people")}
_LONGEST = 120
_SMALL = 4


def unit_of(name: str, currency: str) -> str:
    """The unit of a field by its name, empty if it has none."""
    if name in _MONEY:
        return currency + _MONEY[name]
    if name in _COUNTED:
        return _COUNTED[name][1]
    return next((unit for ending, unit in _UNITS.items() if name.endswith(ending)), "")


def words_of(name: str) -> str:
    """A field's name as words, without its unit."""
    if name in _WORDS or name in _COUNTED:
        return _WORDS.get(name, "")
    if name in _MONEY:
        return name.split("_per_")[0].replace("_", " ")
    ending = next((ending for ending in _UNITS if ending[0] == "_" and name.endswith(ending)), "")
    return name.removesuffix(ending).replace("_", " ")


def change_in_words(field: FieldInfo | None, name: str, before: Any, after: Any, currency: str) -> str:
    """``plate 0.8 m instead of 0.5 m``, ``4 people instead of 3``, ``with learning (...)``."""
    words = "hours" if _is_pattern(after) else words_of(name)
    if isinstance(after, BaseModel) and before is None:
        return f"with {words}{_in_brackets(group_in_words(after, currency))}"
    if after is None and isinstance(before, BaseModel):
        return f"without {words}"
    if name in _COUNTED and isinstance(after, int):
        return f"{after} {_COUNTED[name][after != 1]} instead of {before}"
    if name in ("name", "note"):
        return f"{name} {after!r} instead of {before!r}"
    unit = unit_of(name, currency)
    texts = [value_in_words(value, field, unit, currency) for value in (after, before)]
    return f"{words} {texts[0]} instead of {texts[1]}".strip()


def group_in_words(model: BaseModel, currency: str, left_out: str = "") -> str:
    """What a group of keys says beyond the defaults (a small group: all it says), in short."""
    fields = type(model).model_fields
    parts = []
    for name, field in fields.items():
        value = getattr(model, name)
        if value in (None, "", ()) or name in ("id", "name", "op", "kind", left_out):
            continue
        if len(fields) > _SMALL and is_default(model, name):
            continue
        if name in _COUNTED and isinstance(value, int):
            parts.append(f"{value} {_COUNTED[name][value != 1]}")
        else:
            text = value_in_words(value, field, unit_of(name, currency), currency)
            parts.append(f"{words_of(name)} {text}".strip())
    return _cut(", ".join(parts))


def value_in_words(value: Any, field: FieldInfo | None, unit: str, currency: str) -> str:
    """One value with its unit."""
    if value is None:
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return f"{value:,.10g} {unit}".rstrip()
    if isinstance(value, Distribution):
        return f"{_spread(value)} {unit}".rstrip()
    if isinstance(value, BaseModel):
        kind = next((str(getattr(value, tag)) for tag in ("op", "kind") if hasattr(value, tag)), "")
        text = group_in_words(value, currency)
        return f"{kind}{_in_brackets(text)}" if kind else text or "as usual"
    if isinstance(value, Mapping):
        return _cut(", ".join(f"{key} {_choice(str(item))}" for key, item in value.items()) or "none")
    if isinstance(value, tuple):
        return _several(value, field, unit, currency)
    return _choice(str(value)) if field is not None and _is_choice(field) else str(value)


def hours_in_words(weeks: tuple[Week, ...]) -> str:
    """A shift's pattern: ``mon to fri 06:00-14:00 with 30 min of breaks, then mon to fri 14:00-22:00 …``."""
    return _cut(", then ".join(" and ".join(map(_block, week.blocks)) or "a week off" for week in weeks) or "none", 240)


def _block(block: ShiftBlock) -> str:
    names = block.days
    order = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
    places = [order.index(day) for day in names]
    in_a_row = len(names) > 2 and places == list(range(places[0], places[0] + len(names)))
    days = f"{names[0]} to {names[-1]}" if in_a_row else ", ".join(names)
    breaks_min = sum(end - start for span in block.spans()[:1] for start, end in span.breaks)
    return f"{days} {block.hours}" + (f" with {breaks_min:g} min of breaks" if breaks_min else "")


def _several(value: tuple[Any, ...], field: FieldInfo | None, unit: str, currency: str) -> str:
    if _is_pattern(value):
        return hours_in_words(value)
    return _cut(", ".join(value_in_words(item, field, unit, currency) for item in value) or "none")


def _is_pattern(value: Any) -> bool:
    return isinstance(value, tuple) and bool(value) and all(isinstance(week, Week) for week in value)


def _spread(value: Distribution) -> str:
    if isinstance(value, shapes.Fixed):
        return f"{value.value:,.10g}"
    if isinstance(value, shapes.Triangular):
        return f"{value.low:g}–{value.mode:g}–{value.high:g}"
    return value.describe()


def _is_choice(field: FieldInfo) -> bool:
    kinds = (field.annotation, *get_args(field.annotation))
    return any(get_origin(kind) is Literal for kind in kinds)


def _choice(text: str) -> str:
    return text.replace("_", " ")


def _in_brackets(text: str) -> str:
    return f" ({text})" if text else ""


def _cut(text: str, most: int = _LONGEST) -> str:
    return text if len(text) <= most else text[: most - 1].rstrip(", ") + "…"
