"""Shift patterns of a file judged by the rest-time rules, by hand."""

from __future__ import annotations

import datetime
from typing import Any

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


def finding(row: str, what: str, day: int, found: float, required: float, rule: bool = True) -> RestFinding:
    """A finding about the only crew, so many days after the start Monday."""
    date = datetime.date(2026, 1, 5) + datetime.timedelta(day)
    return RestFinding("turn", ("hands",), 2, row, what, rule, date, found, required)


def test_late_into_early_is_seen_also_where_the_rotation_wraps() -> None:
    """A Sunday late shift ends at 22:00, the early shift on Monday begins at 06:00: 8 h of rest. With the late week
    second that Monday is the first day of the rotation. No shift of 8.5 h has a break: LAW-02 on each of 11 days."""
    early = [hours("06:00-14:30", WEEKDAYS)]
    late = [hours("13:30-22:00", [*WEEKDAYS, "sun"])]
    missing = [finding("LAW-02", "break", day, 0.0, 0.0) for day in (0, 1, 2, 3, 4, 7, 8, 9, 10, 11, 13)]
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


def test_crews_around_the_clock_are_not_judged() -> None:
    always = shop([hours("07:00-15:00", WEEKDAYS, ["12:00-12:30"])]).model_dump()
    always["shifts"] = [{"id": "turn", "round_the_clock": True}]
    assert rest_findings(Scenario.model_validate(always)) == []
    assert crews_not_judged(Scenario.model_validate(always)) == ["hands"]
    assert crews_not_judged(shop([hours("07:00-15:00", WEEKDAYS)])) == []
