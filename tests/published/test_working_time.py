"""Working-time rules against Directive 2003/88/EC (OJ L 299, 18.11.2003, p. 9), checks I-01 to I-03.

The articles' numbers were confirmed on public pages; the UK and German examples are from memory; the shift patterns are
derived, their verdicts computed and checked by hand. Tolerance: exact, but for division residue.
"""

from __future__ import annotations

import datetime

import pytest

from shopsim.craft.shift_rules import (
    DIRECTIVE,
    GERMANY_BREAKS,
    UNITED_KINGDOM,
    Rules,
    Worked,
    average_weekly_hours,
    breaches,
    guidance,
    is_night_worker,
    rests_h,
    weekly_hours,
    weekly_rests_h,
)

MONDAY = datetime.datetime(2026, 3, 2)


def days(start: str, end: str, pause: int, *numbers: int) -> list[Worked]:
    """The same shift on several days (0 = the first Monday); an end before the start is on the next day."""

    def minute(text: str) -> int:
        return int(text[:2]) * 60 + int(text[3:])

    first, last = minute(start), minute(end)
    last += 1440 if last <= first else 0
    return [Worked(day * 1440 + first, day * 1440 + last, pause) for day in numbers]


PATTERNS = {
    "A": days("06:00", "14:00", 30, 0, 1, 2, 3, 4, 7, 8, 9, 10, 11),
    "B": days("14:00", "22:00", 30, 0, 1, 2) + days("06:00", "14:00", 30, 3, 4),
    "C": days("07:00", "20:00", 60, 0, 1, 2, 3),
    "D": days("07:00", "20:15", 60, 0, 1, 2, 3),
    "E": days("08:00", "14:00", 0, 0, 1, 2, 3, 4),
    "F": days("08:00", "14:15", 0, 0, 1, 2, 3, 4),
    "G": days("08:00", "14:15", 5, 0, 1, 2, 3, 4),
    "H": days("14:00", "22:00", 30, 0, 1, 2, 3, 4, 5) + days("06:00", "14:00", 30, 7, 8, 9, 10, 11),
    "I": days("22:00", "06:00", 30, 0, 1, 2, 3, 4, 5, 6),
    "J": days("21:00", "07:00", 60, 0, 1, 2, 3, 4),
}

# Case: least gap h, rest of each week h, hours of each week, night worker, longest night shift h, rows breached.
VERDICTS = {
    "A": (16.0, [58.0, 58.0], [37.5, 37.5], False, []),
    "B": (8.0, [58.0], [37.5], False, ["LAW-01"]),
    "C": (11.0, [76.0], [48.0], False, []),
    "D": (10.75, [75.75], [49.0], False, ["LAW-01"]),
    "E": (18.0, [58.0], [30.0], False, []),
    "F": (17.75, [57.75], [31.25], False, ["LAW-02"]),
    "G": (17.75, [57.75], [30.833333333333336], False, []),
    "H": (16.0, [26.0, 58.0], [45.0, 37.5], False, ["LAW-03"]),
    "I": (16.0, [22.0], [52.5], True, ["LAW-03"]),
    "J": (14.0, [41.0], [45.0], True, ["LAW-05"]),
}
# The 48 h hold on average over months, not for one week: D and I are judged on the other rules here.
ONE_WEEK = Rules(weekly_average_h=1000.0)


@pytest.mark.parametrize("case", PATTERNS)
def test_patterns_get_the_published_verdicts(case: str) -> None:
    """I-02."""
    shifts = PATTERNS[case]
    least, rests, hours, night, rows = VERDICTS[case]
    assert min(rests_h(shifts)) == least
    assert weekly_rests_h(shifts) == rests
    assert weekly_hours(shifts) == pytest.approx(hours, abs=1e-12)
    assert is_night_worker(shifts) is night
    assert sorted({breach.row for breach in breaches(shifts, ONE_WEEK)}) == rows


