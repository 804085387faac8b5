"""Kinds of values in a state: how each is written as plain JSON, and read back with a word on what is wrong.

`write(value, book)` gives the plain form, `read(cell, shelf)` the value again; the book numbers what is referred to,
the shelf finds it (`document`). What does not fit raises UnfitError, which learns on its way up where the cell stands.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Sequence
from itertools import repeat
from typing import Any, NoReturn, Protocol

Cell = Any
_INFINITE = {"inf": math.inf, "-inf": -math.inf}


class Book(Protocol):
    """Numbers things as they are met, and names the parts of the floor."""

    def number(self, table: str, thing: object) -> int:
        """The number of a thing in its table."""

    def name(self, part: object) -> str:
        """The name of a part."""


class Shelf(Protocol):
    """Finds things by number and parts by name."""

    def thing(self, table: str, number: int) -> Any:
        """The thing of this number; None if there is none."""

    def part(self, name: str) -> Any:
        """The part of this name; None if there is none."""


class Kind(Protocol):
    """One kind of value."""

    def write(self, value: Any, book: Book) -> Cell:
        """The plain form of a value."""

    def read(self, cell: Cell, shelf: Shelf) -> Any:
        """The value of a plain form. Raises UnfitError."""


class UnfitError(Exception):
    """A cell is not what is wanted. `path` grows as it passes through what holds the cell."""

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.path = ""

    def under(self, place: str) -> UnfitError:
        """It stands at this place of what holds it."""
        self.path = f"{place}{self.path}"
        return self


def refuse(wanted: str, cell: Cell) -> NoReturn:
    """Say what was wanted and found. Raises UnfitError."""
    found = repr(cell)
    raise UnfitError(f"{wanted} expected, found {found if len(found) <= 60 else f'{found[:60]}…'}")


class Number:
    """A number; infinity is written as a word, for JSON has none."""

    def write(self, value: float, book: Book) -> Cell:
        """The plain form."""
        return repr(value) if math.isinf(value) else float(value)

    def read(self, cell: Cell, shelf: Shelf) -> float:
        """The value."""
        if isinstance(cell, str) and cell in _INFINITE:
            return _INFINITE[cell]
        if isinstance(cell, bool) or not isinstance(cell, int | float) or not math.isfinite(cell):
            refuse("a number", cell)
        return float(cell)


class Plain:
    """A whole number, a yes or no, or a text."""

    def __init__(self, made: type, wanted: str) -> None:
        self.made = made
        self.wanted = wanted

    def write(self, value: Any, book: Book) -> Cell:
        """The plain form."""
        plain = self.made(value)
        assert plain == value, value
        return plain

    def read(self, cell: Cell, shelf: Shelf) -> Any:
        """The value."""
        if type(cell) is not self.made:
            refuse(self.wanted, cell)
        return cell


class Coded:
    """One of a list of names, kept on the floor as its place in the list."""

    def __init__(self, names: Sequence[str]) -> None:
        self.names = names

    def write(self, value: int, book: Book) -> Cell:
        """The plain form."""
        return self.names[value]

    def read(self, cell: Cell, shelf: Shelf) -> int:
        """The value."""
        if not isinstance(cell, str) or cell not in self.names:
            refuse(f"one of {', '.join(self.names)}", cell)
        return self.names.index(cell)


class Nothing:
    """No value at all."""

    def write(self, value: None, book: Book) -> Cell:
        """The plain form."""
        return

    def read(self, cell: Cell, shelf: Shelf) -> None:
        """The value."""
        if cell is not None:
            refuse("nothing", cell)


class Maybe:
    """A value or nothing."""

    def __init__(self, kind: Kind) -> None:
        self.kind = kind

    def write(self, value: Any, book: Book) -> Cell:
        """The plain form."""
        return None if value is None else self.kind.write(value, book)

    def read(self, cell: Cell, shelf: Shelf) -> Any:
        """The value."""
        return None if cell is None else self.kind.read(cell, shelf)


class Several:
    """Any number of values, in a list or what `made` makes of one; `rank` orders what has no order of its own."""

    def __init__(
        self, kind: Kind, made: Callable[[list[Any]], Any] = list, rank: Callable[[Any], Any] | None = None
    ) -> None:
        self.kind = kind
        self.made = made
        self.rank = rank

    def write(self, value: Iterable[Any], book: Book) -> Cell:
        """The plain form."""
        each = value if self.rank is None else sorted(value, key=self.rank)
        return [self.kind.write(item, book) for item in each]

    def read(self, cell: Cell, shelf: Shelf) -> Any:
        """The value."""
        if not isinstance(cell, list):
            refuse("a list", cell)
        return self.made(read_each(zip(repeat(self.kind), cell, strict=False), shelf))


class Together:
    """So many values of these kinds, in a tuple."""

    def __init__(self, *kinds: Kind) -> None:
        self.kinds = kinds

    def write(self, value: Sequence[Any], book: Book) -> Cell:
        """The plain form."""
        return [kind.write(item, book) for kind, item in zip(self.kinds, value, strict=True)]

    def read(self, cell: Cell, shelf: Shelf) -> Any:
        """The value."""
        if not isinstance(cell, list) or len(cell) != len(self.kinds):
            refuse(f"a list of {len(self.kinds)}", cell)
        return tuple(read_each(zip(self.kinds, cell, strict=True), shelf))


def read_each(cells: Iterable[tuple[Kind, Cell]], shelf: Shelf, first: int = 0) -> list[Any]:
    """The values of some cells, each of its kind; the first one's number tells where a fault is. Raises UnfitError."""
    values: list[Any] = []
    try:
        for kind, cell in cells:
            values.append(kind.read(cell, shelf))
    except UnfitError as fault:
        raise fault.under(f"[{first + len(values)}]") from None
    return values


