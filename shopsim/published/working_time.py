"""Shift patterns against the working-time directive, as the shop's own shifts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from shopsim.clock import MINUTES_PER_WEEK
from shopsim.craft.shift_rules import (
    DIRECTIVE,
    GERMANY_BREAKS,
    UNITED_KINGDOM,
    Rules,
    Worked,
    average_weekly_hours,
    breaches,
    is_night_worker,
    night_hours,
    rests_h,
    weekly_hours,
    weekly_rests_h,
)
from shopsim.published.case import Case, Finding
from shopsim.shop.people import Shift
from shopsim.shop.shift_breaches import worked_shifts

DIRECTIVE_SOURCE = "Directive 2003/88/EC (OJ L 299, 18.11.2003, p. 9)"
Block = tuple[str, str, str]
"""Days, hours and the break, which may be left out: ("mon tue", "06:00-14:00", "10:00-10:30")."""
# The 48 h hold on average over months, not for one week: single weeks are judged on the other rules.
ONE_WEEK = Rules(weekly_average_h=1000.0, night_average_h=1000.0)
ONE_WEEK_UK = Rules(weekly_average_h=1000.0, night_average_h=1000.0, least_break_min=UNITED_KINGDOM.least_break_min)

DAYS, WEEKDAYS = "mon tue wed thu fri sat sun", "mon tue wed thu fri"


def weeks_of(weeks: Sequence[Sequence[Block]]) -> list[dict[str, Any]]:
    return [
        {"blocks": [{"days": days.split(), "hours": hours, "breaks": [pause] if pause else []} for days, hours, pause in
                    blocks]}
        for blocks in weeks
    ]  # fmt: skip


def shifts_of(weeks: Sequence[Sequence[Block]]) -> list[Worked]:
    """The shifts of one person in one go through the rotation; the last may end in the week after."""
    shift = Shift.model_validate({"id": "pattern", "weeks": weeks_of(weeks)})
    until = len(weeks) * MINUTES_PER_WEEK
    return [worked for worked in worked_shifts(shift, len(weeks) + 1) if worked.start < until]


def _rules_broken(shifts: Sequence[Worked], rules: Rules) -> str:
    return ", ".join(dict.fromkeys(breach.what for breach in breaches(shifts, rules))) or "none"


def listed(values: Sequence[float]) -> str:
    return " and ".join(f"{value:.8g}" for value in values)


EARLY, LATE = "06:00-14:00", "14:00-22:00"
# Weeks; shortest rest h; rest of each week h; hours of each week; rules broken; UK break kept; night worker; longest
# night shift h.
Verdict = tuple[Sequence[Sequence[Block]], float, str, str, str, str, str, float]
PATTERNS: dict[str, Verdict] = {
    "A": ([[(WEEKDAYS, EARLY, "10:00-10:30")]] * 2, 16, "58 and 58", "37.5 and 37.5", "none", "yes", "no", 0),
    "B": ([[("mon tue wed", LATE, "18:00-18:30"), ("thu fri", EARLY, "10:00-10:30")]],
          8, "58", "37.5", "daily rest", "yes", "no", 0),
    "C": ([[("mon tue wed thu", "07:00-20:00", "13:00-14:00")]], 11, "76", "48", "none", "yes", "no", 0),
    "D": ([[("mon tue wed thu", "07:00-20:15", "13:00-14:00")]], 10.75, "75.75", "49", "daily rest", "yes", "no", 0),
    "E": ([[(WEEKDAYS, "08:00-14:00", "")]], 18, "58", "30", "none", "yes", "no", 0),
    "F": ([[(WEEKDAYS, "08:00-14:15", "")]], 17.75, "57.75", "31.25", "break", "no", "no", 0),
    "G": ([[(WEEKDAYS, "08:00-14:15", "11:00-11:05")]], 17.75, "57.75", "30.833333", "none", "no", "no", 0),
    "H": ([[("mon tue wed thu fri sat", LATE, "18:00-18:30")], [(WEEKDAYS, EARLY, "10:00-10:30")]],
          16, "26 and 58", "45 and 37.5", "weekly rest", "yes", "no", 0),
    "I": ([[(DAYS, "22:00-06:00", "02:00-02:30")]], 16, "22", "52.5", "weekly rest", "yes", "yes", 7.5),
    "J": ([[(WEEKDAYS, "21:00-07:00", "02:00-03:00")]], 14, "41", "45", "night shift", "yes", "yes", 9),
}  # fmt: skip


def _patterns(_full: bool) -> Iterator[Finding]:
    for name, (weeks, gap, rests, hours, broken, uk, night, longest) in PATTERNS.items():
        shifts = shifts_of(weeks)
        yield Finding(f"{name}: shortest rest, h", gap, min(rests_h(shifts)))
        yield Finding(f"{name}: longest rest of each week, h", rests, listed(weekly_rests_h(shifts)))
        yield Finding(f"{name}: hours of each week", hours, listed(weekly_hours(shifts)))
        yield Finding(f"{name}: rules broken", broken, _rules_broken(shifts, ONE_WEEK))
        kept = all(breach.what != "break" for breach in breaches(shifts, ONE_WEEK_UK))
        yield Finding(f"{name}: break of 20 min kept", uk, "yes" if kept else "no")
        yield Finding(f"{name}: night worker", night, "yes" if is_night_worker(shifts) else "no")
        nights = [shift.net_h for shift in shifts if night_hours(shift) >= DIRECTIVE.night_shift_from_h]
        yield Finding(f"{name}: longest night shift, h", longest, max(nights, default=0))


def _numbers(_full: bool) -> Iterator[Finding]:
    breaks = dict(GERMANY_BREAKS)
    fixed = DIRECTIVE.least_break_min
    for what, expected, found in (
        ("daily rest, h", 11, DIRECTIVE.daily_rest_h),
        ("a break is due above, h", 6, DIRECTIVE.break_if_longer_than_h),
        ("weekly rest, h", 35, DIRECTIVE.weekly_rest_h),
        ("weekly hours on average", 48, DIRECTIVE.weekly_average_h),
        ("reference period of four months, weeks", 17, DIRECTIVE.reference_weeks),
        ("night hours on average, h", 8, DIRECTIVE.night_average_h),
        ("length of the night, h", 7, (DIRECTIVE.night_end_min - DIRECTIVE.night_start_min) / 60),
        ("night worker from, h a shift", 3, DIRECTIVE.night_shift_from_h),
        ("longest span that leaves the daily rest, h", 13, 24 - DIRECTIVE.daily_rest_h),
        ("break in the United Kingdom, min", 20, UNITED_KINGDOM.least_break_min or 0),
        ("break in Germany above 6 h, min", 30, breaks[6]),
        ("break in Germany above 9 h, min", 45, breaks[9]),
    ):
        yield Finding(what, expected, found)
    yield Finding("length of the break", "not fixed", "not fixed" if fixed is None else f"{fixed:g} min")
    yield Finding("heavy night shift, h", 8, DIRECTIVE.night_h if DIRECTIVE.heavy_work else 0)


def _averages(_full: bool) -> Iterator[Finding]:
    with_leave = [54.0] * 9 + [40.0] * 6 + [0.0] * 2
    for name, average, kept, found in (
        ("ten weeks of 56 and seven of 36 h", 47.7647058824, "yes", average_weekly_hours([56.0] * 10 + [36.0] * 7)),
        ("ten weeks of 56 and seven of 38 h", 48.5882352941, "no", average_weekly_hours([56.0] * 10 + [38.0] * 7)),
        ("two weeks of leave taken out", 48.4, "no", average_weekly_hours(with_leave, weeks_of_leave=2)),
        ("the same, leave wrongly counted", 42.7058823529, "yes", average_weekly_hours(with_leave)),
    ):
        yield Finding(f"{name}: hours a week", average, found, 1e-9)
        yield Finding(f"{name}: at most 48", kept, "yes" if found <= DIRECTIVE.weekly_average_h else "no")


CASES = (
    Case(
        "I-01", "The directive's numbers, and two countries' breaks",
        f"{DIRECTIVE_SOURCE}, Arts. 2-6, 8, 16 (confirmed on public pages); Working Time Regulations 1998, reg. 12 "
        "(confirmed); Arbeitszeitgesetz s. 4 (from memory)",
        "none", _numbers,
        left_out="four weeks of leave a year (Art. 7) and 14 days as the longest reference period of weekly rest (Art. "
        "16(a)): patterns hold no leave, and `check` judges each week", path="library",
    ),
    Case(
        "I-02", "Ten shift patterns judged",
        f"{DIRECTIVE_SOURCE}, Arts. 3-5, 8; patterns derived, verdicts computed and checked by hand",
        "none", _patterns, path="library",
    ),
    Case(
        "I-03", "48 hours on average, with leave taken out",
        f"{DIRECTIVE_SOURCE}, Arts. 6, 16(b) (leave and sickness neutral: from memory); numbers derived",
        "1e-9 for division", _averages,
    ),
)  # fmt: skip
