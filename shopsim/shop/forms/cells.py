"""From plain scenario values to what a cell shows, and back."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from typing import Any

from shopsim.shop.default_values import at_root
from shopsim.shop.forms.columns import Column
from shopsim.shop.forms.spread_text import read_spread, spread_text
from shopsim.shop.model_paths import Path

Cell = str | float | int | bool | datetime.date | list[str] | None


def value_at(values: Any, path: Path) -> Any:
    """What a scenario has at a path, defaults included; None for what it says is not there, or cannot hold."""
    spot = at_root(values)
    for part in path:
        if isinstance(part, int):
            if not isinstance(spot.here, list | tuple) or part >= len(spot.here):
                return None
            spot = spot.item(part)
        elif not isinstance(spot.here, dict) or (part in spot.here and spot.here[part] is None):
            return None
        elif part == "every_running_h" and spot.here.get("every_calendar_h") is not None and part not in spot.here:
            # The usual running hours do not hold for what fails by the calendar.
            return None
        else:
            spot = spot.key(part)
    return spot.here


def cell_of(column: Column, value: Any) -> Cell:
    """What a cell of the column shows for a plain value; None if it shows nothing, or nothing of its kind."""
    if column.kind == "group":
        return value is not None
    if value is None:
        return None
    if column.kind == "yes_no":
        return value if isinstance(value, bool) else None
    if column.kind in ("number", "whole"):
        return _number(column, value)
    if column.kind == "spread":
        return spread_text(value)
    if column.kind == "date":
        return value if isinstance(value, datetime.date) else None
    if column.kind == "several":
        return [str(each) for each in value] if isinstance(value, list | tuple) else None
    return str(value)


def _number(column: Column, value: Any) -> Cell:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    return float(value) if column.kind == "number" else int(value)


def plain_of(column: Column, cell: Any) -> Any:
    """The plain value of what stands in a cell now; None for an empty one.

    What cannot be read is kept as it is, so that checking the scenario finds the fault and its place.
    """
    if is_empty(cell):
        return None
    if column.kind == "spread":
        return read_spread(str(cell))
    if column.kind == "several":
        return [str(each) for each in cell]
    if column.kind == "number" and isinstance(cell, int | float):
        return int(cell) if float(cell).is_integer() and abs(cell) < 1e15 else float(cell)
    if column.kind == "whole" and isinstance(cell, float) and cell.is_integer():
        return int(cell)
    if column.kind == "date" and isinstance(cell, str | datetime.datetime):
        return _date(cell)
    return cell.strip() if isinstance(cell, str) else cell


def _date(cell: str | datetime.datetime) -> Any:
    if isinstance(cell, datetime.datetime):
        return cell.date()
    try:
        return datetime.date.fromisoformat(cell[:10])
    except ValueError:
        return cell


def is_empty(cell: Any) -> bool:
    """Whether a cell holds nothing: none, blank text, an empty list, or the table's mark for a missing number."""
    if cell is None or cell != cell:
        return True
    return isinstance(cell, str | list | tuple) and not (cell.strip() if isinstance(cell, str) else cell)


def path_of(path: Sequence[str | int]) -> str:
    """A path as changes write it, items by position: ``printers[0].head.swath_m``."""
    text = ""
    for part in path:
        text += f"[{part}]" if isinstance(part, int) else f".{part}" if text else part
    return text
