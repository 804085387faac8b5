"""Working-time findings beyond the published patterns (`shopsim.published.working_time`): where each finding points,
long weeks over the reference period, and guidance. Exact.
"""

from __future__ import annotations

import pytest

from shopsim.craft.shift_rules import Rules, Worked, average_weekly_hours, breaches, guidance


def days(start: str, end: str, pause: int, *numbers: int) -> list[Worked]:
    """The same shift on several days (0 = the first Monday); an end before the start is on the next day."""

    def minute(text: str) -> int:
        return int(text[:2]) * 60 + int(text[3:])

    first, last = minute(start), minute(end)
    last += 1440 if last <= first else 0
    return [Worked(day * 1440 + first, day * 1440 + last, pause) for day in numbers]


LATE_THEN_EARLY = days("14:00", "22:00", 30, 0, 1, 2) + days("06:00", "14:00", 30, 3, 4)
THIRTEEN_HOURS = days("07:00", "20:15", 60, 0, 1, 2, 3)
SEVEN_NIGHTS = days("22:00", "06:00", 30, 0, 1, 2, 3, 4, 5, 6)
LONG_NIGHTS = days("21:00", "07:00", 60, 0, 1, 2, 3, 4)
# The 48 h hold on average over months, not for one week.
ONE_WEEK = Rules(weekly_average_h=1000.0)


def test_each_breach_says_where_what_was_found_and_what_is_required() -> None:
    late_then_early = breaches(LATE_THEN_EARLY, ONE_WEEK)
    assert late_then_early == [("LAW-01", "daily rest", 3 * 1440 + 360, 8.0, 11.0)]
    nights = breaches(LONG_NIGHTS, ONE_WEEK)
    assert [(b.found, b.required) for b in nights] == [(9.0, 8.0)] * 5
    assert breaches(SEVEN_NIGHTS, ONE_WEEK) == [("LAW-03", "weekly rest", 0.0, 22.0, 35.0)]


def test_long_weeks_are_found_over_the_reference_period() -> None:
    """Seventeen weeks of six 9 h shifts are 54 h a week: one finding, at the first week."""
    shifts = [Worked(week * 10080 + day * 1440 + 420, week * 10080 + day * 1440 + 960) for week in range(17) for day in
              range(6)]  # fmt: skip
    long_weeks = [b for b in breaches(shifts) if b.row == "LAW-04"]
    assert long_weeks == [("LAW-04", "weekly hours", 0.0, 54.0, 48.0)]


def test_an_average_needs_a_week_worked() -> None:
    with pytest.raises(ValueError) as caught:
        average_weekly_hours([40.0, 40.0], 2)
    assert str(caught.value) == "weeks_of_leave must leave at least one of 2 weeks, found 2"


def test_guidance_counts_nights_and_days_in_a_row_long_shifts_and_early_starts() -> None:
    """LAW-08, a regulator's guidance [S26]."""
    assert [(g.what, g.found) for g in guidance(SEVEN_NIGHTS)] == [("nights in a row", 7)]
    assert [(g.what, g.found, g.required) for g in guidance(THIRTEEN_HOURS)] == [("long shift", 13.25, 12.0)] * 4
    eight = days("08:00", "16:00", 30, *range(8))
    assert [(g.what, g.at, g.found) for g in guidance(eight)] == [("days in a row", 480.0, 8)]
    early = days("05:30", "13:30", 30, 0)
    assert [(g.what, g.found, g.required) for g in guidance(early)] == [("early start", 5.5, 6.0)]
