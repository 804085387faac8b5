"""Hours of printers and places by week from their logs, in the terms of `measures.outcomes.hours_by_week_from`."""

from __future__ import annotations

import datetime
import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from shopsim.clock import MINUTES_PER_WEEK, minute_of
from shopsim.shop.scenario import Scenario
from shopsim.studies.fit_clock import RecordClock
from shopsim.studies.fit_history import whole_weeks

Floats = NDArray[np.float64]
Rows = Sequence[Mapping[str, Any]]


def logged_hours(scenario: Scenario, printer_log: Rows, work_log: Rows, notes: list[str]) -> dict[str, Floats]:
    """Hours in each week of the scenario, NaN in weeks that a log does not wholly cover; what fits no printer or place
    of the scenario is noted."""
    hours = _printers(scenario, printer_log, notes) if printer_log else {}
    if work_log:
        hours |= _places(scenario, work_log, notes)
    return {name: each for name, each in hours.items() if np.isfinite(each).any()}


def _printers(scenario: Scenario, rows: Rows, notes: list[str]) -> dict[str, Floats]:
    known = [row for row in rows if row["printer"] in scenario.by_id("printers")]
    _note_unknown(rows, known, "printer", notes)
    covered = _covered(scenario, known)
    # A log that never names a breakdown does not keep them.
    keeps_breakdowns = any(row.get("event") == "breakdown" for row in known)
    hours: dict[str, Floats] = {}
    for name in dict.fromkeys(row["printer"] for row in known):
        mine = [row for row in known if row["printer"] == name]
        printing, down = _zeros(scenario), _zeros(scenario)
        for row in mine:
            if row.get("event", "print") == "print":
                minutes = row.get("minutes")
                _add(printing, scenario, row["start"], _span_min(row) if minutes is None else float(minutes))
            elif row.get("event") == "breakdown":
                _add_span(down, scenario, row["start"], row["end"])
        hours[f"printing.{name}"] = np.where(covered, printing, np.nan)
        if keeps_breakdowns:
            hours[f"down.{name}"] = np.where(covered, down, np.nan)
    return hours


def _places(scenario: Scenario, rows: Rows, notes: list[str]) -> dict[str, Floats]:
    known = [row for row in rows if row["place"] in scenario.by_id("work_centres")]
    _note_unknown(rows, known, "place", notes)
    covered, clock = _covered(scenario, known), RecordClock(scenario, known)
    hours: dict[str, Floats] = {}
    for row in known:
        place = row["place"]
        minutes = row.get("minutes")
        worked = clock.at_place(place, row["start"], row["end"]) if minutes is None else float(minutes)
        _add(hours.setdefault(f"work.{place}", _zeros(scenario)), scenario, row["start"], worked)
    return {name: np.where(covered, each, np.nan) for name, each in hours.items()}


def _note_unknown(rows: Rows, known: Rows, what: str, notes: list[str]) -> None:
    if len(known) < len(rows):
        names = ", ".join(sorted({str(row[what]) for row in rows} - {str(row[what]) for row in known})[:5])
        notes.append(f"{len(rows) - len(known)} rows of a log left out: the scenario has no {what} {names}")


def _zeros(scenario: Scenario) -> Floats:
    return np.zeros(math.ceil(scenario.horizon_min / MINUTES_PER_WEEK - 1e-9))


def _covered(scenario: Scenario, rows: Rows) -> NDArray[np.bool_]:
    """Weeks from the first to the last row of a log, those that are only partly on record left out."""
    weeks = len(_zeros(scenario))
    if not rows:
        return np.zeros(weeks, dtype=np.bool_)
    first, last = whole_weeks(min(row["start"] for row in rows).date(), max(row["start"] for row in rows).date())
    mondays = [scenario.shop.starts + datetime.timedelta(days=7 * week) for week in range(weeks)]
    return np.array([first <= monday < last for monday in mondays], dtype=np.bool_)


def _add(hours: Floats, scenario: Scenario, at: datetime.datetime, minutes: float) -> None:
    week = int(_minute(scenario, at) // MINUTES_PER_WEEK)
    if 0 <= week < len(hours):
        hours[week] += minutes / 60


def _add_span(hours: Floats, scenario: Scenario, begin: datetime.datetime, end: datetime.datetime) -> None:
    start, stop = _minute(scenario, begin), _minute(scenario, end)
    edges = np.arange(len(hours) + 1) * float(MINUTES_PER_WEEK)
    inside = np.minimum(stop, edges[1:]) - np.maximum(start, edges[:-1])
    hours += np.maximum(inside, 0.0) / 60


def _span_min(row: Mapping[str, Any]) -> float:
    return float((row["end"] - row["start"]).total_seconds() / 60)


def _minute(scenario: Scenario, at: datetime.datetime) -> float:
    return minute_of(at.date(), scenario.shop.starts, at.hour * 60 + at.minute + at.second / 60)
