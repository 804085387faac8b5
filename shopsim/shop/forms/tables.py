"""Tables of a draft: rows out of plain values; edited cells, new, copied and removed rows as changes to the scenario.

A row left alone makes no change, so whatever a table does not show stays as it is.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from shopsim.shop.changes import Change
from shopsim.shop.forms.cells import Cell, cell_of, is_empty, path_of, plain_of, value_at
from shopsim.shop.forms.columns import REFERS_TO, Column
from shopsim.shop.forms.layout import Layout
from shopsim.shop.id_checks import KINDS, ids_in, ids_written
from shopsim.shop.model_paths import Path, models_of, tags_of

Values = dict[str, Any]
Row = dict[str, Cell]


@dataclass(frozen=True, slots=True)
class Table:
    """A layout at its place in the values of one scenario; `owner` is the position of the item a nested one is in."""

    layout: Layout
    owner: int | None = None

    @property
    def place(self) -> Path:
        """The path to its list, or to its only row."""
        inside = tuple(self.layout.place.split("."))
        return inside if self.owner is None else (self.layout.owner, self.owner, *inside)

    def row_path(self, row: int) -> Path:
        """The path to the item of one row."""
        return self.place if self.layout.single else (*self.place, row)

    def rows(self, values: Values) -> list[Row]:
        """One mapping a row, from column keys to cells; defaults are shown where nothing is written."""
        return [
            {column.key: self._cell(values, row, column) for column in self.layout.columns}
            for row in range(self.count(values))
        ]

    def count(self, values: Values) -> int:
        """How many rows there are."""
        if self.layout.single:
            return 1
        items = value_at(values, self.place)
        return len(items) if isinstance(items, list | tuple) else 0

    def edits(self, values: Values, edited: Mapping[int, Mapping[str, Any]]) -> list[Change]:
        """The changes that make edited cells, by row and column key, the scenario's; none for those that stay."""
        columns = {column.key: column for column in self.layout.columns}
        return [
            change
            for row, cells in edited.items()
            for key, cell in cells.items()
            for change in self._edit(values, row, columns[key], cell)
        ]

    def added(self, values: Values) -> Change:
        """A new row at the end, with a free id, that is sound as far as a table can know."""
        item: Values = dict(self.layout.new or {})
        for key, value in item.items():
            if value in ("", []) and key in REFERS_TO:
                ids = [str(each.get("id")) for each in values.get(REFERS_TO[key]) or [] if isinstance(each, dict)]
                item[key] = (ids[:1] if value == [] else ids[0]) if ids else value
        dates = [column for column in self.layout.columns if column.kind == "date" and column.required]
        item.update((column.key, value_at(values, ("shop", "starts"))) for column in dates)
        if any(column.key == "id" for column in self.layout.columns):
            item = {"id": self._free_id(values, _stem(self.layout)), **item}
        return Change("add", path_of(self.place), item)

    def copied(self, values: Values, row: int) -> Change:
        """A copy of a row at the end, with a free id of its own."""
        item = value_at(values, self.row_path(row))
        inside = {"id": self._free_id(values, str(item["id"]))} if isinstance(item, dict) and "id" in item else {}
        return Change("copy", path_of(self.row_path(row)), inside)

    def removed(self, row: int) -> Change:
        """A row taken out."""
        return Change("remove", path_of(self.row_path(row)))

    def moved(self, values: Values, row: int, by: int) -> list[Change]:
        """A row and its neighbour changing places; nothing at the ends of the table."""
        other = row + by
        if not 0 <= other < self.count(values):
            return []
        items = [value_at(values, self.row_path(each)) for each in (row, other)]
        return [Change("set", path_of(self.row_path(at)), item) for at, item in zip((other, row), items, strict=True)]

    def label(self, values: Values, row: int) -> str:
        """By what a row is known: the name of what it is about, else its first cell, else its number."""
        if self.layout.single:
            return self.layout.title
        name = value_at(values, (*self.row_path(row), "name"))
        if isinstance(name, str) and name:
            return name
        cell = self._cell(values, row, self.layout.columns[0])
        return f"{row + 1}" if is_empty(cell) or isinstance(cell, float | list) else f"{cell}"

    def _cell(self, values: Values, row: int, column: Column) -> Cell:
        path = column.path[:-1] if column.kind == "group" else column.path
        if column.tags and not self._has_field(values, row, column):
            return None
        return cell_of(column, value_at(values, (*self.row_path(row), *path)))

    def _has_field(self, values: Values, row: int, column: Column) -> bool:
        """Whether the member of a union that stands there has the column's field, or wrongly holds it."""
        row_is_member = len(self.layout.models) > 1
        holder = self.row_path(row) if row_is_member else (*self.row_path(row), column.path[0])
        there = value_at(values, holder)
        if not isinstance(there, dict):
            return False
        return bool({there.get("op"), there.get("kind")}.intersection(column.tags)) or column.path[-1] in there

    def _edit(self, values: Values, row: int, column: Column, cell: Any) -> Iterator[Change]:
        if _same(column, self._cell(values, row, column), cell):
            return
        item = self.row_path(row)
        path = path_of((*item, *column.path))
        if column.kind == "group":
            yield from _switched(values, (*item, *column.path[:-1]), column, bool(cell))
        elif column.kind == "tag" and not is_empty(cell):
            yield self._retagged(values, (*item, *column.path[:-1]), column.path[-1], str(cell))
        elif is_empty(cell):
            yield from _cleared(values, (*item, *column.path), column)
        else:
            new = plain_of(column, cell)
            if column.path == ("id",) and self.layout.place in KINDS:
                yield from renamed(values, value_at(values, (*item, "id")), new)
            yield Change("set", path, new)

    def _retagged(self, values: Values, holder: Path, name: str, tag: str) -> Change:
        """Another member of a union in place of the one there, which keeps what both have."""
        members = self.layout.models
        if len(members) == 1:
            field = members[0].model_fields[str(holder[-1])]
            members = tuple(models_of(field.annotation))
        member = next(each for each in members if tag in tags_of(each))
        before = value_at(values, holder) or {}
        kept = {key: value for key, value in before.items() if key in member.model_fields and key != name}
        return Change("set", path_of(holder), {name: tag, **kept})

    def _free_id(self, values: Values, stem: str) -> str:
        stem = re.sub(r"_\d{1,4}$", "", stem)[:34]
        taken = set(ids_written(values) if self.owner is None else ids_in([value_at(values, self.place)]))
        return next(name for n in range(2, 10_000) if (name := f"{stem}_{n}") not in taken)


