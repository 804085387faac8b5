"""From the cells of one row to values of our columns: translated, read by kind, each repair noted, each fault told."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from shopsim.shop.base import ID_PATTERN
from shopsim.shop.exports.dates import DateRules, Moment, read_moment
from shopsim.shop.exports.headings import Head, folded
from shopsim.shop.exports.mapping import ColumnMap, Mapping
from shopsim.shop.exports.quantities import read_quantity, read_size
from shopsim.shop.exports.table_kinds import Column
from shopsim.shop.order_rows import MOST_PIECES
from shopsim.shop.plain_messages import choices, found

_LONGEST_TEXT = 60
_CONTROL = re.compile(r"[\x00-\x1f\x7f]+")
_SHEET_ERROR = re.compile(r"#(REF|N/A|VALUE|NAME|DIV/0|NULL|NUM|BEZUG|NV|WERT)[!?]?")
_YES = {"yes", "y", "true", "1", "x", "ja", "j", "wahr", "ok", "pass", "passed", "✓"}
_NO = {"no", "n", "false", "0", "nein", "falsch", "-", "fail", "failed"}
_MOST_PRIORITY = 9


@dataclass(slots=True)
class Cells:
    """What one row says: values by our columns, notes of what was repaired, reasons why it cannot be used."""

    values: dict[str, Any] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)


class RowReader:
    """Reads rows of one sheet; remembers what `fill_down` needs."""

    def __init__(self, mapping: Mapping, head: Head, rules: DateRules) -> None:
        self.mapping = mapping
        self.rules = rules
        self.plan = [
            (mapping.kind.column(name), given, [head.column(heading) for heading in given.headings])
            for name, given in mapping.columns.items()
        ]
        self.above: dict[str, Any] = {}
        self.words = {name: _words(mapping.kind.column(name), given) for name, given in mapping.columns.items()}

    def read(self, cells: Sequence[Any]) -> Cells:
        """The values in a row's cells; columns that fail are left out and told."""
        made = Cells()
        for column, given, places in self.plan:
            raw = self._raw(column, given, [cells[i] for i in places if i is not None and i < len(cells)], made)
            if raw is None:
                if column.required:
                    made.faults.append(f"{column.name} is empty")
                continue
            try:
                value, note = self._value(column, given, raw, made)
            except ValueError as fault:
                made.faults.append(f"{column.name}: {fault}")
                continue
            if column.kind == "size":
                made.values["width_m"], made.values["height_m"] = value
            else:
                made.values[column.name] = value
            if note:
                made.notes.append(f"{column.name}: {note}")
        return made

    def _raw(self, column: Column, given: ColumnMap, parts: list[Any], made: Cells) -> Any:
        """One cell, translated; several joined; of an empty one what stands above, where the mapping says so."""
        if given.always is not None:
            return given.always
        filled = [part for part in parts if part is not None]
        raw: Any = None
        if len(given.headings) > 1 and filled:
            raw = _joined(filled)
        elif filled:
            raw = filled[0]
        if raw is None and given.fill_down and column.name in self.above:
            raw = self.above[column.name]
            made.notes.append(f"{column.name}: empty, taken from the row above")
        elif raw is not None and given.fill_down:
            self.above[column.name] = raw
        translated = self.words[column.name].get(folded(_plain(raw)) if raw is not None else "")
        if translated is not None:
            return translated if translated != "" else None
        return raw

    def _value(self, column: Column, given: ColumnMap, raw: Any, made: Cells) -> tuple[Any, str | None]:
        if isinstance(raw, str) and _SHEET_ERROR.fullmatch(raw):
            raise ValueError(f"{raw} is an error of the spreadsheet")
        match column.kind:
            case "time":
                return self._time(column, given, read_moment(raw, self.rules), made)
            case "date":
                return _date(read_moment(raw, self.rules))
            case "whole" | "count":
                return self._whole(column, raw)
            case "length" | "area" | "minutes":
                return read_quantity(raw, column.kind, given.unit, self.mapping.decimal_mark)
            case "size":
                return read_size(raw, given.unit, self.mapping.decimal_mark)
            case "yes_no":
                return _yes_no(raw), None
            case "choice":
                return _choice(column, raw), None
            case "id":
                return _id(raw), None
        return _text(raw), None

    def _time(self, column: Column, given: ColumnMap, moment: Moment, made: Cells) -> tuple[Any, str | None]:
        day, clock, note = moment.day, moment.clock, moment.note
        start = made.values.get("start")
        if day is None and column.name == "end" and start is not None and clock is not None:
            at = datetime.datetime.combine(start.date(), clock)
            if at < start:
                return at + datetime.timedelta(days=1), f"{clock:%H:%M} is before the start: taken as of the next day"
            return at, note
        if day is None:
            raise ValueError("must be a date, found only a clock time")
        if clock is None and given.clock:
            clock = datetime.time.fromisoformat(given.clock)
        elif clock is None:
            clock = datetime.time()
            note = "; ".join(text for text in (note, "no clock time: 00:00 taken") if text)
        return datetime.datetime.combine(day, clock), note

    def _whole(self, column: Column, raw: Any) -> tuple[int, str | None]:
        number, note = read_quantity(raw, column.kind, None, self.mapping.decimal_mark)
        least = 1 if column.kind == "whole" else 0
        most = _MOST_PRIORITY if column.name == "priority" else MOST_PIECES
        if number != int(number) or not least <= number <= most:
            raise ValueError(f"must be a whole number from {least} to {most}, found {found(raw)}")
        return int(number), note


