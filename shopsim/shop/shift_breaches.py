"""Rest-time rules and guidance applied to every shift pattern over its whole rotation: who, when, found, required.

Everybody of a crew works its shift, so a finding holds for each of them. Breaks in a shift count as unpaid. Closures
are left out: the pattern itself is judged. Local law and agreements rule; a finding decides nothing.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

from shopsim.clock import MINUTES_PER_DAY, MINUTES_PER_WEEK, date_of
from shopsim.craft.shift_rules import DIRECTIVE, Breach, Worked, breaches, guidance
from shopsim.shop.people import Shift
from shopsim.shop.scenario import Scenario


@dataclass(frozen=True, slots=True)
class RestFinding:
    """One rule that a shift falls short of, or one piece of guidance it goes against, once or more in its rotation.

    `found` and `required` are hours (days or nights for rows of them); `found` is the worst, `first` the earliest date.
    """

    shift: str
    crews: tuple[str, ...]
    row: str
    what: str
    rule: bool
    first: datetime.date
    times: int
    found: float
    required: float


def worked_shifts(shift: Shift, weeks: int) -> list[Worked]:
    """The shifts of one person over so many weeks of a pattern, from the start Monday on."""
    calendar = shift.calendar(weeks * MINUTES_PER_WEEK)
    found: dict[int, Worked] = {}
    columns = (calendar.starts, calendar.ends, calendar.shift_numbers, calendar.start_days)
    for start, end, number, day in zip(*columns, strict=True):
        if day < 0:
            continue
        before = found.get(number)
        pause = 0.0 if before is None else before.break_min + start - before.end
        found[number] = Worked(start if before is None else before.start, end, pause)
    return list(found.values())


def rest_findings(scenario: Scenario) -> list[RestFinding]:
    """All findings of all manned shifts, minimum rules first, each rule once a shift."""
    found: list[RestFinding] = []
    for shift in scenario.shifts:
        crews = tuple(crew.id for crew in scenario.crews if crew.shift == shift.id and crew.count)
        if crews and not shift.round_the_clock:
            found += _of_shift(shift, crews, scenario.shop.starts)
    return sorted(found, key=lambda finding: not finding.rule)


def _of_shift(shift: Shift, crews: tuple[str, ...], starts: datetime.date) -> Iterator[RestFinding]:
    rotation_min = len(shift.weeks) * MINUTES_PER_WEEK
    # The second rotation is judged, so that the wrap from the last week to the first is seen; more follow until the
    # reference period of the weekly average is full.
    rotations = 1 + ceil(DIRECTIVE.reference_weeks / len(shift.weeks))
    shifts = worked_shifts(shift, rotations * len(shift.weeks))
    for rule, all_found in ((True, breaches(shifts)), (False, guidance(shifts))):
        by_kind: dict[tuple[str, str], list[Breach]] = {}
        for breach in all_found:
            if _is_of_second(breach, rotation_min):
                by_kind.setdefault((breach.row, breach.what), []).append(breach)
        for (row, what), same in by_kind.items():
            worst = max(same, key=lambda breach: abs(breach.found - breach.required))
            first = date_of(min(breach.at for breach in same) % rotation_min, starts)
            yield RestFinding(shift.id, crews, row, what, rule, first, len(same), worst.found, worst.required)


def _is_of_second(breach: Breach, rotation_min: float) -> bool:
    """Whether a breach is of the second rotation; averages, and rows of days that reach into it, are."""
    if breach.what == "weekly hours":
        return True
    if breach.what.endswith("in a row"):
        return breach.at < 2 * rotation_min and breach.at + breach.found * MINUTES_PER_DAY > rotation_min
    return rotation_min <= breach.at < 2 * rotation_min
