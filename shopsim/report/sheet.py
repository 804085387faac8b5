"""What a sheet of the workbook is: columns with unit and meaning, rows; and the columns that many of them share."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

Value = str | float | int | bool | None


class Column(NamedTuple):
    """A column: its name, its unit (`name` for text, 1 for counts and shares, `see unit`) and what it holds."""

    name: str
    unit: str
    meaning: str

    @property
    def heading(self) -> str:
        """Name and unit, as the sheet's heading has them."""
        return self.name if self.unit in ("name", "see unit") else f"{self.name} [{self.unit}]"


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of the workbook."""

    name: str
    about: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Value, ...], ...]


QUESTION = Column("question", "1", "Number of the question in the report")
OPTION = Column("option", "name", "The shop as it stands, or what was changed")
MEASURE = Column("measure", "name", "Name of the measure, see the sheet Measure names; an id behind a point is a place")
UNIT = Column("unit", "name", "Unit of the numbers of the row; 1 for counts and shares, CU for the currency")
MEAN = Column("mean", "see unit", "Mean over replications; empty where there was nothing to measure")
LOW = Column("low", "see unit", "Lower end of its interval; empty where there is none")
HIGH = Column("high", "see unit", "Upper end of its interval; empty where there is none")
RUNS = Column("replications", "1", "Replications behind it")
ENDS = (MEAN, LOW, HIGH)
