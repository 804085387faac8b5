"""How busy places and people are, and how long work waits before each place."""

from __future__ import annotations

import math

from rich.console import Console

from shopsim.figures import figure, percent
from shopsim.studies.replicate import Replications
from shopsim.studies.replication import Replication
from shopsim.terminal.tables import print_table

_NOT_WORK = ("idle", "break", "off_shift", "absent")


def print_places(console: Console, found: Replications) -> None:
    """Seats, the share of open seat time worked, and the mean wait of work before it is begun."""
    scenario = found.scenario
    seats = {centre.id: str(centre.seats) for centre in scenario.work_centres}
    seats |= {drum.id: str(drum.count) for drum in scenario.calenders}
    if scenario.printers:
        seats["print room"] = ""
    rows = []
    for name, count in seats.items():
        wait = figure(found.interval("measures", f"wait_mean_h.{name}"), least=0)
        busy = percent(found.interval("measures", f"busy_share.{name}")) if count else None
        if wait.mean != "-" or (busy is not None and busy.mean not in ("-", "0")):
            rows.append((name, count, busy.short if busy else "", wait.short))
    print_table(
        console, "Places", ("", "seats", "at work, % of open time", "work waits before it, h"), rows,
        "Waits are on the clock: nights and weekends count.",
    )  # fmt: skip


def print_people(console: Console, found: Replications) -> None:
    """What the planned hours of each crew went into."""
    rows = []
    for crew in found.scenario.crews:
        if crew.count:
            shares = [
                found.each(lambda row, crew=crew, what=what: _share(row, crew.id, what))  # type: ignore[misc]
                for what in ("work", "idle", "absent")
            ]
            rows.append((crew.id, str(crew.count), *(percent(share).short for share in shares)))
    print_table(console, "People, % of planned hours", ("", "people", "at work", "no work", "absent"), rows)


def _share(row: Replication, crew: str, what: str) -> float:
    mine = {state: share for (kind, name, state), share in row.states.items() if (kind, name) == ("crew", crew)}
    work = sum(share for state, share in mine.items() if state not in _NOT_WORK)
    planned = work + mine.get("idle", 0.0) + mine.get("absent", 0.0)
    part = work if what == "work" else mine.get(what, 0.0)
    return part / planned if planned else math.nan
