"""Shifts at the edge of a rule, and rotations where they wrap, judged by the shop's own check."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence

from shopsim.craft.shift_rules import weekly_hours, weekly_rests_h
from shopsim.published.case import Case, Finding
from shopsim.published.working_time import DIRECTIVE_SOURCE, EARLY, LATE, WEEKDAYS, Block, listed, shifts_of, weeks_of
from shopsim.shop.scenario_file import check_values
from shopsim.shop.shift_breaches import rest_findings

# A pattern that repeats every week, and the rules it breaks.
EDGES: tuple[tuple[str, Block, str], ...] = (
    ("rest of exactly 11 h", ("mon tue wed thu", "07:00-20:00", "13:00-14:00"), "none"),
    ("rest of 10 h 59", ("mon tue wed thu", "07:00-20:01", "13:00-14:05"), "daily rest"),
    ("exactly 6 h without a break", (WEEKDAYS, "08:00-14:00", ""), "none"),
    ("6 h 01 without a break", (WEEKDAYS, "08:00-14:01", ""), "break"),
    ("weekend of exactly 35 h", ("mon tue wed thu fri sat", "07:00-13:00", ""), "none"),
    ("weekend of 34 h 59", ("mon tue wed thu fri sat", "07:01-13:01", ""), "weekly rest"),
    ("48 h a week", (WEEKDAYS, "07:00-17:06", "12:00-12:30"), "none"),
    ("48 h 05 a week", (WEEKDAYS, "07:00-17:07", "12:00-12:30"), "weekly hours"),
    ("night shift of 8 h", ("mon tue wed thu", "22:00-06:30", "02:00-02:30"), "none"),
    ("night shift of 8 h 01", ("mon tue wed thu", "22:00-06:31", "02:00-02:30"), "night shift"),
    ("9 h with 3 h in the night", ("mon tue wed thu", "16:30-02:00", "21:00-21:30"), "night shift"),
    ("9 h with 2 h 59 in the night", ("mon tue wed thu", "16:29-01:59", "21:00-21:30"), "none"),
)


def _in_a_shop(weeks: Sequence[Sequence[Block]]) -> str:
    """Rules that the shop's own check finds broken by a shift of these weeks."""
    scenario = check_values({
        "shop": {"name": "shifts", "starts": datetime.date(2026, 1, 5)},
        "work_centres": [{"id": "desk"}],
        "shifts": [{"id": "pattern", "weeks": weeks_of(weeks)}],
        "crews": [{"id": "people", "skills": {"general": 3}, "shift": "pattern"}],
        "products": [{"id": "job", "route": [{"op": "work", "at": "desk", "minutes": 1}]}],
        "demand": {"order_book": {"file": "not_read.csv"}},
    }, "shifts")  # fmt: skip
    broken = {(finding.row, finding.what) for finding in rest_findings(scenario) if finding.rule}
    return ", ".join(what for _, what in sorted(broken)) or "none"


def _edges(_full: bool) -> Iterator[Finding]:
    for name, block, broken in EDGES:
        yield Finding(f"{name}: rules broken", broken, _in_a_shop([[block]]))


TURN = (EARLY, "10:00-10:30"), (LATE, "18:00-18:30"), ("22:00-06:00", "02:00-02:30")
TWELVE = ("07:00-19:00", "13:00-14:00")


def _rotations(_full: bool) -> Iterator[Finding]:
    three = [[(WEEKDAYS, *turn)] for turn in TURN]
    yield Finding("early, late, night by the week: rules broken", "none", _in_a_shop(three))
    yield Finding("early, late, night by the week: hours of each week", "37.5 and 37.5 and 37.5",
                  listed(weekly_hours(shifts_of(three))))  # fmt: skip
    yield Finding("early, late, night by the week: longest rest of each week, h", "58 and 50 and 42",
                  listed(weekly_rests_h(shifts_of(three))))  # fmt: skip
    # Late on Friday and early on Saturday: 8 h.
    clash = [[(WEEKDAYS, *TURN[1]), ("sat", *TURN[0])]]
    yield Finding("late on Friday, early on Saturday: rules broken", "daily rest, weekly rest", _in_a_shop(clash))
    # Sunday's night ends at 06:00 on Monday, when the early week begins: the fault lies where the rotation wraps.
    wrap = [[("mon tue wed thu fri", *TURN[0])], [("thu fri sat sun", *TURN[2])]]
    yield Finding("night on Sunday, early on Monday: rules broken", "daily rest", _in_a_shop(wrap))
    twelve = [[("mon tue fri sat sun", *TWELVE)], [("wed thu", *TWELVE)]]
    yield Finding("twelve hours, two on, two off, three on: rules broken", "none", _in_a_shop(twelve))
    shifts = shifts_of(twelve)
    attended = sum(shift.span_h for shift in shifts) / len(twelve)
    yield Finding("twelve hours, two on, two off, three on: hours a week", 42, attended)


CASES = (
    Case(
        "X-54", "Shifts at the very edge of a rule, and a minute beyond",
        f"{DIRECTIVE_SOURCE}, Arts. 2-6, 8; patterns derived; weeks run from Monday to Sunday",
        "none", _edges,
    ),
    Case(
        "X-55", "Rotations judged where they wrap",
        f"{DIRECTIVE_SOURCE}, Arts. 3, 5; two on, two off, three on of 12 h is 42 h a week (common practice, no "
        "source); patterns derived",
        "none", _rotations,
    ),
)  # fmt: skip
