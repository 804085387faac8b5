"""What a row's values must be together, and what follows from them: ends from minutes, sizes from the product."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from shopsim.shop.exports.cells import Cells
from shopsim.shop.exports.mapping import Mapping

# No banner is longer, no label smaller: beyond these a unit is wrong.
LONGEST_SIDE_M, SHORTEST_SIDE_M = 60.0, 0.02
_LONGEST_WORK = datetime.timedelta(days=7)


def check_row(cells: Cells, mapping: Mapping) -> Iterator[str]:
    """Completes the values of a row and yields the reasons why it cannot be used."""
    yield from _sizes(cells, mapping)
    if mapping.table == "orders":
        yield from _order(cells)
    if mapping.table in ("printer_log", "work_log"):
        yield from _stretch(cells)


def _sizes(cells: Cells, mapping: Mapping) -> Iterator[str]:
    values = cells.values
    sides = {name: values[name] for name in ("width_m", "height_m") if name in values}
    for name, side in sides.items():
        if not SHORTEST_SIDE_M <= side <= LONGEST_SIDE_M:
            yield f"{name}: {side:g} m is beyond {SHORTEST_SIDE_M:g} to {LONGEST_SIDE_M:g} m; is the unit right?"
    if mapping.table == "printer_log":
        return
    default = mapping.default_sizes.get(values.get("product", ""))
    if len(sides) < 2 and default is not None and not sides:
        values["width_m"], values["height_m"] = default.width_m, default.height_m
        cells.notes.append(f"size: empty, {default.width_m:g} m x {default.height_m:g} m of the product taken")
    elif len(sides) == 1:
        yield f"{'height_m' if 'width_m' in sides else 'width_m'} is empty, the other side is not"


def _order(cells: Cells) -> Iterator[str]:
    values = cells.values
    received = values["received"]
    if values["due"] < received.date():
        yield f"due {values['due']} is before the order was received, {received:%Y-%m-%d %H:%M}"
    for name in ("approved", "cancelled", "shipped"):
        if name in values and values[name] < received:
            if values[name] == datetime.datetime.combine(received, datetime.time()):
                values[name] = received
                cells.notes.append(f"{name}: no clock time on the day of receipt: {received:%H:%M} taken")
                continue
            yield f"{name} {values[name]:%Y-%m-%d %H:%M} is before the order was received, {received:%Y-%m-%d %H:%M}"


def _stretch(cells: Cells) -> Iterator[str]:
    values = cells.values
    start, end, minutes = values["start"], values.get("end"), values.get("minutes")
    if end is None:
        if minutes is None:
            yield "neither an end nor minutes"
            return
        values["end"] = start + datetime.timedelta(minutes=minutes)
    elif end < start:
        yield f"ends {end:%Y-%m-%d %H:%M}, before it starts, {start:%Y-%m-%d %H:%M}"
    elif end - start > _LONGEST_WORK:
        yield f"lasts {(end - start).days} days; longer than {_LONGEST_WORK.days} is taken for a slip"
