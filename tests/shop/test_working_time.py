"""Working-time rules that a file sets: shifts are judged by them, and where they ask less than the Directive is told.

The countries' breaks stand in `shopsim.published.working_time`, and every edge of them in case X-81.
"""

from __future__ import annotations

from typing import Any

import pytest

from shopsim.craft.shift_rules import DIRECTIVE
from shopsim.published.working_time import GERMANY, WEEKDAYS, Block, in_a_shop
from shopsim.shop.rest_words import rules_words
from shopsim.shop.shift_breaches import kept_by_the_file_alone, rest_findings
from shopsim.shop.working_time import WorkingTime, below_the_directive, rules_in_force

DAY: Block = (WEEKDAYS, "07:00-15:30", "12:00-12:30")
NIGHT: Block = (WEEKDAYS, "22:00-07:00", "02:00-02:30")


def broken(block: Block, **rules: Any) -> list[tuple[str, float, float | None]]:
    """What is found against rules of a file, each breach once."""
    found = rest_findings(in_a_shop([[block]], rules))
    return list(dict.fromkeys((each.what, round(each.found, 2), each.required) for each in found if each.rule))


def test_a_file_without_rules_is_judged_by_the_directive() -> None:
    assert rules_in_force(None) == WorkingTime().rules == DIRECTIVE


@pytest.mark.parametrize(
    ("block", "rules", "found"),
    [
        # 15:30 to 07:00 are 15.5 h; from Friday 15:30 to Monday 07:00 are 63.5 h; 8 h on five days are 40 h.
        (DAY, {"daily_rest_h": 15.5}, []),
        (DAY, {"daily_rest_h": 16}, [("daily rest", 15.5, 16)]),
        (DAY, {"weekly_rest_h": 63.5}, []),
        (DAY, {"weekly_rest_h": 64}, [("weekly rest", 63.5, 64)]),
        (DAY, {"weekly_average_h": 40}, []),
        (DAY, {"weekly_average_h": 39}, [("weekly hours", 40.0, 39)]),
        (DAY, {"breaks": [{"above_h": 8, "least_min": 45}]}, []),
        (DAY, {"breaks": [{"above_h": 7.5, "least_min": 45}]}, [("break", 0.5, 0.75)]),
        (DAY, {"breaks": [{"above_h": 6}]}, []),
        # 8.5 h from 22:00 to 07:00, of which 7 from 23:00 to 06:00; 42.5 h on six days are 7.08 h.
        (NIGHT, {}, [("night shift", 8.5, 8)]),
        (NIGHT, {"heavy_work": False}, []),
        (NIGHT, {"night_shift_h": 8.5}, []),
        (NIGHT, {"night_shift_h": 8.5, "night_average_h": 7}, [("night hours on average", 7.08, 7)]),
        (NIGHT, {"night_begins": "01:00", "night_ends": "03:59"}, []),
        (NIGHT, {"night_begins": "01:00", "night_ends": "04:00"}, [("night shift", 8.5, 8)]),
        (NIGHT, {"night_shift_from_h": 7.5}, []),
    ],
)
def test_each_number_of_a_file_is_judged_by(
    block: Block, rules: dict[str, Any], found: list[tuple[str, float, float | None]]
) -> None:
    assert broken(block, **rules) == found


def test_the_average_is_taken_over_the_weeks_of_the_file() -> None:
    """Weeks of 60 and 20 h: 40 h on average over two of them, 60 h over one."""
    weeks = [[(WEEKDAYS, "07:00-20:00", "12:00-13:00")], [(WEEKDAYS, "08:00-12:00", "")]]
    for reference_weeks, averages in ((2, []), (1, [60.0]), (3, [46.67])):
        rules = {"weekly_average_h": 45, "reference_weeks": reference_weeks}
        found = rest_findings(in_a_shop(weeks, rules))
        assert [round(each.found, 2) for each in found if each.row == "LAW-04"] == averages


