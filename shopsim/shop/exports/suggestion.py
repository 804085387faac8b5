"""A mapping proposed from an export's headings and values, to be confirmed by whoever knows the shop.

What the values do not settle is left out of the proposal and told in `doubts`, never guessed.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from collections.abc import Mapping as Dict
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from shopsim.errors import ExportError, Problem
from shopsim.shop.exports.headings import SEARCHED_ROWS, Head, folded, joined_headings
from shopsim.shop.exports.mapping import ColumnMap, Header, Mapping
from shopsim.shop.exports.quantities import UNITS
from shopsim.shop.exports.sheets import Row, Sheet, read_sheets
from shopsim.shop.exports.suggested_values import (
    date_order,
    decimal_mark,
    tell_choices,
    tell_products,
    translated,
    unit_of,
    without_unit,
)
from shopsim.shop.exports.table_kinds import TABLE_KINDS, Column, TableKind


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A proposal, and what it could not settle: one sentence a doubt."""

    mapping: Mapping
    doubts: tuple[str, ...]


def suggest_mapping(path: str | Path, table: str | None = None, products: Dict[str, str] | None = None) -> Suggestion:
    """Propose how to read an export; ``table`` None finds out which table it is. ``products`` are names by id.

    Raises ExportError for a file that cannot be read, and one in which no heading is known.
    """
    kinds = [TABLE_KINDS[table]] if table else list(TABLE_KINDS.values())
    best: tuple[int, int, TableKind, Sheet, Head, int] | None = None
    for kind in kinds:
        for sheet in read_sheets(path):
            for head, rows in _possible_heads(sheet):
                found = _assigned(kind, head)
                needed = sum(kind.column(name).required for name in found)
                score = (needed * 2 + len(found), -rows)
                if needed and (best is None or score > best[:2]):
                    best = (*score, kind, sheet, head, rows)
    if best is None:
        raise ExportError([Problem(str(path), None, None, "", "no row holds a heading that is known; write a mapping")])
    return _proposal(*best[2:], several=len(read_sheets(path)) > 1, products=products or {})


def _possible_heads(sheet: Sheet) -> Iterator[tuple[Head, int]]:
    for rows in (1, 2):
        for spot in range(rows - 1, min(len(sheet.rows), SEARCHED_ROWS)):
            block = sheet.rows[spot - rows + 1 : spot + 1]
            texts = all(isinstance(cell, str) for row in block for cell in row.filled)
            if texts and len(block[-1].filled) >= _LEAST_HEADINGS:
                yield Head(joined_headings(block), spot + 1), rows


def _assigned(kind: TableKind, head: Head) -> dict[str, list[str]]:
    """Headings by our columns: each heading once, the column that knows it best first."""
    bare = {name: without_unit(name)[0] for name in head.names if 0 < len(name) <= _LONGEST_HEADING}
    found: dict[str, list[str]] = {}
    taken: set[str] = set()
    ranked = sorted(
        (_rank(column, text), place, column.name, name)
        for place, column in enumerate(kind.columns)
        for name, text in bare.items()
        if _rank(column, text) < _NOT
    )
    for _, _, column, name in ranked:
        if column not in found and name not in taken:
            found[column] = [name]
            taken.add(name)
    if "size" in found and {"width_m", "height_m"} & set(found):
        found.pop("size")
    _join_clock(kind, head, bare, found, taken)
    return found


def _join_clock(
    kind: TableKind, head: Head, bare: dict[str, str], found: dict[str, list[str]], taken: set[str]
) -> None:
    """A day and its clock time often stand in two columns: the clock belongs to the day on its left, else the first."""
    clocks = [name for name, text in bare.items() if name not in taken and text in _CLOCKS]
    days = [column.name for column in kind.columns if column.kind == "time" and column.name in found]
    if not clocks or not days:
        return
    left = head.names[max(0, head.names.index(clocks[0]) - 1)]
    day = next((name for name in days if found[name] == [left]), days[0])
    found[day].append(clocks[0])


_CLOCKS = ("time", "uhrzeit", "clock", "zeit")
_NOT = 1000
# A title is one cell, or two.
_LEAST_HEADINGS = 3
_LONGEST_HEADING = 200


def _rank(column: Column, text: str) -> int:
    """How well a column knows a heading: place among its words, behind them the words inside longer headings."""
    words = (column.name.replace("_", " "), folded(column.name), *column.known_as)
    if text in words:
        return words.index(text)
    close = [i for i, word in enumerate(words) if len(word) > 3 and re.search(rf"\b{re.escape(word)}\b", text)]
    return 100 + close[0] if close else _NOT


def _proposal(
    kind: TableKind, sheet: Sheet, head: Head, rows: int, several: bool, products: Dict[str, str]
) -> Suggestion:
    body = [row for row in sheet.rows[head.first :] if len(row.filled) >= _LEAST_HEADINGS][:2000]
    found = _assigned(kind, head)
    doubts: list[str] = []
    columns: dict[str, ColumnMap] = {}
    texts: dict[str, list[Any]] = {}
    for name in (column.name for column in kind.columns if column.name in found):
        headings = found[name]
        cells = _cells(body, head, headings[0])
        texts[name] = cells
        unit = unit_of(kind.column(name), headings[0], cells, doubts)
        columns[name] = ColumnMap(
            heading=headings[0] if len(headings) == 1 else tuple(headings),
            unit=unit,
            values=_values(kind.column(name), cells, products),
        )
    doubts += [
        f"no column found for {column.name}" for column in kind.columns if column.required and column.name not in found
    ]
    tell_products(columns.get("product"), texts.get("product", []), products, doubts)
    for name, cells in texts.items():
        if kind.column(name).kind == "choice":
            tell_choices(kind.column(name), cells, doubts)
    _tell_doubles(body, doubts)
    numbers = [cell for name, cells in texts.items() for cell in cells if kind.column(name).kind in (*UNITS, "size")]
    dates = [cell for name, cells in texts.items() for cell in cells if kind.column(name).kind in ("time", "date")]
    mapping = Mapping(
        table=kind.name,
        sheets=(sheet.name,) if several else (),
        header=Header(rows=rows),
        decimal_mark=decimal_mark(numbers, doubts),
        date_order=date_order(dates, doubts),
        columns=columns,
    )
    return Suggestion(mapping, tuple(dict.fromkeys(doubts)))


def _values(column: Column, cells: Sequence[Any], products: Dict[str, str]) -> dict[str, str | int | float | bool]:
    if column.name == "product":
        return translated(cells, products)
    # A column of crosses: where there is none the answer is no.
    return {"": False} if column.kind == "yes_no" else {}


def _tell_doubles(body: Sequence[Row], doubts: list[str]) -> None:
    doubles = len(body) - len({row.cells for row in body})
    if doubles:
        doubts.append(
            f"{doubles} rows say exactly what an earlier one says and will be rejected; if they are further pieces, "
            "write `duplicates: {exact: keep}`"
        )


def _cells(body: Iterable[Row], head: Head, heading: str) -> list[Any]:
    column = head.column(heading)
    assert column is not None  # it comes from this head
    cells = (row.cells[column] if column < len(row.cells) else None for row in body)
    return [cell for cell in cells if cell is not None]