class Attributes:
    """Some attributes of an object by name; a leading underscore is left out in the plain form."""

    def __init__(self, kinds: dict[str, Kind]) -> None:
        self.kinds = [(name, name.lstrip("_"), kind) for name, kind in kinds.items()]
        self.names = frozenset(shown for _, shown, _ in self.kinds)

    def write(self, owner: object, book: Book) -> dict[str, Cell]:
        """The plain form."""
        return {shown: kind.write(getattr(owner, name), book) for name, shown, kind in self.kinds}

    def read(self, cells: Cell, shelf: Shelf) -> dict[str, Any]:
        """The values by name of attribute."""
        check_names(cells, self.names)
        return self.read_among(cells, shelf)

    def read_among(self, cells: dict[str, Cell], shelf: Shelf) -> dict[str, Any]:
        """The values by name of attribute, from cells that are known to have these among others."""
        values = {}
        shown = ""
        try:
            for name, shown, kind in self.kinds:
                values[name] = kind.read(cells[shown], shelf)
        except UnfitError as fault:
            raise fault.under(f".{shown}") from None
        return values


def check_names(cells: Cell, wanted: Collection[str]) -> None:
    """Raises UnfitError unless a mapping has just these names."""
    if not isinstance(cells, dict):
        refuse("named values", cells)
    if cells.keys() != wanted:
        for name in sorted(set(wanted) - cells.keys()):
            raise UnfitError("is missing").under(f".{name}")
        for name in sorted(cells.keys() - set(wanted)):
            raise UnfitError("is not known here").under(f".{name}")


class Fields:
    """An object that one other alone holds: its attributes in the order in which `made` takes them; `further` are set
    once it is made."""

    def __init__(self, made: Callable[..., Any], further: dict[str, Kind] | None = None, **kinds: Kind) -> None:
        self.made = made
        self.all = Attributes({**kinds, **(further or {})})
        self.further = list(further or ())

    def write(self, value: Any, book: Book) -> Cell:
        """The plain form."""
        return self.all.write(value, book)

    def read(self, cell: Cell, shelf: Shelf) -> Any:
        """The value."""
        values = self.all.read(cell, shelf)
        later = [(name, values.pop(name)) for name in self.further]
        made = self.made(*values.values())
        for name, value in later:
            setattr(made, name, value)
        return made


class Mapping:
    """A dict, as pairs in its order."""

    def __init__(self, key: Kind, kind: Kind) -> None:
        self.pairs = Several(Together(key, kind), dict)

    def write(self, value: dict[Any, Any], book: Book) -> Cell:
        """The plain form."""
        return self.pairs.write(value.items(), book)

    def read(self, cell: Cell, shelf: Shelf) -> Any:
        """The value."""
        return self.pairs.read(cell, shelf)


class Keyed:
    """A dict whose keys follow from its values, as the values in its order."""

    def __init__(self, kind: Kind, key: Callable[[Any], Any]) -> None:
        self.values = Several(kind)
        self.key = key

    def write(self, value: dict[Any, Any], book: Book) -> Cell:
        """The plain form."""
        return self.values.write(value.values(), book)

    def read(self, cell: Cell, shelf: Shelf) -> Any:
        """The value."""
        return {self.key(value): value for value in self.values.read(cell, shelf)}


class Thing:
    """A thing that several may refer to, by its number in a table."""

    def __init__(self, table: str) -> None:
        self.table = table

    def write(self, value: object, book: Book) -> Cell:
        """The plain form."""
        return book.number(self.table, value)

    def read(self, cell: Cell, shelf: Shelf) -> Any:
        """The value."""
        found = shelf.thing(self.table, cell) if type(cell) is int else None
        if found is None:
            refuse(f"the number of one of the {self.table}", cell)
        return found


class Part:
    """A part of the floor that is there from the start, by name."""

    def __init__(self, made: type, wanted: str) -> None:
        self.made = made
        self.wanted = wanted

    def write(self, value: object, book: Book) -> Cell:
        """The plain form."""
        return book.name(value)

    def read(self, cell: Cell, shelf: Shelf) -> Any:
        """The value."""
        found = shelf.part(cell) if isinstance(cell, str) else None
        if not isinstance(found, self.made):
            refuse(f"the name of {self.wanted}", cell)
        return found


class Row:
    """A packed row of the log, as its numbers."""

    def __init__(self, pack: Callable[..., bytes], unpack: Callable[[bytes], tuple[float, ...]]) -> None:
        self.numbers = Several(NUMBER)
        self.pack = pack
        self.unpack = unpack

    def write(self, value: bytes, book: Book) -> Cell:
        """The plain form."""
        return self.numbers.write(self.unpack(value), book)

    def read(self, cell: Cell, shelf: Shelf) -> bytes:
        """The value."""
        return self.pack(*self.numbers.read(cell, shelf))


NUMBER, NOTHING = Number(), Nothing()
WHOLE, TRUTH, TEXT = Plain(int, "a whole number"), Plain(bool, "true or false"), Plain(str, "a text")
