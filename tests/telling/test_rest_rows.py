"""Rest-time findings as rows of a table: who, so many people, what, when, found and asked with their units."""

from __future__ import annotations

from typing import Any

from shopsim.shop.scenario import Scenario
from shopsim.shop.shift_breaches import rest_findings
from shopsim.terminal.rest_rows import rest_rows
from tests.shop.test_shift_breaches import WEEKDAYS, hours, shop

WHO = "turn: hands (2 people)"


def rows(*weeks: list[dict[str, Any]], **changes: Any) -> list[tuple[str, ...]]:
    return list(rest_rows(rest_findings(Scenario.model_validate(shop(*weeks).model_dump() | changes))))


def test_a_missing_break_says_how_long_the_day_is() -> None:
    assert rows([hours("07:00-15:00", ["mon", "tue"])]) == [
        (WHO, "break: 8 h without a break, one is due above 6 h (LAW-02)", "rule", "Mon 05, Tue 06 Jan", "none",
         "a break"),
    ]  # fmt: skip


def test_a_break_too_short_is_told_in_minutes() -> None:
    rules = {"working_time": {"breaks": [{"above_h": 6, "least_min": 30}]}}
    assert rows([hours("07:00-15:00", ["mon"], ["12:00-12:15"])], policies=rules) == [
        (WHO, "break: 7.75 h with 15 min of break, 30 min are due above 6 h (LAW-02)", "rule", "Mon 05 Jan", "15 min",
         "30 min"),
    ]  # fmt: skip


def test_a_day_is_named_once_and_people_who_are_the_same_are_not_named_again() -> None:
    # Two long shifts a day, each without a break: the same finding twice on Monday.
    twice = rows([hours("00:00-07:00", ["mon"]), hours("12:00-19:00", ["mon"])])
    breaks = [row for row in twice if row[1].startswith("break")]
    assert [dates for _, _, _, dates, _, _ in breaks] == ["Mon 05 Jan"]
    assert [who for who, *_ in twice] == [WHO, *["as above"] * (len(twice) - 1)]
    assert len(twice) > 1


def test_everybody_is_named_with_how_many_they_are() -> None:
    crew = {"skills": {"general": 3}, "shift": "turn"}
    crews = [{"id": "sewers", "count": 4, **crew}, {"id": "packer", "count": 1, **crew}]
    found = rows([hours("05:00-11:00", ["mon"])], crews=crews)
    assert found == [
        ("turn: sewers (4 people), packer (1 person)", "early start (LAW-08)", "advice", "Mon 05 Jan", "05:00",
         "06:00"),
    ]  # fmt: skip


def test_hours_days_and_nights_have_their_units() -> None:
    lates = rows([hours("14:00-22:00", [*WEEKDAYS, "sat"], ["18:00-18:30"])])
    assert lates == [
        (WHO, "weekly rest inside Monday to Sunday: 40 h whole, across the turn of the week (LAW-03)", "advice",
         "Mon 05 Jan", "26 h", "35 h"),
    ]  # fmt: skip
    nights = rows([hours("22:00-06:00", [*WEEKDAYS, "sat", "sun"], ["02:00-02:30"])])
    assert [(what, found, asked) for _, what, _, _, found, asked in nights] == [
        ("weekly rest (LAW-03)", "16 h", "35 h"), ("weekly hours (LAW-04)", "52.5 h", "48 h"),
        ("night hours on average (LAW-05)", "8.75 h", "8 h"),
        ("nights in a row, without end (LAW-08)", "7 days", "3 days"),
        ("days in a row, without end (LAW-08)", "7 days", "7 days"),
    ]  # fmt: skip
