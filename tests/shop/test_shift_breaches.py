"""Shift patterns of a file judged by the rest-time rules, by hand."""

from __future__ import annotations

import datetime
from typing import Any

from shopsim.shop.people import Shift
from shopsim.shop.scenario import Scenario
from shopsim.shop.shift_breaches import RestFinding, rest_findings, worked_shifts

WEEKDAYS = ["mon", "tue", "wed", "thu", "fri"]


def shop(*weeks: list[dict[str, Any]]) -> Scenario:
    return Scenario.model_validate({
        "shop": {"name": "rest", "starts": datetime.date(2026, 1, 5)},
        "work_centres": [{"id": "bench"}],
        "shifts": [{"id": "turn", "weeks": [{"blocks": blocks} for blocks in weeks]}],
        "crews": [{"id": "hands", "skills": {"general": 3}, "shift": "turn"}],
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


def test_late_into_early_is_seen_also_where_the_rotation_wraps() -> None:
    """A Sunday late shift ends at 22:00, the early shift on Monday begins at 06:00: 8 h of rest. With the late week
    second that Monday is the first day of the rotation. No shift of 8.5 h has a break: LAW-02 on all 11 days."""
    early = [hours("06:00-14:30", WEEKDAYS)]
    late = [hours("13:30-22:00", [*WEEKDAYS, "sun"])]
    first_week, second_week = datetime.date(2026, 1, 5), datetime.date(2026, 1, 12)
    assert rest_findings(shop(early, late)) == [
        RestFinding("turn", ("hands",), "LAW-01", "daily rest", True, first_week, 1, 8.0, 11.0),
        RestFinding("turn", ("hands",), "LAW-02", "break", True, first_week, 11, 0.0, 0.0),
    ]
    assert rest_findings(shop(late, early))[0] == RestFinding(
        "turn", ("hands",), "LAW-01", "daily rest", True, second_week, 1, 8.0, 11.0
    )


def test_seven_nights_a_week_name_rules_before_guidance() -> None:
    """22:00 to 06:00 each day: 16 h of rest a week at most, 7 x 7.5 = 52.5 h. Laid out over 1 + 17 weeks the row of
    nights never ends: 18 x 7 = 126."""
    nights = shop([hours("22:00-06:00", [*WEEKDAYS, "sat", "sun"], ["02:00-02:30"])])
    assert [(f.row, f.what, f.rule, f.found) for f in rest_findings(nights)] == [
        ("LAW-03", "weekly rest", True, 16.0),
        ("LAW-04", "weekly hours", True, 52.5),
        ("LAW-08", "nights in a row", False, 126),
        ("LAW-08", "days in a row", False, 126),
    ]


def test_five_nights_in_a_row_are_guidance() -> None:
    nights = shop([hours("22:00-06:00", WEEKDAYS, ["02:00-02:30"])])
    assert rest_findings(nights) == [
        RestFinding("turn", ("hands",), "LAW-08", "nights in a row", False, datetime.date(2026, 1, 5), 1, 5, 3)
    ]
