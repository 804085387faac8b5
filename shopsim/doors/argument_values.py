"""Values of the command line: text in, one value out.

Each raises ArgumentTypeError, with what is allowed and what was found, which the parser tells with exit code 2.
"""

from __future__ import annotations

import argparse
import datetime
import re


def whole(text: str) -> int:
    """A whole number, as of a seed."""
    value = int(text) if text.isascii() and text.isdigit() and len(text) < 12 else -1
    if not 0 <= value < 2**32:
        raise argparse.ArgumentTypeError(f"must be a whole number from 0 to {2**32 - 1}, found {text!r}")
    return value


def count(text: str) -> int:
    """How many of something, at least one."""
    value = int(text) if text.isascii() and text.isdigit() and len(text) < 12 else 0
    if not 1 <= value <= 100_000:
        raise argparse.ArgumentTypeError(f"must be a whole number from 1 to 100000, found {text!r}")
    return value


def weeks(text: str) -> float:
    """A number of weeks."""
    try:
        value = float(text)
    except ValueError:
        value = 0.0
    if not 0 < value <= 1100:
        raise argparse.ArgumentTypeError(f"must be a number above 0 and at most 1100, found {text!r}")
    return value


def run_in(text: str) -> int:
    """Weeks that fill a shop, none allowed."""
    value = int(text) if text.isascii() and text.isdigit() and len(text) < 4 else -1
    if not 0 <= value <= 52:
        raise argparse.ArgumentTypeError(f"must be a whole number from 0 to 52, found {text!r}")
    return value


def number(text: str, low: float, high: float, bounds: str) -> float:
    """A number within bounds, which `bounds` words."""
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not low <= value <= high:
        raise argparse.ArgumentTypeError(f"must be {bounds}, found {text!r}")
    return value


def positive(text: str) -> float:
    """A number above 0."""
    return number(text, 1e-9, 1e12, "a number above 0")


def percent(text: str) -> float:
    """A percentage."""
    return number(text, 0, 100, "a percentage from 0 to 100")


def power_of_2(text: str) -> int:
    """A power of 2 from 8."""
    value = count(text)
    if value < 8 or value & (value - 1):
        raise argparse.ArgumentTypeError(f"must be a power of 2 from 8, found {text!r}")
    return value


def growth(text: str) -> float:
    """A growth a year, in percent."""
    return number(text, -50, 100, "a percentage from -50 to 100")


def orders_won(text: str) -> float:
    """Orders won, in percent of today's."""
    return number(text, 0, 200, "a percentage from 0 to 200")


def weeks_until(text: str) -> float:
    """Weeks until something is there, 0 for at once."""
    return number(text, 0, 520, "weeks from 0 to 520")


def named_range(text: str) -> tuple[str, float, float]:
    """A name, low and high, as in ``gain_pct=70..110``."""
    name, _, ends = text.rpartition("=")
    low, dots, high = ends.partition("..")
    if not (name and dots):
        raise argparse.ArgumentTypeError(f"must be like NAME=1.5..2, found {text!r}")
    return name, *(number(end, -1e12, 1e12, "a number") for end in (low, high))  # type: ignore[return-value]


def percents(text: str) -> tuple[float, ...]:
    """Two or more percentages, as of demand."""
    found = tuple(number(part, 20, 500, "percentages from 20 to 500, like 85,100,115") for part in text.split(","))
    if len(set(found)) < 2:
        raise argparse.ArgumentTypeError(f"must be at least two percentages, found {text!r}")
    return found


def confidence(text: str) -> float:
    """A level of confidence, in percent."""
    return number(text, 50, 99.99, "a percentage from 50 to 99.99")


def port(text: str) -> int:
    """A port anybody may listen on."""
    return int(number(text, 1024, 65535, "a port from 1024 to 65535"))


def days(text: str) -> float:
    """A number of days."""
    return number(text, 0, 1e6, "a number of days from 0")


def date(text: str) -> datetime.date:
    """A day, as in ``2026-09-24``."""
    try:
        return datetime.date.fromisoformat(text if len(text) == 10 else "")
    except ValueError:
        raise argparse.ArgumentTypeError(f"must be a date like 2026-09-24, found {text!r}") from None


def moment(text: str) -> datetime.datetime:
    """A local time, as in ``2026-09-16 07:00``."""
    try:
        return datetime.datetime.strptime(text, "%Y-%m-%d %H:%M")
    except ValueError:
        raise argparse.ArgumentTypeError(f"must be a time like '2026-09-16 07:00', found {text!r}") from None


def chance(text: str) -> float:
    """A chance that can be promised, in percent."""
    return number(text, 1, 99.9, "a percentage from 1 to 99.9")


def request(text: str) -> tuple[str, int, float | None, float | None]:
    """A product, pieces and perhaps a size in metres, as in ``banner=12`` or ``frame=12@3.0x2.5``."""
    found = re.fullmatch(r"([^=]+)=(\d{1,6})(?:@(\d{1,3}(?:\.\d{1,4})?)x(\d{1,3}(?:\.\d{1,4})?))?", text)
    if found is None or not 1 <= int(found[2]) <= 100_000:
        raise argparse.ArgumentTypeError(f"must be like banner=12 or frame=12@3.0x2.5, found {text!r}")
    width_m, height_m = (float(side) if side else None for side in (found[3], found[4]))
    if (width_m is not None and not width_m) or (height_m is not None and not height_m):
        raise argparse.ArgumentTypeError(f"sizes must be greater than 0, found {text!r}")
    return found[1], int(found[2]), width_m, height_m


def crew_sizes(text: str) -> tuple[str, int, int]:
    """A crew, its least and most heads, as in ``sewers=2..10``."""
    found = re.fullmatch(r"([^=]+)=(\d{1,4})(?:\.\.(\d{1,4}))?", text)
    if found is None:
        raise argparse.ArgumentTypeError(f"must be like sewers=2..10, found {text!r}")
    low, high = int(found[2]), int(found[3] or found[2])
    if not low <= high:
        raise argparse.ArgumentTypeError(f"must run from low to high, found {text!r}")
    return found[1], low, high


def clock_time(text: str) -> datetime.datetime:
    """A minute by date and clock."""
    try:
        return datetime.datetime.strptime(text, "%Y-%m-%d %H:%M")
    except ValueError:
        raise argparse.ArgumentTypeError(f"must be a date and a time as 2026-01-12 12:00, found {text!r}") from None
