"""Working-time findings beyond the published patterns (`shopsim.published.working_time`): where each finding points,
long weeks over the reference period, and guidance. Exact.
"""

from __future__ import annotations

import pytest

from shopsim.craft.shift_guidance import guidance
from shopsim.craft.shift_hours import Worked, average_weekly_hours
from shopsim.craft.shift_rules import Rules, breaches


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
ONE_WEEK = Rules(weekly_average_h=1000.0, night_average_h=1000.0)


def test_each_breach_says_where_what_was_found_and_what_is_required() -> None:
    late_then_early = breaches(LATE_THEN_EARLY, ONE_WEEK)
    assert late_then_early == [("LAW-01", "daily rest", 3 * 1440 + 360, 8.0, 11.0, "")]
    nights = breaches(LONG_NIGHTS, ONE_WEEK)
    assert [(b.found, b.required) for b in nights] == [(9.0, 8.0)] * 5
    assert breaches(SEVEN_NIGHTS, ONE_WEEK) == [("LAW-03", "weekly rest", 0.0, 22.0, 35.0, "")]


def test_long_weeks_are_found_over_the_reference_period() -> None:
    """Seventeen weeks of six 9 h shifts are 54 h a week: one finding, at the first week."""
    shifts = [Worked(week * 10080 + day * 1440 + 420, week * 10080 + day * 1440 + 960) for week in range(17) for day in
              range(6)]  # fmt: skip
    long_weeks = [b for b in breaches(shifts) if b.row == "LAW-04"]
    assert long_weeks == [("LAW-04", "weekly hours", 0.0, 54.0, 48.0, "")]


def test_an_average_needs_a_week_worked() -> None:
    with pytest.raises(ValueError) as caught:
        average_weekly_hours([40.0, 40.0], 2)
    assert str(caught.value) == "weeks_of_leave must leave at least one of 2 weeks, found 2"


def test_guidance_counts_nights_and_days_in_a_row_long_shifts_and_early_starts() -> None:
    """LAW-08, a regulator's guidance [S26]."""
    assert [(g.what, g.found) for g in guidance(SEVEN_NIGHTS)] == [("nights in a row", 7)]
    assert [(g.what, g.found, g.required) for g in guidance(THIRTEEN_HOURS)] == [
        *[("long shift", 13.25, 12.0)] * 4, ("long shifts in a row", 4, 3), *[("quick return", 10.75, 11.0)] * 3,
    ]  # fmt: skip
    eight = days("08:00", "16:00", 30, *range(8))
    assert [(g.what, g.at, g.found) for g in guidance(eight)] == [("days in a row", 480.0, 8)]
    early = days("05:30", "13:30", 30, 0, 1, 2, 3)
    assert [(g.what, g.found, g.required) for g in guidance(early)] == [
        ("early starts in a row", 4, 3), *[("early start", 5.5, 6.0)] * 4,
    ]  # fmt: skip
    assert [(g.what, g.found, g.required) for g in guidance(LONG_NIGHTS[:2])] == [("long night", 10.0, 8.0)] * 2


def test_changes_between_days_and_nights_want_two_nights_of_sleep() -> None:
    """A night ends on Tuesday at 06:00; the whole nights from 23:00 to 06:00 after it are those to Wednesday and to
    Thursday. An early shift on Thursday at 06:00 has both behind it, one at 05:59 only the first."""
    night = days("22:00", "06:00", 30, 0)
    assert guidance([*night, *days("06:00", "14:00", 30, 3)]) == []
    early = [g for g in guidance([*night, *days("05:59", "14:00", 30, 3)]) if "sleep" in g.what]
    assert early == [("LAW-08", "nights of sleep at a change", 3 * 1440 + 359, 1, 2, "")]
    # Day work until Monday 23:00 or 23:01, then a night on Wednesday: the nights to Tuesday and Wednesday, or one.
    for end, nights in (("23:00", []), ("23:01", [1])):
        found = guidance([*days("15:00", end, 30, 0), *days("22:00", "06:00", 30, 2)])
        assert [g.found for g in found] == nights


def test_a_night_worker_s_hours_count_on_average() -> None:
    """Six nights of 8 h 06 net are 48.6 h, 8.1 on each of six days; five are 6.75 h."""
    week = days("21:30", "06:06", 30, 0, 1, 2, 3, 4, 5)
    rules = Rules(weekly_average_h=1000.0, heavy_work=False)
    assert [(b.row, b.what, round(b.found, 9)) for b in breaches(week, rules) if b.row == "LAW-05"] == [
        ("LAW-05", "night hours on average", 8.1)
    ]
    assert breaches(week[:5], rules) == []
