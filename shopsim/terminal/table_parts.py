"""Where a table is wider than the terminal: headings of several lines, then a second table below; nothing is cut."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

from rich.cells import cell_len

# Between two columns, as `rich` draws tables with padding to the right and no frame.
_GAP = 2
# Columns that wrap break words longer than this rather than push others into a table of their own.
_LONG_WORD = 14
# Narrower than this, texts of several words grow so tall that they read better in a table below.
_ROOM_FOR_TEXT = 20


@dataclass(frozen=True, slots=True)
class Column:
    """Heading and cells, as they are to be shown. If it `wraps`, it takes several lines where the width is short."""

    head: str
    cells: tuple[str, ...]
    left: bool
    wraps: bool

    def least_width(self, roomy: bool = False) -> int:
        """The width below which it may not be pressed; `roomy` where what wraps is not to grow tall."""
        texts = (self.head, *self.cells)
        if not self.wraps or roomy:
            widest = max(map(_widest_line, texts))
            return min(_ROOM_FOR_TEXT, widest) if self.wraps else widest
        return min(_LONG_WORD, max(map(_longest_word, texts)))

    def with_lower_head(self) -> Column:
        """The same with a heading of as many lines as keep it no wider than its cells, broken between words only."""
        room = max(1, _longest_word(self.head), *map(cell_len, self.cells))
        head = textwrap.fill(self.head, room, break_long_words=False, break_on_hyphens=False)
        return Column(head, self.cells, self.left, self.wraps)

    def that_wraps(self) -> Column:
        """The same, pressed if need be: the last resort, in which a cell is broken but whole."""
        return Column(self.head, self.cells, self.left, True)


def parts_that_fit(columns: Sequence[Column], keys: int, beside: Sequence[int], width: int) -> list[list[Column]]:
    """Tables to print below each other, each no wider than `width`; the first `keys` columns are repeated in each.

    Columns numbered in `beside` stay with the one on their left: an interval with its mean.
    """
    if _fits(columns, width):
        return [list(columns)]
    lower = [each.with_lower_head() for each in columns]
    if _fits(lower, width, roomy=True):
        return [lower]
    key, parts = list(columns[:keys]), list[list[Column]]()
    for unit in _units(columns, keys, beside):
        if parts and _fits([each.with_lower_head() for each in (*key, *parts[-1], *unit)], width, roomy=True):
            parts[-1].extend(unit)
        else:
            parts.append(unit)
    return [_pressed([*key, *part], width) for part in parts] or [_pressed(key, width)]


def _units(columns: Sequence[Column], keys: int, beside: Sequence[int]) -> list[list[Column]]:
    units: list[list[Column]] = []
    for i, each in enumerate(columns[keys:], keys):
        if i in beside and units:
            units[-1].append(each)
        else:
            units.append([each])
    return units


def _pressed(columns: Sequence[Column], width: int) -> list[Column]:
    lower = [each.with_lower_head() for each in columns]
    for way in (columns, lower):
        if _fits(way, width):
            return list(way)
    return [each.that_wraps() for each in columns]


def _fits(columns: Sequence[Column], width: int, roomy: bool = False) -> bool:
    return sum(each.least_width(roomy) for each in columns) + _GAP * (len(columns) - 1) <= width


def _longest_word(text: str) -> int:
    return max(map(cell_len, text.split()), default=0)


def _widest_line(text: str) -> int:
    return max(map(cell_len, text.split("\n")), default=0)
