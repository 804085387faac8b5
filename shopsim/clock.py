"""Simulated time: float minutes since 00:00 of the start Monday, and its way to and from clocks and dates.

Every day has 1440 minutes and every week 10080: local clock changes (daylight saving time) are out of scope, so in the
night of a change a stamp may differ by an hour from the clock on the wall.
"""

import math
import re
from datetime import date, timedelta

MINUTES_PER_DAY = 1440
MINUTES_PER_WEEK = 7 * MINUTES_PER_DAY

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")

# Ten years of minutes leave about 1e-9 of resolution in a float; sums of many durations lose some more. A remainder
# below this (60 microseconds) is rounding, never work.
SLIVER_MIN = 1e-6

_CLOCK = re.compile(r"(\d{1,2}):(\d{2})")


def parse_clock(text: str) -> int:
    """Minutes after midnight of a clock time between ``00:00`` and ``24:00``.

    Raises ValueError with the text found if it is not such a time.
    """
    match = _CLOCK.fullmatch(text)
    if match:
        hours, minutes = int(match[1]), int(match[2])
        if minutes < 60 and hours * 60 + minutes <= MINUTES_PER_DAY:
            return hours * 60 + minutes
    raise ValueError(f"{text!r} is not a clock time; allowed is hh:mm from 00:00 to 24:00")


def clock_text(clock_min: float) -> str:
    """A minute of the day, 0 to 1440, as ``hh:mm``; parts of a minute are cut off.

    Raises ValueError outside 0 to 1440.
    """
    if not 0 <= clock_min <= MINUTES_PER_DAY:
        raise ValueError(f"minute of the day must be from 0 to {MINUTES_PER_DAY}, got {clock_min!r}")
    hours, minutes = divmod(math.floor(clock_min + SLIVER_MIN), 60)
    return f"{hours:02d}:{minutes:02d}"


def day_number(t: float) -> int:
    """Number of the day that holds time ``t``; the start Monday is 0, the Sunday before it -1."""
    return math.floor(t / MINUTES_PER_DAY)


def weekday_of(t: float) -> int:
    """Day of the week of time ``t``, 0 = Monday to 6 = Sunday."""
    return day_number(t) % 7


def date_of(t: float, start: date) -> date:
    """Calendar date of time ``t``. Raises ValueError if ``start`` is not a Monday."""
    _require_monday(start)
    return start + timedelta(days=day_number(t))


def minute_of(d: date, start: date, clock_min: float = 0) -> float:
    """Time of a clock minute on date ``d``; negative before the start. Raises ValueError if ``start`` is no Monday."""
    _require_monday(start)
    return float((d - start).days * MINUTES_PER_DAY + clock_min)


def stamp(t: float, start: date) -> str:
    """Time ``t`` for people to read, e.g. ``2026-01-05 07:30``; parts of a minute are cut off.

    Raises ValueError if ``start`` is not a Monday.
    """
    whole = math.floor(t + SLIVER_MIN)
    return f"{date_of(whole, start).isoformat()} {clock_text(whole % MINUTES_PER_DAY)}"


def _require_monday(start: date) -> None:
    if start.weekday() != 0:
        raise ValueError(f"simulated time starts on a Monday, but {start.isoformat()} is a {WEEKDAYS[start.weekday()]}")
