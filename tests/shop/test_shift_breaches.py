"""Shift patterns of a file judged by the rest-time rules, by hand."""

from __future__ import annotations

import datetime
from typing import Any

from shopsim.craft.shift_guidance import guidance
from shopsim.craft.shift_hours import Worked
from shopsim.craft.shift_rules import Rules, breaches
from shopsim.shop.people import Shift
from shopsim.shop.scenario import Scenario
from shopsim.shop.shift_breaches import RestFinding, crews_not_judged, rest_findings, worked_shifts

WEEKDAYS = ["mon", "tue", "wed", "thu", "fri"]


def shop(*weeks: list[dict[str, Any]]) -> Scenario:
    return Scenario.model_validate({
        "shop": {"name": "rest", "starts": datetime.date(2026, 1, 5)},
        "work_centres": [{"id": "bench"}],
        "shifts": [{"id": "turn", "weeks": [{"blocks": blocks} for blocks in weeks]}],
        "crews": [{"id": "hands", "count": 2, "skills": {"general": 3}, "shift": "turn"}],
        "products": [{"id": "job", "route": [{"op": "work", "at": "bench", "minutes": 1}]}],
        "demand": {"forecast": {"orders_per_week": 1, "mix": [{"product": "job", "share_pct": 100}]}},
    })  # fmt: skip


def hours(text: str, days: list[str], breaks: list[str] | None = None) -> dict[str, Any]:
    return {"days": days, "hours": text, "breaks": breaks or []}


def test_a_day_shift_with_a_break_has_nothing_to_point_out() -> None:
    assert rest_findings(shop([hours("07:00-15:30", WEEKDAYS, ["12:00-12:30"])])) == []


def test_breaks_of_a_shift_are_added_up() -> None:
    two = {"id": "turn", "weeks": [{"blocks": [hours("07:00-15:30", ["mon"], ["09:00-09:15", "12:00-12:30"])]}]}
    # Monday of two weeks: 420 to 930, 45 min of breaks.
    assert worked_shifts(Shift.model_validate(two), 2) == [(420, 930, 45), (10500, 11010, 45)]


def finding(
    row: str, what: str, day: int, found: float, required: float | None, rule: bool = True, reason: str = ""
) -> RestFinding:  # fmt: skip
    """A finding about the only crew, so many days after the start Monday."""
    date = datetime.date(2026, 1, 5) + datetime.timedelta(day)
    return RestFinding("turn", ("hands",), (2,), 2, row, what, rule, date, found, required, reason)


def test_late_into_early_is_seen_also_where_the_rotation_wraps() -> None:
    """A Sunday late shift ends at 22:00, the early shift on Monday begins at 06:00: 8 h of rest. With the late week
    second that Monday is the first day of the rotation. No shift of 8.5 h has a break: LAW-02 on each of 11 days."""
    early = [hours("06:00-14:30", WEEKDAYS)]
    late = [hours("13:30-22:00", [*WEEKDAYS, "sun"])]
    none = "8.5 h without a break, one is due above 6 h"
    missing = [finding("LAW-02", "break", day, 0.0, None, reason=none) for day in (0, 1, 2, 3, 4, 7, 8, 9, 10, 11, 13)]
    # LAW-09 calls the same rest a quick return: it is told once, by the rule.
    assert rest_findings(shop(early, late)) == [finding("LAW-01", "daily rest", 0, 8.0, 11.0), *missing]
    assert rest_findings(shop(late, early))[6] == finding("LAW-01", "daily rest", 7, 8.0, 11.0)


def test_seven_nights_a_week_name_rules_before_guidance() -> None:
    """22:00 to 06:00 each day: 16 h of rest a week at most, 7 x 7.5 = 52.5 h, on six days 8.75 h. Rows never end."""
    nights = shop([hours("22:00-06:00", [*WEEKDAYS, "sat", "sun"], ["02:00-02:30"])])
    assert rest_findings(nights) == [
        finding("LAW-03", "weekly rest", 0, 16.0, 35.0),
        finding("LAW-04", "weekly hours", 0, 52.5, 48.0),
        finding("LAW-05", "night hours on average", 0, 8.75, 8.0),
        finding("LAW-08", "nights in a row, without end", 0, 7, 3, rule=False),
        finding("LAW-08", "days in a row, without end", 0, 7, 7, rule=False),
    ]


def test_five_nights_in_a_row_are_guidance() -> None:
    nights = shop([hours("22:00-06:00", WEEKDAYS, ["02:00-02:30"])])
    assert rest_findings(nights) == [finding("LAW-08", "nights in a row", 0, 5, 3, rule=False)]


def test_a_row_that_wraps_begins_in_the_rotation_s_last_week() -> None:
    """Nights from Thursday to Sunday of the second week and Monday to Wednesday of the first: seven in a row."""
    nights = "22:00-06:00"
    first = [hours(nights, ["mon", "tue", "wed"], ["02:00-02:30"])]
    second = [hours(nights, ["thu", "fri", "sat", "sun"], ["02:00-02:30"])]
    rows = [f for f in rest_findings(shop(first, second)) if f.what == "nights in a row"]
    assert rows == [finding("LAW-08", "nights in a row", 10, 7, 3, rule=False)]


def test_overtime_that_would_break_a_rule_is_a_softer_note() -> None:
    """08:00 to 20:00 on two days leaves 12 h of rest; with two hours of overtime 10 h, and shifts of 14 h."""
    long = shop([hours("08:00-20:00", ["mon", "tue"], ["13:00-13:30"])])
    assert rest_findings(long) == []
    agreed = {"policies": {"overtime": [{"crews": ["hands"], "when_queue_h": 1, "minutes": 120, "days": ["mon"]}]}}
    with_overtime = Scenario.model_validate(long.model_dump() | agreed)
    assert rest_findings(with_overtime) == [
        finding("LAW-01", "daily rest, if all overtime is worked", 1, 10.0, 11.0, rule=False)
    ]


