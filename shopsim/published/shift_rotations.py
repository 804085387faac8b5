"""Shifts at the edge of a rule, and rotations where they wrap, judged by the shop's own check."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shopsim.craft.shift_hours import weekly_hours
from shopsim.craft.shift_rules import DIRECTIVE
from shopsim.craft.weekly_rest import weekly_rests
from shopsim.published.case import Case, Finding
from shopsim.published.working_time import (
    DIRECTIVE_SOURCE,
    EARLY,
    GERMANY,
    LATE,
    UNITED_KINGDOM,
    WEEKDAYS,
    Block,
    broken_in_a_shop,
    in_a_shop,
    inside_rests_h,
    listed,
    shifts_of,
)
from shopsim.shop.shift_breaches import rest_findings

# A pattern that repeats every week, and the rules it breaks.
EDGES: tuple[tuple[str, Block, str], ...] = (
    ("rest of exactly 11 h", ("mon tue wed thu", "07:00-20:00", "13:00-14:00"), "none"),
    ("rest of 10 h 59", ("mon tue wed thu", "07:00-20:01", "13:00-14:05"), "daily rest"),
    ("exactly 6 h without a break", (WEEKDAYS, "08:00-14:00", ""), "none"),
    ("6 h 01 without a break", (WEEKDAYS, "08:00-14:01", ""), "break"),
    ("48 h a week", (WEEKDAYS, "07:00-17:06", "12:00-12:30"), "none"),
    ("48 h 05 a week", (WEEKDAYS, "07:00-17:07", "12:00-12:30"), "weekly hours"),
    ("night shift of 8 h", ("mon tue wed thu", "22:00-06:30", "02:00-02:30"), "none"),
    ("night shift of 8 h 01", ("mon tue wed thu", "22:00-06:31", "02:00-02:30"), "night shift"),
    ("9 h with 3 h in the night", ("mon tue wed thu", "16:30-02:00", "21:00-21:30"), "night shift"),
    ("9 h with 2 h 59 in the night", ("mon tue wed thu", "16:29-01:59", "21:00-21:30"), "none"),
)
# Saturday's hours, before a Monday that begins at 07:00.
WEEKENDS = (
    ("weekend of exactly 35 h", "14:00-20:00", "none"),
    ("weekend of 34 h 59", "14:01-20:01", "weekly rest"),
)


def _edges(_full: bool) -> Iterator[Finding]:
    for name, block, broken in EDGES:
        yield Finding(f"{name}: rules broken", broken, broken_in_a_shop([[block]]))
    for name, saturday, broken in WEEKENDS:
        weeks = [[(WEEKDAYS, "07:00-13:00", ""), ("sat", saturday, "")]]
        yield Finding(f"{name}: rules broken", broken, broken_in_a_shop(weeks))


TURN = (EARLY, "10:00-10:30"), (LATE, "18:00-18:30"), ("22:00-06:00", "02:00-02:30")
TWELVE = ("07:00-19:00", "13:00-14:00")


def _rotations(_full: bool) -> Iterator[Finding]:
    three = [[(WEEKDAYS, *turn)] for turn in TURN]
    yield Finding("early, late, night by the week: rules broken", "none", broken_in_a_shop(three))
    yield Finding("early, late, night by the week: hours of each week", "37.5 and 37.5 and 37.5",
                  listed(weekly_hours(shifts_of(three))))  # fmt: skip
    yield Finding("early, late, night by the week: longest rest of each week, h", "58 and 50 and 42",
                  listed(inside_rests_h(shifts_of(three))))  # fmt: skip
    # Late on Friday and early on Saturday: 8 h; from Saturday 14:00 to Monday 14:00 are 48 h.
    clash = [[(WEEKDAYS, *TURN[1]), ("sat", *TURN[0])]]
    yield Finding("late on Friday, early on Saturday: rules broken", "daily rest", broken_in_a_shop(clash))
    # Sunday's night ends at 06:00 on Monday, when the early week begins: the fault lies where the rotation wraps.
    wrap = [[("mon tue wed thu fri", *TURN[0])], [("thu fri sat sun", *TURN[2])]]
    yield Finding("night on Sunday, early on Monday: rules broken", "daily rest", broken_in_a_shop(wrap))
    twelve = [[("mon tue fri sat sun", *TWELVE)], [("wed thu", *TWELVE)]]
    yield Finding("twelve hours, two on, two off, three on: rules broken", "none", broken_in_a_shop(twelve))
    shifts = shifts_of(twelve)
    attended = sum(shift.span_h for shift in shifts) / len(twelve)
    yield Finding("twelve hours, two on, two off, three on: hours a week", 42, attended)


SIX_DAYS = f"{WEEKDAYS} sat"
SEVEN_DAYS = f"{SIX_DAYS} sun"
# Weeks of a rotation; rules broken; rest that counts for each week of the second round; rest inside each of them.
WEEKLY_RESTS: tuple[tuple[str, Sequence[Sequence[Block]], str, str, str], ...] = (
    # From Saturday 22:00 to Monday 14:00, of which 26 h before Sunday midnight.
    ("six late shifts a week", [[(SIX_DAYS, LATE, "18:00-18:30")]], "none", "40", "26"),
    # From Sunday 20:00 to Tuesday 07:00, once in 14 days.
    ("thirteen days in fourteen", [[(SEVEN_DAYS, "14:00-20:00", "")], [("tue wed thu fri sat sun", "07:00-13:00", "")]],
     "weekly rest", "35 and 25", "18 and 31"),
    # From Saturday 20:00 to Tuesday 20:00, 72 h: 35 h twice; from Saturday 20:00 to Tuesday 17:00 they are not.
    ("seventy-two hours for two weeks",
     [[(SIX_DAYS, "14:00-20:00", "")], [("tue", "20:00-23:00", ""), ("wed thu fri sat sun", "14:00-20:00", "")]],
     "none", "72 and 72", "28 and 44"),
    ("sixty-nine hours for two weeks",
     [[(SIX_DAYS, "14:00-20:00", "")], [("tue", "17:00-20:00", ""), ("wed thu fri sat sun", "14:00-20:00", "")]],
     "weekly rest", "69 and 18", "28 and 41"),
)  # fmt: skip


def _weekly_rests(_full: bool) -> Iterator[Finding]:
    for name, weeks, broken, counted, inside in WEEKLY_RESTS:
        second = weekly_rests(shifts_of([*weeks] * 3), DIRECTIVE.weekly_rest_h)[len(weeks) : 2 * len(weeks)]
        yield Finding(f"{name}: rules broken", broken, broken_in_a_shop(weeks))
        yield Finding(
            f"{name}: rest that counts for each week, h", counted, listed([week.longest_h for week in second])
        )
        yield Finding(f"{name}: rest inside each week, h", inside, listed([week.inside_h for week in second]))


# Hours, break, and the break asked for beyond what there is, by each country's rules.
BREAKS: tuple[tuple[str, str, str, str, str], ...] = (
    ("08:00-14:00", "", "none", "none", "none"),
    ("08:00-14:01", "", "any", "20 min", "30 min"),
    ("08:00-14:21", "10:00-10:20", "none", "none", "30 min"),
    ("08:00-14:20", "10:00-10:19", "none", "20 min", "30 min"),
    ("08:00-17:30", "12:00-12:30", "none", "none", "none"),
    ("08:00-17:31", "12:00-12:30", "none", "none", "45 min"),
    ("08:00-17:46", "12:00-12:45", "none", "none", "none"),
)


def _national_breaks(_full: bool) -> Iterator[Finding]:
    for hours, pause, *asked in BREAKS:
        for country, rules, expected in zip(
            ("the Directive", "the United Kingdom", "Germany"), (None, UNITED_KINGDOM, GERMANY), asked, strict=True
        ):
            found = [
                each for each in rest_findings(in_a_shop([[("mon", hours, pause)]], rules)) if each.what == "break"
            ]
            told = ["any" if each.required is None else f"{each.required * 60:.3g} min" for each in found]
            had = f"with {pause}" if pause else "without a break"
            yield Finding(f"{hours} {had}, {country}: break asked for", expected, ", ".join(told) or "none")


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
    Case(
        "X-80", "Weekly rests across the turn of the week",
        f"{DIRECTIVE_SOURCE}, Art. 5: uninterrupted, for each seven days, whose beginning it does not name; whole for "
        "one of the two weeks (our reading); patterns derived",
        "none", _weekly_rests,
    ),
    Case(
        "X-81", "Breaks due by the rules that a file sets",
        f"{DIRECTIVE_SOURCE}, Art. 4; Working Time Regulations 1998, reg. 12; Arbeitszeitgesetz s. 4 (from memory): "
        "hours worked, breaks left out; shifts derived",
        "none", _national_breaks,
    ),
)  # fmt: skip
