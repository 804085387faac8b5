"""One printer's log: its rows in order, what an event took, how long the printer ran."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from shopsim.shop.printers import Printer

Row = Mapping[str, Any]
Net = Callable[[datetime.datetime, datetime.datetime], float]
# Parts that a printer may be without, by the event that tells of them; a log that has any gives it one.
PARTS = {"nozzle_check": "nozzle_check", "minor_stop": "minor_stops", "breakdown": "breakdowns"}


class PrinterLog(NamedTuple):
    """Rows by their start; `net` gives the attended minutes between two times."""

    printer: Printer
    rows: list[Row]
    net: Net

    def of(self, event: str) -> list[Row]:
        """The rows of an event; a row without one is a run."""
        return [row for row in self.rows if row.get("event", "print") == event]

    def tells_of(self, event: str) -> bool:
        """Whether the printer has what an event is about, or the log has the event."""
        part = PARTS.get(event)
        return part is None or getattr(self.printer, part) is not None or bool(self.of(event))

    def minutes(self, row: Row) -> float:
        """What the row says; else, for printing, from start to end, and attended minutes for work by hand."""
        if row.get("minutes") is not None:
            return float(row["minutes"])
        if row.get("event", "print") == "print":
            return float((row["end"] - row["start"]).total_seconds() / 60)
        return self.net(row["start"], row["end"])

    @property
    def running_min(self) -> float:
        """Minutes of printing."""
        return sum(self.minutes(row) for row in self.of("print"))