def test_weekly_hours_are_averaged_from_each_week_of_the_rotation_on() -> None:
    """Seventeen weeks from a week of 60 h on hold nine of them and eight of 38 h, 49.65 h; from the other on 48.35."""
    week, other = [hours("07:00-19:30", WEEKDAYS, ["12:00-12:30"])], [hours("07:00-15:06", WEEKDAYS, ["12:00-12:30"])]
    averages = [(f.date.day, round(f.found, 2)) for f in rest_findings(shop(week, other)) if f.row == "LAW-04"]
    assert averages == [(5, 49.65), (12, 48.35)]


LATES = [hours("14:00-22:00", [*WEEKDAYS, "sat"], ["18:00-18:30"])]


def test_a_weekly_rest_across_sunday_midnight_counts_whole() -> None:
    """From Saturday 22:00 to Monday 14:00 are 40 h: no rule is broken; the 26 h before Sunday midnight are advice."""
    cut = "40 h whole, across the turn of the week"
    inside = finding("LAW-03", "weekly rest inside Monday to Sunday", 0, 26.0, 35.0, False, cut)
    assert rest_findings(shop(LATES)) == [inside]


def test_a_weekly_rest_is_given_once() -> None:
    """Sunday 20:00 to Tuesday 07:00 are 35 h, once in 14 days: the second week has 25 h, to Monday 14:00."""
    first = [hours("14:00-20:00", [*WEEKDAYS, "sat", "sun"])]
    second = [hours("07:00-13:00", ["tue", "wed", "thu", "fri", "sat", "sun"])]
    lent = "the longer rest at the turn of the week counts for the other week"
    rules = [each for each in rest_findings(shop(first, second)) if each.rule]
    assert rules == [finding("LAW-03", "weekly rest", 7, 25.0, 35.0, reason=lent)]


def test_a_week_off_counts_for_itself() -> None:
    seven = [hours("07:00-13:00", [*WEEKDAYS, "sat", "sun"])]
    # From Sunday 13:00 to Monday 07:00, 186 h, are five times 35 h: for the week off and for those beside it.
    assert [each for each in rest_findings(shop(seven, seven, [])) if each.rule] == []
    rules = [each for each in rest_findings(shop(seven, seven, seven, [])) if each.rule]
    assert rules == [finding("LAW-03", "weekly rest", 7, 18.0, 35.0)]


def test_long_nights_in_a_third_of_the_shifts_are_advice() -> None:
    """10 h from 21:00 to 07:00 with half an hour of break are 9.5 h, five shifts of fifteen."""
    early, late = [hours("06:00-14:00", WEEKDAYS, ["10:00-10:30"])], [hours("14:00-22:00", WEEKDAYS, ["18:00-18:30"])]
    night = [hours("21:00-07:00", WEEKDAYS, ["02:00-02:30"])]
    what = "night shift, if these people count as night workers"
    found = rest_findings(shop(early, late, night))
    assert [each for each in found if each.rule] == []
    assert [each for each in found if each.row == "LAW-05"] == [
        finding("LAW-05", what, 14 + day, 9.5, 8.0, rule=False) for day in range(5)
    ]
    # Four shifts of sixteen are a quarter, three of sixteen are less; more than half are night workers by the rule.
    for nights, days, told in ((4, 12, what), (3, 13, None), (8, 8, what), (9, 8, "night shift")):
        shifts = [Worked(d * 1440 + 1260, d * 1440 + 1860, 30) for d in range(nights)]
        shifts += [Worked(d * 1440 + 360, d * 1440 + 840, 30) for d in range(nights + 3, nights + 3 + days)]
        both = (*breaches(shifts), *guidance(shifts))
        assert {each.what for each in both if each.what.startswith("night shift")} == ({told} if told else set())
    light = Rules(heavy_work=False)
    assert [each for each in guidance(shifts[5:], light) if each.row == "LAW-05"] == []


def test_a_quick_return_is_told_where_the_daily_rest_is_kept() -> None:
    """13:30 to 22:00 and 08:00 the next day are 10 h: below the 11 h of the guidance, enough for a rule of 9 h."""
    quick = shop([hours("13:30-22:00", ["mon"], ["18:00-18:30"]), hours("08:00-16:00", ["tue"], ["12:00-12:30"])])
    agreed = Scenario.model_validate(quick.model_dump() | {"policies": {"working_time": {"daily_rest_h": 9}}})
    assert rest_findings(quick) == [finding("LAW-01", "daily rest", 1, 10.0, 11.0)]
    assert rest_findings(agreed) == [finding("LAW-09", "quick return", 1, 10.0, 11.0, rule=False)]
    eleven = shop([hours("13:00-21:00", ["mon"], ["18:00-18:30"]), hours("08:00-16:00", ["tue"], ["12:00-12:30"])])
    assert rest_findings(eleven) == []


def test_crews_around_the_clock_are_not_judged() -> None:
    always = shop([hours("07:00-15:00", WEEKDAYS, ["12:00-12:30"])]).model_dump()
    always["shifts"] = [{"id": "turn", "round_the_clock": True}]
    assert rest_findings(Scenario.model_validate(always)) == []
    assert crews_not_judged(Scenario.model_validate(always)) == ["hands"]
    assert crews_not_judged(shop([hours("07:00-15:00", WEEKDAYS)])) == []
