"""The mapping file: which column of an export is which of ours, in which unit, and what to do with what is unclear.

    table: orders                # orders, printer_log, work_log or time_stamps
    decimal_mark: ","
    date_order: day_first
    columns:
      order_id: Auftrags-Nr.
      received: {heading: [Datum, Uhrzeit]}
      width_m: {heading: Breite, unit: cm}
      product: {heading: Artikel, values: {Beachflag M: flag}}

Strict like scenario files: every fault with its place. Made by hand, or proposed by `suggestion.suggest_mapping`.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import Field, model_validator

from shopsim.errors import MappingError
from shopsim.shop.base import Base, Id
from shopsim.shop.exports.dates import DateOrder, DateRules
from shopsim.shop.exports.quantities import UNITS
from shopsim.shop.exports.table_kinds import TABLE_KINDS, Column, Kind, TableKind
from shopsim.shop.file_text import read_text
from shopsim.shop.located_faults import Fault, read_model
from shopsim.shop.plain_messages import choices
from shopsim.shop.yaml_writing import block

Heading = Annotated[str, Field(min_length=1, max_length=200)]
_CLOCK = re.compile(r"([01]\d|2[0-3]):[0-5]\d")
Side = Annotated[float, Field(gt=0, le=100)]


class ColumnMap(Base):
    """Where one of our columns comes from.

    Several headings are joined by a space (a day and its clock time). `values` translates cells before they are read,
    the empty text stands for an empty cell. `always` is the value of every row. `fill_down`: an empty cell has the
    value of the row above. `clock` is the time of a day given without one.
    """

    heading: Heading | tuple[Heading, ...] | None = None
    unit: str | None = None
    values: dict[str, str | int | float | bool] = Field(default={}, max_length=2000)
    always: str | int | float | bool | None = None
    fill_down: bool = False
    clock: str | None = None

    @model_validator(mode="before")
    @classmethod
    def _short_form(cls, data: Any) -> Any:
        return {"heading": data} if isinstance(data, str | list) else data

    @model_validator(mode="after")
    def _one_source(self) -> ColumnMap:
        if (self.heading is None) == (self.always is None):
            raise ValueError("give either `heading` or `always`")
        if self.heading == ():
            raise ValueError("`heading` must name at least one column")
        return self

    @property
    def headings(self) -> tuple[str, ...]:
        """The headings it is read from, none for `always`."""
        if self.heading is None:
            return ()
        return (self.heading,) if isinstance(self.heading, str) else self.heading


class Header(Base):
    """Where the headings stand: so many rows, the last of them in that line; found by the headings where left out.

    `rows: 0` means that there are none: columns are then named A, B, C as in a spreadsheet.
    """

    rows: int = Field(default=1, ge=0, le=3)
    line: int | None = Field(default=None, ge=1, le=1000)


class DefaultSize(Base):
    """The size of a product where the export gives none."""

    width_m: Side
    height_m: Side


class Duplicates(Base):
    """`exact`: a row that says what an earlier one says. `same_id`: rows of one id that contradict each other."""

    exact: Literal["reject", "keep"] = "reject"
    same_id: Literal["reject", "keep_first", "keep_last"] = "reject"


class LeaveOut(Base):
    """Rows that are no rows of the table: those with one of these texts in a column."""

    heading: Heading
    values: tuple[Annotated[str, Field(max_length=200)], ...] = Field(min_length=1, max_length=200)


class Mapping(Base):
    """A mapping file."""

    table: Kind
    sheets: tuple[Annotated[str, Field(min_length=1, max_length=60)], ...] = Field(default=(), max_length=60)
    header: Header = Header()
    decimal_mark: Literal[".", ","] | None = None
    date_order: DateOrder | None = None
    serials_from: Literal[1900, 1904] = 1900
    columns: dict[str, ColumnMap] = Field(min_length=1, max_length=40)
    default_sizes: dict[Id, DefaultSize] = Field(default={}, max_length=500)
    duplicates: Duplicates = Duplicates()
    leave_out: tuple[LeaveOut, ...] = Field(default=(), max_length=20)
    note: str = Field(default="", max_length=2000)

    @property
    def kind(self) -> TableKind:
        """The table it fills."""
        return TABLE_KINDS[self.table]

    @property
    def dates(self) -> DateRules:
        """How its dates are read."""
        return DateRules(self.date_order, self.serials_from)


def load_mapping(path: str | Path) -> Mapping:
    """The mapping in a file. Raises MappingError with every fault found, sorted by line."""
    return parse_mapping(read_text(Path(path), error=MappingError), str(path))


def parse_mapping(text: str, name: str) -> Mapping:
    """The mapping in a text; ``name`` stands for the file in messages. Raises MappingError with every fault found."""
    read = read_model(Mapping, text, name, MappingError)
    faults = mapping_faults(read.model)
    if faults:
        raise MappingError(read.problems(faults))
    return read.model


def mapping_faults(mapping: Mapping) -> list[Fault]:
    """What no part of a mapping can see alone: columns the table has not or needs, units that do not fit."""
    kind = mapping.kind
    faults: list[Fault] = []
    for name, given in mapping.columns.items():
        if name not in kind.names:
            faults.append((("columns", name), f"the table {kind.name} has no such column{choices(name, kind.names)}"))
            continue
        faults += [(("columns", name, key), text) for key, text in _column_faults(kind.column(name), given)]
    missing = [column.name for column in kind.columns if column.required and column.name not in mapping.columns]
    if missing:
        faults.append((("columns",), f"the table {kind.name} needs {', '.join(missing)}"))
    if kind.name in ("printer_log", "work_log") and not {"end", "minutes"} & set(mapping.columns):
        faults.append((("columns",), "give `end` or `minutes`"))
    if "size" in mapping.columns and {"width_m", "height_m"} & set(mapping.columns):
        faults.append((("columns", "size"), "give either `size`, or `width_m` and `height_m`"))
    return faults


def _column_faults(column: Column, given: ColumnMap) -> list[tuple[str, str]]:
    faults = []
    units = UNITS.get("length" if column.kind == "size" else column.kind)
    if given.unit is not None and units is None:
        faults.append(("unit", f"{column.name} has no unit"))
    elif given.unit is not None and units is not None and given.unit not in units:
        faults.append(("unit", f"{given.unit!r} is no unit here{choices(given.unit, units)}"))
    if given.clock is not None and column.kind != "time":
        faults.append(("clock", f"{column.name} has no clock time"))
    elif given.clock is not None and not _CLOCK.fullmatch(given.clock):
        faults.append(("clock", f"must be a clock time from 00:00 to 23:59, found {given.clock!r}"))
    if column.kind == "choice":
        wrong = [value for value in given.values.values() if value not in (*column.choices, "")]
        faults += [("values", f"must be one of {', '.join(column.choices)}, found {value!r}") for value in wrong]
    return faults


def mapping_values(mapping: Mapping) -> dict[str, Any]:
    """The mapping as plain values, defaults left out, columns in their short form where that says all."""
    values = mapping.model_dump(mode="json", exclude_defaults=True)
    for name, given in values["columns"].items():
        if set(given) == {"heading"}:
            values["columns"][name] = given["heading"]
    return values


def dump_mapping(mapping: Mapping) -> str:
    """YAML of a mapping; reading it gives an equal one."""
    return "\n".join(block(mapping_values(mapping), 0)) + "\n"


def mapping_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of mapping files, for completion in editors."""
    schema = Mapping.model_json_schema()
    full = {"$ref": "#/$defs/ColumnMap"}
    short = [{"type": "string"}, {"type": "array", "items": {"type": "string"}, "minItems": 1}]
    schema["properties"]["columns"]["additionalProperties"] = {"anyOf": [*short, full]}
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}


def own_mapping(kind: TableKind, headings: list[str]) -> Mapping:
    """The mapping of a table in our own columns and units, as `clean_file` writes it."""
    columns = {
        column.name: ColumnMap(heading=column.name, unit=OWN_UNITS.get(column.kind))
        for column in kind.columns
        if column.name in headings
    }
    return Mapping(table=kind.name, decimal_mark=".", columns=columns, duplicates=Duplicates(exact="keep"))


OWN_UNITS = {"length": "m", "area": "m2", "minutes": "min"}
