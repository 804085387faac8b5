"""What can go wrong, as a tree::

    ShopsimError            anything shopsim itself complains about
    +-- InputError          something given to us is wrong; carries all problems found, not only the first
    |   +-- ScenarioError   a scenario file
    |   +-- OrderBookError  an order book
    |   +-- WhatIfError     a what-if file or a change that does not fit its base
    |   +-- TodayError      a file of the shop this morning, or an order book's status column
    |   +-- RangesError     a file of ranges, or a range that does not fit the scenario
    |   +-- MappingError    a mapping file: which column of an export is which of ours
    |   +-- ExportError     an export that cannot be read, or in which nothing is usable
    +-- AuditError          the books of a finished run do not balance: a fault of ours, not of the user
    +-- CompileError        the compiled engine could not be built, or does not give the records of its source
    +-- EngineError         replications could not be run: workers or a cluster were lost
    +-- StoreError          finished replications could not be kept
    +-- StoppedError        a study was told to stop

Wrong arguments to a function stay ``ValueError`` or ``TypeError``.
"""

from collections.abc import Iterable
from dataclasses import dataclass


class ShopsimError(Exception):
    """Base of every error this package raises on purpose."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One fault in something that was read: where it stands, which value it concerns, what is wrong.

    ``line`` and ``column`` count from 1 and are None where the source has none (a worksheet, a form);
    ``path`` names the value inside the file, e.g. ``printers.1.print_width_m``, and may be empty.
    """

    file: str
    line: int | None
    column: int | None
    path: str
    message: str

    def __str__(self) -> str:
        place = self.file
        if self.line is not None:
            place += f":{self.line}" if place else f"line {self.line}"
            if self.column is not None:
                place += f":{self.column}"
        return ": ".join(part for part in (place, self.path, self.message) if part)


class InputError(ShopsimError):
    """Input that cannot be used. ``problems`` holds every fault found; the text shows one a line.

    Raises ValueError when built without any problem.
    """

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(problems)
        if not self.problems:
            raise ValueError("an input error needs at least one problem, got none")
        # Not the argument as given: a generator could not travel back from a worker process.
        super().__init__(self.problems)

    def __str__(self) -> str:
        return "\n".join(str(problem) for problem in self.problems)


class ScenarioError(InputError):
    """A scenario file is not sound."""


class OrderBookError(InputError):
    """An order book is not sound."""


class WhatIfError(InputError):
    """A what-if file is not sound, or one of its changes does not fit the base scenario."""


class TodayError(InputError):
    """What is told of the shop this morning is not sound, or does not fit its scenario."""


class RangesError(InputError):
    """A file of ranges is not sound, or one of them does not fit the scenario."""


class MappingError(InputError):
    """A mapping file is not sound."""


class ExportError(InputError):
    """An export cannot be read as a table, or none of its rows is usable."""


class SnapshotError(InputError):
    """A state of the shop that was kept is not sound, or is not of this shop."""


class AuditError(ShopsimError):
    """Something went in and neither came out nor is still inside."""


class CompileError(ShopsimError):
    """The compiled engine cannot be used; the source goes on running."""


class EngineError(ShopsimError):
    """Replications could not be run where they were asked for."""


class StoreError(ShopsimError):
    """The file of finished replications cannot be read or written."""


class StoppedError(ShopsimError):
    """Whoever asked for a study told it to stop."""
