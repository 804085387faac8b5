"""What a report is written in: a few kinds of block, which every way of writing it out knows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from shopsim.report.markup import Markup


@dataclass(frozen=True, slots=True)
class Para:
    """A paragraph. `style` is one of: plain, lead (the sentence of an answer), asked (its question), asks (what
    an item of a list asks for), small, caution."""

    text: str
    style: str = "plain"


@dataclass(frozen=True, slots=True)
class Lines:
    """A list, a line each; under a caption if there is one."""

    lines: tuple[str, ...]
    caption: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of text under headings; columns numbered in `left` stand left, numbers right."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""
    left: tuple[int, ...] = (0,)


@dataclass(frozen=True, slots=True)
class Picture:
    """A Plotly figure as plain values, and what it shows in words."""

    figure: dict[str, Any]
    words: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing of our own (SVG), and what it shows in words."""

    svg: Markup
    words: str


@dataclass(frozen=True, slots=True)
class Verbatim:
    """Text shown line by line as it stands, e.g. commands."""

    text: str


@dataclass(frozen=True, slots=True)
class Open:
    """What only a person can fill in."""

    text: str


Block = Para | Lines | Table | Picture | Drawing | Verbatim | Open


@dataclass(frozen=True, slots=True)
class Section:
    """Blocks under a heading of a level from 2 on; `id` is an address within the page."""

    id: str
    title: str
    blocks: tuple[Block, ...]
    level: int = 2
    new_page: bool = False
    sections: tuple[Section, ...] = field(default=())

    def walk(self) -> Iterator[Section]:
        """This section and all inside it."""
        yield self
        for inside in self.sections:
            yield from inside.walk()


def table(title: str, columns: Sequence[str], rows: Sequence[Sequence[object]], note: str = "",
          left: Sequence[int] = (0,)) -> Table:  # fmt: skip
    """A table of anything that can be told as text."""
    return Table(title, tuple(columns), tuple(tuple(map(str, row)) for row in rows), note, tuple(left))
