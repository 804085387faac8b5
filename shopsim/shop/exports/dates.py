"""Dates and times as people and spreadsheets write them: ISO, 31.12.2026, 12/31/2026, 5 Jan 26, serial numbers.

As in `quantities`, a reader returns the value and a note, or raises ValueError; a date that could be two is refused
unless the mapping says which part comes first.
"""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass
from typing import Any, Literal

from shopsim.shop.plain_messages import found

DateOrder = Literal["day_first", "month_first"]
# Spreadsheets count days from here; 60 is a 29 February 1900 that never was, so counting starts a day early.
_EPOCHS = {1900: datetime.datetime(1899, 12, 30), 1904: datetime.datetime(1904, 1, 1)}
# 1954 to 2173: anything else in a column of dates is another number.
_SERIALS = (20_000.0, 100_000.0)
_MONTHS = (
    ("jan", "jän"), ("feb",), ("mar", "mär", "mrz"), ("apr",), ("may", "mai"), ("jun",), ("jul",), ("aug",), ("sep",),
    ("oct", "okt"), ("nov",), ("dec", "dez"),
)  # fmt: skip
_MONTH_NAMES = frozenset((
    "january", "february", "march", "april", "june", "july", "august", "september", "october", "november", "december",
    "januar", "jänner", "februar", "märz", "juni", "juli", "oktober", "dezember", "sept",
))  # fmt: skip
_WEEKDAY = re.compile(
    r"^(mon|tue|wed|thu|fri|sat|sun|montag|dienstag|mittwoch|donnerstag|freitag|samstag|sonntag|monday|tuesday|"
    r"wednesday|thursday|friday|saturday|sunday|mo|di|mi|do|fr|sa|so)\b[.,]*\s*",
    re.IGNORECASE,
)
_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?!\d)")
_PACKED = re.compile(r"(20\d{2})(\d{2})(\d{2})(?!\d)")
_NUMERIC = re.compile(r"(\d{1,2})([./-])\s?(\d{1,2})\2\s?(\d{4}|\d{2})(?!\d)")
_DAY_WORD = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?\.?[ -]?([^\W\d]{3,9})\.?,?[ -]?(\d{4}|\d{2})(?!\d)", re.IGNORECASE)
_WORD_DAY = re.compile(r"([^\W\d]{3,9})\.?\s(\d{1,2})(?:st|nd|rd|th)?,?\s(\d{4}|\d{2})(?!\d)", re.IGNORECASE)
_CLOCK = re.compile(
    r"(\d{1,2})[:.](\d{2})(?:[:.](\d{2})(?:[.,]\d{1,9})?)?\s*(am|pm|a\.m\.|p\.m\.|uhr|h)?", re.IGNORECASE
)
_ZONE = re.compile(r"\s*(z|utc|[+-]\d{2}:?\d{2})$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class DateRules:
    """What a mapping says of its dates; `order` None means it does not say."""

    order: DateOrder | None = None
    serials_from: int = 1900


@dataclass(frozen=True, slots=True)
class Moment:
    """What a cell says of a time: the day, the clock, or both."""

    day: datetime.date | None
    clock: datetime.time | None
    note: str | None = None


def read_moment(cell: Any, rules: DateRules) -> Moment:
    """Day and clock in a cell. Raises ValueError for anything else, for days that are not in the calendar, and for
    texts that could be two days."""
    if isinstance(cell, datetime.datetime):
        whole = (cell + datetime.timedelta(milliseconds=500)).replace(microsecond=0, tzinfo=None)
        return Moment(whole.date(), whole.time())
    if isinstance(cell, datetime.date):
        return Moment(cell, None)
    if isinstance(cell, datetime.time):
        return Moment(None, cell.replace(microsecond=0, tzinfo=None))
    if isinstance(cell, bool) or not isinstance(cell, int | float | str):
        raise ValueError(f"must be a date, found {found(cell)}")
    if isinstance(cell, int | float) or re.fullmatch(r"\d{5}([.,]\d{1,12})?", cell.strip()):
        return _from_serial(float(str(cell).strip().replace(",", ".")), cell, rules)
    return _from_text(_WEEKDAY.sub("", " ".join(cell.removeprefix("'").split())), cell, rules)


def _from_serial(number: float, cell: Any, rules: DateRules) -> Moment:
    if 20_000_000 < number < 21_000_000 and number == int(number):
        return _from_text(str(int(number)), str(int(number)), rules)
    if not _SERIALS[0] <= number <= _SERIALS[1]:
        raise ValueError(f"must be a date, found {found(cell)}")
    seconds = round(number * 86400)
    at = _EPOCHS[rules.serials_from] + datetime.timedelta(seconds=seconds)
    clock = at.time() if at.time() != datetime.time() else None
    note = f"spreadsheet number {number:g} read as {at.date() if clock is None else at.isoformat(' ', 'minutes')}"
    return Moment(at.date(), clock, note)


def _from_text(text: str, cell: str, rules: DateRules) -> Moment:
    day, rest, note = _day_in(text, cell, rules)
    rest = rest.lstrip(" ,T-").strip() if day is not None else rest.strip()
    if not rest:
        return Moment(day, None, note)
    zone = _ZONE.search(rest) if day is not None else None
    if zone:
        rest, note = rest[: zone.start()].strip(), f"zone {zone[1]} left out of {cell.strip()!r}"
    clock = _clock(rest)
    if clock is None:
        raise ValueError(f"must be a date, found {found(cell)}")
    return Moment(day, clock, note)


def _day_in(text: str, cell: str, rules: DateRules) -> tuple[datetime.date | None, str, str | None]:
    """The day at the start of a text, what stands behind it, and a note."""
    for pattern in (_ISO, _PACKED):
        match = pattern.match(text)
        if match:
            return _date(int(match[1]), int(match[2]), int(match[3]), cell), text[match.end() :], None
    match = _NUMERIC.match(text)
    if match:
        year, short = _year(match[4])
        day, month = _day_and_month(int(match[1]), int(match[3]), match[2], cell, rules)
        return _date(year, month, day, cell), text[match.end() :], f"year {match[4]} read as {year}" if short else None
    for pattern, day_at, word_at in ((_DAY_WORD, 1, 2), (_WORD_DAY, 2, 1)):
        match = pattern.match(text)
        number = _month(match[word_at]) if match else None
        if match and number:
            year, short = _year(match[3])
            made = _date(year, number, int(match[day_at]), cell)
            return made, text[match.end() :], f"year {match[3]} read as {year}" if short else None
    return None, text, None


def _day_and_month(first: int, second: int, sign: str, cell: str, rules: DateRules) -> tuple[int, int]:
    # With points the day stands first everywhere they are used.
    order = rules.order or ("day_first" if sign == "." else None)
    if order == "day_first":
        return first, second
    if order == "month_first":
        return second, first
    if first > 12 or first == second:
        return first, second
    if second > 12:
        return second, first
    raise ValueError(f"{found(cell)} could be day or month first; give `date_order`")


def _date(year: int, month: int, day: int, cell: str) -> datetime.date:
    try:
        return datetime.date(year, month, day)
    except ValueError:
        raise ValueError(f"there is no such day: {found(cell)}, read as day {day}, month {month}") from None


def _year(text: str) -> tuple[int, bool]:
    return (2000 + int(text), True) if len(text) == 2 else (int(text), False)


def _month(word: str) -> int | None:
    word = word.casefold()
    for number, starts in enumerate(_MONTHS, start=1):
        if any(word == start or (word in _MONTH_NAMES and word.startswith(start)) for start in starts):
            return number
    return None


def _clock(text: str) -> datetime.time | None:
    match = _CLOCK.fullmatch(text)
    if match is None:
        return None
    hour, minute, second = int(match[1]), int(match[2]), int(match[3] or 0)
    half = (match[4] or "").casefold().replace(".", "")
    if half in ("am", "pm"):
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half == "pm" else 0)
    return datetime.time(hour, minute, second) if hour < 24 and minute < 60 and second < 60 else None
