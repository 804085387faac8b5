"""What the cells of an export tell of its units, decimal mark, order of dates and names of products."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from shopsim.shop.exports.dates import DateOrder
from shopsim.shop.exports.headings import folded
from shopsim.shop.exports.mapping import ColumnMap
from shopsim.shop.exports.quantities import UNITS, read_number
from shopsim.shop.exports.table_kinds import Column

_UNIT = re.compile(r"[\s_]*[(\[/]?\s*(?:in\s+)?([^\W\d]+[²2]?|\"|m\d)\.?\s*[)\]]?$")
# Units that are words as well: only in brackets are they units of a heading.
_WORDS_TOO = frozenset(
    ("in", "s", "x", "st", "off", "each", "units", "pieces", "piece", "pc", "pcs", "ea", "stk", "stück")
)
_NUMERIC_DATE = re.compile(r"\D*\b(\d{1,2})([/-])(\d{1,2})\2(\d{4}|\d{2})\b")
_SURE = 0.6


def without_unit(heading: str) -> tuple[str, str | None]:
    """A heading folded for comparison, and the unit at its end: `Breite (cm)`, `Width_mm`, `Dauer [min]`."""
    text = re.sub(r"[-_.:#/]+", " ", heading)
    text = folded(re.sub(r"[^\w ²\"()\[\]]", "", text))
    match = _UNIT.search(text)
    known = {unit for units in UNITS.values() for unit in units}
    bare = match is not None and match[0][-1] not in ")]"
    if match and match[1] in known and match.start() > 0 and not (bare and match[1] in _WORDS_TOO):
        return text[: match.start()].strip(), match[1]
    return text, None


def unit_of(column: Column, heading: str, cells: Sequence[Any], doubts: list[str]) -> str | None:
    """The unit in the heading, else the one most cells bear; a doubt where bare numbers have neither."""
    units = UNITS.get("length" if column.kind == "size" else column.kind)
    if units is None or column.kind in ("whole", "count"):
        return None
    named = without_unit(heading)[1]
    if named in units:
        return named
    tails = [re.search(r"([^\W\d]+[²2]?)\.?$", cell.casefold()) for cell in cells if isinstance(cell, str)]
    own = [match[1] for match in tails if match and match[1] in units]
    if len(own) < len(cells):
        doubts.append(f"{column.name}: numbers without a unit in {heading!r}; give `unit`")
    return max(set(own), key=own.count) if own else None


def decimal_mark(cells: Iterable[Any], doubts: list[str]) -> Any:
    """The mark every number agrees with, if any needs one."""
    fits = {".": True, ",": True}
    for cell in cells:
        for text in re.findall(r"\d[\d.,']*", cell) if isinstance(cell, str) and ":" not in cell else ():
            try:
                read_number(text.rstrip(".,"), None)
            except ValueError:
                continue
            for mark in fits:
                _, note = read_number(text.rstrip(".,"), mark)
                fits[mark] = fits[mark] and note is None
    open_marks = [mark for mark, fit in fits.items() if fit]
    if len(open_marks) == 1:
        return open_marks[0]
    if not open_marks:
        doubts.append("numbers have decimal points and decimal commas mixed; the mapping leaves `decimal_mark` open")
    elif any(isinstance(cell, str) and re.search(r"\d[.,]\d{3}(?!\d)", cell) for cell in cells):
        doubts.append("numbers like 1.500 could be 1.5 or 1500; give `decimal_mark`")
    return None


def date_order(cells: Iterable[Any], doubts: list[str]) -> DateOrder | None:
    """Day or month first, where some date can only be one of them and none only the other."""
    day_first = month_first = unclear = 0
    for cell in cells:
        match = _NUMERIC_DATE.match(cell) if isinstance(cell, str) else None
        if match:
            first, second = int(match[1]), int(match[3])
            day_first += first > 12
            month_first += second > 12
            unclear += first <= 12 and second <= 12 and first != second
    if day_first and month_first:
        doubts.append("dates stand with the day first and with the month first; give `date_order` or mend the export")
        return None
    if day_first or month_first:
        return "day_first" if day_first else "month_first"
    if unclear:
        doubts.append("every date could have its day or its month first; give `date_order`")
    return None


def translated(cells: Iterable[Any], products: Mapping[str, str]) -> dict[str, str | int | float | bool]:
    """Their names of products to ids of ours, where one of ours is surely the nearest."""
    made: dict[str, str | int | float | bool] = {}
    by_name = {folded(name): key for key, name in products.items() if name}
    by_name |= {folded(key).replace("_", " "): key for key in products}
    for text in dict.fromkeys(str(cell) for cell in cells):
        if text in products:
            continue
        near = difflib.get_close_matches(folded(text).replace("_", " "), by_name, n=2, cutoff=_SURE)
        if near and (len(near) == 1 or by_name[near[0]] == by_name[near[1]] or near[0] == folded(text)):
            made[text] = by_name[near[0]]
    return made


def tell_products(
    given: ColumnMap | None, cells: Sequence[Any], products: Mapping[str, str], doubts: list[str]
) -> None:
    if given is None:
        return
    names = dict.fromkeys(str(cell) for cell in cells)
    unknown = [name for name in names if name not in given.values and name not in products]
    _tell_unknown("products without an id of ours", unknown, doubts)


def _tell_unknown(what: str, unknown: Sequence[str], doubts: list[str]) -> None:
    if unknown:
        shown = ", ".join(repr(name) for name in unknown[:8])
        more = f" and {len(unknown) - 8} more" if len(unknown) > 8 else ""
        doubts.append(f"{what}, translate them under `values`: {shown}{more}")


def tell_choices(column: Column, cells: Iterable[Any], doubts: list[str]) -> None:
    """Texts of a column of choices (a status, an event) that are none we know."""
    known = {*column.choices, *column.known_texts}
    unknown = [text for text in dict.fromkeys(str(cell) for cell in cells) if folded(text) not in known]
    _tell_unknown(f"texts of {column.name} that are not known", unknown, doubts)
