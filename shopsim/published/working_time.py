"""Shift patterns against the working-time directive, as the shop's own shifts."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from shopsim.clock import MINUTES_PER_WEEK
from shopsim.craft.shift_hours import Worked, average_weekly_hours, rests_h, weekly_hours
from shopsim.craft.shift_rules import DIRECTIVE, Rules, breaches, is_night, is_night_worker
from shopsim.craft.weekly_rest import weekly_rests
from shopsim.published.case import Case, Finding
from shopsim.shop.people import Shift
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_file import check_values
from shopsim.shop.shift_breaches import rest_findings, worked_shifts
from shopsim.shop.working_time import rules_in_force

DIRECTIVE_SOURCE = "Directive 2003/88/EC (OJ L 299, 18.11.2003, p. 9)"
Block = tuple[str, str, str]
"""Days, hours and the break, which may be left out: ("mon tue", "06:00-14:00", "10:00-10:30")."""
# As a scenario says them under `policies.working_time`.
UNITED_KINGDOM = {"breaks": [{"above_h": 6, "least_min": 20}], "note": "Working Time Regulations 1998, reg. 12"}
GERMANY = {
    "breaks": [{"above_h": 6, "least_min": 30}, {"above_h": 9, "least_min": 45}], "note": "ArbZG s. 4, from memory",
}  # fmt: skip

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


def inside_rests_h(shifts: Sequence[Worked]) -> list[float]:
    """Longest rest of each week, cut off at its ends: the convention of case I-02, which `check` gives as advice."""
    return [week.inside_h for week in weekly_rests(shifts, DIRECTIVE.weekly_rest_h)]


def in_a_shop(weeks: Sequence[Sequence[Block]], working_time: dict[str, Any] | None = None) -> Scenario:
    """A shop of two people in one shift of these weeks, with working-time rules of its own or none."""
    return check_values({
        "shop": {"name": "shifts", "starts": datetime.date(2026, 1, 5)},
        "work_centres": [{"id": "desk"}],
        "shifts": [{"id": "pattern", "weeks": weeks_of(weeks)}],
        "crews": [{"id": "people", "count": 2, "skills": {"general": 3}, "shift": "pattern"}],
        "products": [{"id": "job", "route": [{"op": "work", "at": "desk", "minutes": 1}]}],
        "demand": {"order_book": {"file": "not_read.csv"}},
        "policies": {"working_time": working_time},
    }, "shifts")  # fmt: skip


def broken_in_a_shop(weeks: Sequence[Sequence[Block]], working_time: dict[str, Any] | None = None) -> str:
    """Rules that the shop's own check finds broken by a shift of these weeks."""
    found = rest_findings(in_a_shop(weeks, working_time))
    return ", ".join(what for _, what in sorted({(each.row, each.what) for each in found if each.rule})) or "none"


def _for_one_week(rules: Rules) -> Rules:
    """The 48 h hold on average over months, not for one week: single weeks are judged on the other rules."""
    return replace(rules, weekly_average_h=1000.0, night_average_h=1000.0)


def _rules_of(working_time: dict[str, Any] | None) -> Rules:
    return rules_in_force(in_a_shop([[(WEEKDAYS, EARLY, "")]], working_time).policies.working_time)


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
    directive, kingdom = _for_one_week(DIRECTIVE), _for_one_week(_rules_of(UNITED_KINGDOM))
    for name, (weeks, gap, rests, hours, broken, uk, night, longest) in PATTERNS.items():
        shifts = shifts_of(weeks)
        yield Finding(f"{name}: shortest rest, h", gap, min(rests_h(shifts)))
        yield Finding(f"{name}: longest rest of each week, h", rests, listed(inside_rests_h(shifts)))
        yield Finding(f"{name}: hours of each week", hours, listed(weekly_hours(shifts)))
        yield Finding(f"{name}: rules broken", broken, _rules_broken(shifts, directive))
        kept = all(breach.what != "break" for breach in breaches(shifts, kingdom))
        yield Finding(f"{name}: break of 20 min kept", uk, "yes" if kept else "no")
        yield Finding(f"{name}: night worker", night, "yes" if is_night_worker(shifts) else "no")
        nights = [shift.net_h for shift in shifts if is_night(shift)]
        yield Finding(f"{name}: longest night shift, h", longest, max(nights, default=0))


def _numbers(_full: bool) -> Iterator[Finding]:
    kingdom, germany = (dict(_rules_of(country).breaks) for country in (UNITED_KINGDOM, GERMANY))
    ((break_above_h, fixed),) = DIRECTIVE.breaks
    for what, expected, found in (
        ("daily rest, h", 11, DIRECTIVE.daily_rest_h),
        ("a break is due above, h", 6, break_above_h),
        ("weekly rest, h", 35, DIRECTIVE.weekly_rest_h),
        ("weekly hours on average", 48, DIRECTIVE.weekly_average_h),
        ("reference period of four months, weeks", 17, DIRECTIVE.reference_weeks),
        ("night hours on average, h", 8, DIRECTIVE.night_average_h),
        ("length of the night, h", 7, (DIRECTIVE.night_end_min - DIRECTIVE.night_start_min) / 60),
        ("night worker from, h a shift", 3, DIRECTIVE.night_shift_from_h),
        ("longest span that leaves the daily rest, h", 13, 24 - DIRECTIVE.daily_rest_h),
        ("break in the United Kingdom, min", 20, kingdom[6] or 0),
        ("break in Germany above 6 h, min", 30, germany[6] or 0),
        ("break in Germany above 9 h, min", 45, germany[9] or 0),
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
        "I-01", "The directive's numbers, and two countries' breaks as parameters of a file",
        f"{DIRECTIVE_SOURCE}, Arts. 2-6, 8, 16 (confirmed on public pages); Working Time Regulations 1998, reg. 12 "
        "(confirmed); Arbeitszeitgesetz s. 4 (from memory)",
        "none", _numbers,
        left_out="four weeks of leave a year (Art. 7) and 14 days as the longest reference period of weekly rest (Art. "
        "16(a)): patterns hold no leave, and `check` judges each week", path="commands",
    ),
    Case(
        "I-02", "Ten shift patterns judged",
        f"{DIRECTIVE_SOURCE}, Arts. 3-5, 8; patterns derived, verdicts computed and checked by hand",
        "none", _patterns, path="commands",
    ),
    Case(
        "I-03", "48 hours on average, with leave taken out",
        f"{DIRECTIVE_SOURCE}, Arts. 6, 16(b) (leave and sickness neutral: from memory); numbers derived",
        "1e-9 for division", _averages,
    ),
)  # fmt: skip
