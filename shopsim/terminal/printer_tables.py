"""How the printers spend their week."""

from __future__ import annotations

from rich.console import Console

from shopsim.clock import MINUTES_PER_WEEK
from shopsim.figures import figure
from shopsim.studies.replicate import Replications
from shopsim.studies.replication import Replication
from shopsim.terminal.tables import chunks, print_table

_RUNNING = ("printing", "tail")
_GROUPS: dict[str, tuple[str, ...]] = {
    "printing, tail included": _RUNNING,
    "changing rolls, heat, mode": ("roll_change", "join", "take_up_change", "set_point", "mode_change"),
    "warming up": ("warming",),
    "waiting for an operator": ("waiting_operator",),
    "waiting for a job": ("waiting_job",),
    "waiting for cloth": ("waiting_material",),
    "stopped: creases, breakdowns": ("minor_stop", "breakdown"),
    "checks, cleaning, first articles": ("nozzle_check", "cleaning", "first_article"),
    "daily care and service": ("care", "service"),
}
OFF = "off, or nobody there"
_HOURS_PER_WEEK = MINUTES_PER_WEEK / 60
_LABEL, _COLUMN = 34, 14


def print_printers(console: Console, found: Replications) -> None:
    """A table with a column a printer, cut into several where the width does not hold them all."""
    printers = [printer.id for printer in found.scenario.printers]
    for names in chunks(printers, console.width - _LABEL, _COLUMN) if printers else []:
        rows = []
        for words in [*_GROUPS, OFF]:
            texts = [
                figure(found.each(lambda row, name=name, words=words: hours(row, name, words)), least=0)  # type: ignore[misc]
                for name in names
            ]
            rows.append((words, *(text.short for text in texts)))
        print_table(
            console, "Printers, hours a week", ("", *names), [row for row in rows if {*row[1:]} != {"0"}],
            "The rows add up to the 168 hours of a week.",
        )  # fmt: skip


def hours(row: Replication, printer: str, words: str) -> float:
    """Hours a week of one printer in one line of the table.

    Hours with nobody there count as off, however the printer was left; printed cloth running through is printing.
    """
    if words == OFF:
        return _HOURS_PER_WEEK - sum(hours(row, printer, each) for each in _GROUPS)
    total = 0.0
    for state in _GROUPS[words]:
        total += row.states.get(("printer", printer, state), 0.0)
        if state not in _RUNNING:
            total -= row.unattended.get((printer, state), 0.0)
    return _HOURS_PER_WEEK * max(0.0, total)