def test_a_break_too_short_says_how_long_the_day_is_and_what_is_due() -> None:
    """07:00 to 17:15 with 30 min of break are 9.75 h of work."""
    (found,) = {
        (each.found, each.required, each.reason)
        for each in rest_findings(in_a_shop([[(WEEKDAYS, "07:00-17:15", "12:00-12:30")]], GERMANY))
        if each.rule and each.what == "break"
    }
    assert found == (0.5, 0.75, "9.75 h with 30 min of break, 45 min are due above 9 h")


def test_what_asks_less_than_the_directive_is_told() -> None:
    assert list(below_the_directive(DIRECTIVE)) == []
    assert list(below_the_directive(WorkingTime(daily_rest_h=12, weekly_average_h=40).rules)) == []
    less = WorkingTime(
        daily_rest_h=9, weekly_rest_h=24, breaks=({"above_h": 6.5},), weekly_average_h=50, reference_weeks=52,
        night_begins="00:00", night_ends="05:00", night_shift_from_h=4, night_average_h=9, night_shift_h=10,
    )  # fmt: skip
    assert list(below_the_directive(less.rules)) == [
        "daily rest (9 against 11 h)", "weekly rest (24 against 35 h)", "length of the night (5 against 7 h)",
        "hours before a break (6.5 against 6 h)", "weekly hours (50 against 48 h)",
        "reference period (52 against 17 weeks)", "night part of a night shift (4 against 3 h)",
        "night hours on average (9 against 8 h)", "heavy night shift (10 against 8 h)",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("block", "rules", "found"),
    [
        # 14 h a day less half an hour, five days: 10 h of rest, 67.5 h a week.
        (
            (WEEKDAYS, "06:00-20:00", "12:00-12:30"),
            {"daily_rest_h": 9, "weekly_average_h": 70},
            ["daily rest", "weekly hours"],
        ),
        ((WEEKDAYS, "06:00-20:00", "12:00-12:30"), {"daily_rest_h": 9}, ["daily rest"]),
        ((WEEKDAYS, "06:00-20:00", "12:00-12:30"), {}, []),
        # What the file allows and nobody works.
        (DAY, {"daily_rest_h": 9, "weekly_average_h": 70, "breaks": [{"above_h": 8}]}, []),
        ((WEEKDAYS, "07:00-14:30", ""), {"breaks": [{"above_h": 8}]}, ["break"]),
        # A limit for fewer weeks is the file's own and stricter; a longer period asks less.
        (DAY, {"weekly_average_h": 39, "reference_weeks": 52}, []),
        (NIGHT, {"night_shift_h": 10}, ["night shift"]),
        (NIGHT, {"heavy_work": False}, []),
        # Four hours are too few for a night, so that the Directive's counts; a later one of seven hours will do.
        (NIGHT, {"night_begins": "02:00", "night_ends": "06:00", "night_shift_from_h": 5}, ["night shift"]),
        ((WEEKDAYS, "16:00-02:00", "20:00-20:30"), {"night_begins": "00:00", "night_ends": "07:00"}, []),
    ],
)
def test_what_is_kept_only_because_the_file_asks_less_than_the_directive(
    block: Block, rules: dict[str, Any], found: list[str]
) -> None:
    assert kept_by_the_file_alone(in_a_shop([[block]], rules)) == found


def test_the_page_says_by_which_rules_it_judges() -> None:
    assert rules_words(None) == "Directive 2003/88/EC, as the file has no `policies.working_time`"
    assert rules_words(WorkingTime.model_validate(GERMANY)) == (
        "`policies.working_time` of the file (breaks above 6 h, least 30 min, above 9 h, least 45 min, from ArbZG s. "
        "4, from memory), else Directive 2003/88/EC"
    )
    assert rules_words(WorkingTime(daily_rest_h=9, note="our agreement")) == (
        "`policies.working_time` of the file (daily rest 9 h, from our agreement), else Directive 2003/88/EC; less "
        "than the Directive asks: daily rest (9 against 11 h)"
    )
