"""One look for all tables on a terminal: a title, columns without frames, a note below; nothing rests on colour."""

from __future__ import annotations

import io
import textwrap
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from rich.box import SIMPLE_HEAD
from rich.console import Console, JustifyMethod
from rich.table import Table
from rich.text import Text

from shopsim.signs import shown
from shopsim.terminal.table_parts import Column, parts_that_fit

_LEAST_WIDTH = 60
# Wide enough that no table is cut into several for want of room.
_NOTED_WIDTH = 240


@dataclass(frozen=True, slots=True)
class Noted:
    """A table as text; columns numbered in `texts` stand left, all others right."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""
    texts: tuple[int, ...] = field(default=(0,))


class NotePad(Console):
    """A console that notes tables instead of printing them, for doors that show them in their own way."""

    def __init__(self) -> None:
        super().__init__(file=io.StringIO(), width=_NOTED_WIDTH)
        self.tables: list[Noted] = []


def print_table(
    console: Console,
    title: str,
    columns: Sequence[str],
    rows: Iterable[Sequence[str]],
    note: str = "",
    texts: Sequence[int] = (),
    wraps: Sequence[int] = (0,),
    bars: str = "",
    keys: int = 1,
    beside: Sequence[int] = (),
) -> None:
    """Print a table. Columns numbered in `texts` and `wraps` stand left, all others right.

    Where the width is short, those in `wraps` take several lines and the others stay whole; where that is not enough
    headings take several lines, then the table goes on in another below, with its first `keys` columns repeated and
    columns in `beside` next to the one on their left. If the last column is of bars, `bars` explains them; a table that
    is noted goes without them, because a picture shows the same.
    """
    if isinstance(console, NotePad):
        kept = len(columns) - bool(bars)
        left = tuple(sorted({i for i in (*texts, *wraps) if i < kept}))
        noted = tuple(tuple(row[:kept]) for row in rows)
        console.tables.append(Noted(title, tuple(columns[:kept]), noted, note, left))
        return
    note = f"{bars} {note}".strip()
    cells = [[shown(cell) for cell in row] for row in rows]
    fields = [
        Column(shown(name), tuple(row[i] for row in cells), i in texts or i in wraps, i in wraps)
        for i, name in enumerate(columns)
    ]
    console.print()
    console.print(Text(shown(title), style="bold"))
    for number, part in enumerate(parts_that_fit(fields, keys, beside, console.width)):
        if number:
            console.print()
        console.print(_drawn(part))
    if note:
        print_text(console, note)


def _drawn(columns: Sequence[Column]) -> Table:
    table = Table(box=SIMPLE_HEAD, pad_edge=False, show_edge=False, padding=(0, 1, 0, 0), header_style="")
    for each in columns:
        side: JustifyMethod = "left" if each.left else "right"
        # Text is never read as markup: names come from files.
        table.add_column(Text(each.head), justify=side, no_wrap=not each.wraps, overflow="fold")
    for row in zip(*(each.cells for each in columns), strict=True):
        table.add_row(*map(Text, row))
    return table


def print_text(console: Console, text: str, indent: str = "", hang: str | None = None) -> None:
    """Print a paragraph, wrapped between words to the width of the console; `hang` indents all lines but the first."""
    width = max(_LEAST_WIDTH, console.width)
    later = indent if hang is None else hang
    # `on-time` stays whole.
    filled = textwrap.fill(
        shown(text, besides="\n"), width, initial_indent=indent, subsequent_indent=later, break_on_hyphens=False
    )
    console.print(Text(filled), soft_wrap=True)


def print_notes(console: Console, notes: Mapping[str, Sequence[str]]) -> None:
    """Print what is to be heeded of each option, a paragraph each."""
    for name, lines in notes.items():
        for line in lines:
            console.print()
            print_text(console, f"{name}: {line}")


def chunks(names: Sequence[str], room: int, each: int) -> list[Sequence[str]]:
    """Names cut into groups of as many columns of width `each` as fit into `room`, at least one a group."""
    size = max(1, room // each)
    return [names[i : i + size] for i in range(0, len(names), size)]