def _stem(layout: Layout) -> str:
    return KINDS.get(layout.place, "mode").replace(" ", "_")


def _same(column: Column, now: Cell, cell: Any) -> bool:
    """Whether two cells say the same, however they are typed."""
    if is_empty(now) or is_empty(cell):
        return is_empty(now) and is_empty(cell)
    return bool(plain_of(column, now) == plain_of(column, cell))


def _switched(values: Values, path: Path, column: Column, on: bool) -> Iterator[Change]:
    """An optional group put there with its usual values, or said not to be there."""
    there_by_default = bool(column.default)
    written = _is_written(values, path)
    if on and there_by_default and written:
        yield Change("remove", path_of(path))
    elif on:
        yield Change("set", path_of(path), _usual(values, str(path[-1])))
    elif there_by_default:
        yield Change("set", path_of(path), None)
    elif written:
        yield Change("remove", path_of(path))


# What a group that is switched on must say by itself.
_NEEDED: dict[str, Values] = {
    "side_work": {"minutes": 15}, "orders_at_once": {"most": 50, "when_full": "wait"},
    "bought_in_print": {"when_queue_h": 40}, "size_range": {"area_m2": [0.5, 2, 8], "width_over_height": [0.5, 1, 2]},
    "forecast": {"orders_per_week": 20},
}  # fmt: skip


def _usual(values: Values, group: str) -> Values:
    made = dict(_NEEDED.get(group, {}))
    if group == "forecast":
        ids = [each["id"] for each in values.get("products") or [] if isinstance(each, dict) and "id" in each]
        made["mix"] = [{"product": name, "share_pct": 100} for name in ids[:1]]
    return made


def _cleared(values: Values, path: Path, column: Column) -> Iterator[Change]:
    """Back to the default; where the default is a value and none is allowed, to none."""
    if column.may_be_none and column.default is not None:
        yield Change("set", path_of(path), None)
    elif _is_written(values, path):
        yield Change("remove", path_of(path))


def _is_written(values: Any, path: Path) -> bool:
    for part in path:
        if isinstance(values, dict) and part in values:
            values = values[str(part)]
        elif isinstance(values, list) and isinstance(part, int) and part < len(values):
            values = values[part]
        else:
            return False
    return True


def renamed(values: Values, old: Any, new: Any) -> Iterator[Change]:
    """The changes by which whatever refers to an id follows its new name; none if either name stands for more."""
    ids = ids_written(values)
    if ids.count(str(old)) == 1 and new not in ids and isinstance(new, str):
        yield from _followed(values, (), str(old), new)


def _followed(value: Any, path: Path, old: str, new: str) -> Iterator[Change]:
    if isinstance(value, list):
        for place, item in enumerate(value):
            if item == old and path and path[-1] in REFERS_TO:
                yield Change("set", path_of((*path, place)), new)
            yield from _followed(item, (*path, place), old, new)
    elif isinstance(value, dict):
        for key, item in value.items():
            if item == old and key in REFERS_TO:
                yield Change("set", path_of((*path, key)), new)
            yield from _followed(item, (*path, key), old, new)