def _words(column: Column, given: ColumnMap) -> dict[str, Any]:
    return column.known_texts | {folded(text): value for text, value in given.values.items()}


def _plain(raw: Any) -> str:
    if isinstance(raw, float) and raw.is_integer():
        raw = int(raw)
    return str(raw)


def _joined(filled: Sequence[Any]) -> Any:
    """Several cells as one: a day and a clock time as a moment, everything else as text."""
    day, *rest = filled
    if len(rest) == 1 and isinstance(rest[0], datetime.time) and isinstance(day, datetime.datetime):
        return datetime.datetime.combine(day.date(), rest[0])
    if len(rest) == 1 and isinstance(day, datetime.datetime) and day.time() == datetime.time():
        return f"{day.date()} {_plain(rest[0])}"
    if len(rest) == 1 and isinstance(rest[0], datetime.time):
        return f"{_plain(day)} {rest[0]:%H:%M:%S}"
    return " ".join(_plain(part) for part in filled)


def _date(moment: Moment) -> tuple[datetime.date, str | None]:
    if moment.day is None:
        raise ValueError("must be a date, found only a clock time")
    if moment.clock is not None and moment.clock != datetime.time():
        return moment.day, f"clock time {moment.clock:%H:%M} left out"
    return moment.day, moment.note


def _text(raw: Any) -> str:
    if isinstance(raw, bool | datetime.date | datetime.time):
        raise ValueError(f"must be text, found {found(raw)}")
    text = " ".join(_CONTROL.sub(" ", _plain(raw)).removeprefix("'").split())
    if not text or len(text) > _LONGEST_TEXT:
        raise ValueError(f"must be 1 to {_LONGEST_TEXT} characters, found {found(text)}")
    return text


def _id(raw: Any) -> str:
    text = _text(raw)
    if not re.match(ID_PATTERN, text):
        raise ValueError(f"{found(text)} is no id of ours; translate it under `values`")
    return text


def _yes_no(raw: Any) -> bool:
    if isinstance(raw, bool):
        return raw
    word = folded(_plain(raw))
    if word in _YES or word in _NO:
        return word in _YES
    raise ValueError(f"must be yes or no, found {found(raw)}; translate it under `values`")


def _choice(column: Column, raw: Any) -> str:
    word = str(raw)
    if word not in column.choices:
        raise ValueError(f"{found(raw)} is not known{choices(word, column.choices, 'allowed')}; translate it")
    return word
