"""A week on the floor as text: a row for each printer, place and person, a block of lines for each day."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from datetime import timedelta

from shopsim.clock import MINUTES_PER_DAY, MINUTES_PER_WEEK, WEEKDAYS, date_of
from shopsim.floor.record import RunLog
from shopsim.shop.scenario import Scenario
from shopsim.terminal.week_rows import PERSON_SIGNS, PRINTER_SIGNS, Row, Week, week_rows

_CELLS_MIN = (15, 30, 60)
_LONGEST_LABEL = 24
_LABEL_END = 9
_MEANINGS = {
    "waiting_job": "waiting for a job",
    "waiting_material": "waiting for cloth",
    "waiting_operator": "waiting for an operator",
    "set_point": "heating or cooling the plate",
    "first_article": "first article",
    "care": "daily care",
    "attention": "watching a printer",
    "frame_fit": "frame fitting",
    "rods": "ropes and rods",
    "idle": "no work",
    "service": "planned service",
}


def week_gantt(log: RunLog, scenario: Scenario, week: int, width: int) -> str:
    """The text for week `week` of the study, counted from 1 after any warm-up, at most `width` columns where possible.

    A sign stands for 15 minutes where the width allows it, else for 30 or 60. Raises ValueError for a week outside the
    study.
    """
    weeks = int((log.horizon_min - log.warm_up_min) // MINUTES_PER_WEEK)
    if not 1 <= week <= weeks:
        raise ValueError(f"the study has weeks 1 to {weeks}, found {week}")
    first_monday = -(-log.warm_up_min // MINUTES_PER_WEEK) * MINUTES_PER_WEEK
    found = _fitting(log, scenario, first_monday + (week - 1) * MINUTES_PER_WEEK, width)
    monday = date_of(found.start_min, scenario.shop.starts)
    head = (
        f"Week {week}, {monday.isoformat()} to {(monday + timedelta(days=6)).isoformat()}, replication "
        f"{log.replication}: each sign is what filled most of {found.cell_min} minutes"
    )
    lines = textwrap.wrap(head, width)
    for day in range(7):
        lines += ["", *_day(found, day, f"{WEEKDAYS[day]} {(monday + timedelta(days=day)).isoformat()}")]
    return "\n".join([*lines, "", *_legend(found, width)])


def _fitting(log: RunLog, scenario: Scenario, start_min: float, width: int) -> Week:
    for cell_min in _CELLS_MIN:
        week = week_rows(log, scenario, start_min, cell_min)
        first, last = week.hours()
        if _label_width(week) + 1 + (last - first) * 60 // cell_min <= width:
            break
    return week


def _label_width(week: Week) -> int:
    labels = [row.label for row in (*week.printers, *week.places, *week.people)]
    return min(_LONGEST_LABEL, max(map(len, ["Mon 2026-01-01", *labels])))


def _day(week: Week, day: int, title: str) -> Iterator[str]:
    first, last = week.hours()
    per_hour = 60 // week.cell_min
    begin = (day * MINUTES_PER_DAY // 60 + first) * per_hour
    end = begin + (last - first) * per_hour
    margin = _label_width(week)
    groups = (week.printers, week.places, week.people)
    shown = [[row for row in rows if row.signs[begin:end].strip()] for rows in groups]
    if not any(shown):
        yield f"{title}  closed"
        return
    yield f"{title:{margin}} {_hours(first, last, per_hour)}".rstrip()
    for rows in shown:
        for row in rows:
            yield f"{_short(row, margin):{margin}} {row.signs[begin:end]}".rstrip()


def _hours(first: int, last: int, per_hour: int) -> str:
    """Hours of the day over their first cells, as many as have room."""
    every = 1 if per_hour >= 4 else 2 if per_hour == 2 else 4
    marks = [f"{hour:02d}" if (hour - first) % every == 0 else "" for hour in range(first, last)]
    line = ""
    for position, mark in enumerate(marks):
        if mark:
            line = line.ljust(position * per_hour) + mark
    return line


def _short(row: Row, width: int) -> str:
    """The label, cut in its middle: what tells people of one crew apart stands at the end."""
    if len(row.label) <= width:
        return row.label
    return f"{row.label[: width - _LABEL_END - 1]}~{row.label[-_LABEL_END:]}"


def _legend(week: Week, width: int) -> Iterator[str]:
    yield from _signs("Printers", week.printers, PRINTER_SIGNS, width)
    if week.places:
        yield from _wrapped(
            "Places and their seats", ["number of seats at work", ". open, no seat at work", "blank closed"], width
        )
    yield from _signs("People", week.people, PERSON_SIGNS, width)


def _signs(title: str, rows: Sequence[Row], signs: dict[str, str], width: int) -> Iterator[str]:
    used = set("".join(row.signs for row in rows))
    words = [f"{sign} {_meaning(name)}" for name, sign in signs.items() if sign in used and sign != " "]
    if words:
        yield from _wrapped(title, [*words, "blank off"], width)


def _meaning(name: str) -> str:
    return _MEANINGS.get(name, name.replace("_", " "))


def _wrapped(title: str, words: list[str], width: int) -> list[str]:
    # Words of one entry stay together.
    text = f"{title}: " + ", ".join(word.replace(" ", "\0") for word in words)
    return [line.replace("\0", " ") for line in textwrap.wrap(text, width, subsequent_indent="  ")]