def test_each_breach_says_where_what_was_found_and_what_is_required() -> None:
    late_then_early = breaches(PATTERNS["B"], ONE_WEEK)
    assert late_then_early == [("LAW-01", "daily rest", 3 * 1440 + 360, 8.0, 11.0)]
    nights = breaches(PATTERNS["J"], ONE_WEEK)
    assert [(b.found, b.required) for b in nights] == [(9.0, 8.0)] * 5
    assert breaches(PATTERNS["I"], ONE_WEEK) == [("LAW-03", "weekly rest", 0.0, 22.0, 35.0)]


def test_a_national_break_length_is_a_parameter() -> None:
    """I-01, case G: 5 min satisfy the Directive, not the 20 min of the UK regulations (reg. 12)."""
    uk = Rules(least_break_min=UNITED_KINGDOM.least_break_min, weekly_average_h=1000.0)
    assert [b.row for b in breaches(PATTERNS["G"], uk)] == ["LAW-02"] * 5
    assert breaches(PATTERNS["A"], uk) == []
    assert GERMANY_BREAKS == ((6.0, 30.0), (9.0, 45.0))


def test_the_directives_numbers() -> None:
    """I-01: Arts. 3, 4, 5, 6, 8, 16; the break's length is not fixed."""
    assert (DIRECTIVE.daily_rest_h, DIRECTIVE.break_if_longer_than_h, DIRECTIVE.least_break_min) == (11, 6, None)
    assert (DIRECTIVE.weekly_rest_h, DIRECTIVE.weekly_average_h, DIRECTIVE.night_h) == (35, 48, 8)
    assert DIRECTIVE.night_end_min - DIRECTIVE.night_start_min == 7 * 60
    assert DIRECTIVE.night_shift_from_h == 3
    assert 24 - DIRECTIVE.daily_rest_h == 13


def test_the_48_hours_hold_on_average_with_leave_taken_out() -> None:
    """I-03, tolerance 1e-9; (d) is the naive average that wrongly complies."""
    assert average_weekly_hours([56.0] * 10 + [36.0] * 7) == pytest.approx(47.7647058824, abs=1e-9)
    assert average_weekly_hours([56.0] * 10 + [38.0] * 7) == pytest.approx(48.5882352941, abs=1e-9)
    with_leave = [54.0] * 9 + [40.0] * 6 + [0.0] * 2
    assert average_weekly_hours(with_leave, weeks_of_leave=2) == pytest.approx(48.4, abs=1e-9)
    assert average_weekly_hours(with_leave) == pytest.approx(42.7058823529, abs=1e-9)
    with pytest.raises(ValueError, match=r"weeks_of_leave must leave at least one of 2 weeks, found 2"):
        average_weekly_hours([40.0, 40.0], 2)


def test_long_weeks_are_found_over_the_reference_period() -> None:
    """Seventeen weeks of six 9 h shifts are 54 h a week: one finding, at the first week."""
    shifts = [Worked(week * 10080 + day * 1440 + 420, week * 10080 + day * 1440 + 960) for week in range(17) for day in
              range(6)]  # fmt: skip
    long_weeks = [b for b in breaches(shifts) if b.row == "LAW-04"]
    assert long_weeks == [("LAW-04", "weekly hours", 0.0, 54.0, 48.0)]


def test_guidance_counts_nights_and_days_in_a_row_long_shifts_and_early_starts() -> None:
    """LAW-08, a regulator's guidance [S26]."""
    assert [(g.what, g.found) for g in guidance(PATTERNS["I"])] == [("nights in a row", 7)]
    assert [(g.what, g.found, g.required) for g in guidance(PATTERNS["D"])] == [("long shift", 13.25, 12.0)] * 4
    eight = days("08:00", "16:00", 30, *range(8))
    assert [(g.what, g.at, g.found) for g in guidance(eight)] == [("days in a row", 480.0, 8)]
    early = days("05:30", "13:30", 30, 0)
    assert [(g.what, g.found, g.required) for g in guidance(early)] == [("early start", 5.5, 6.0)]
