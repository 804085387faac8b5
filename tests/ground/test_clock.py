"""Clock texts and dates."""

from datetime import date

import pytest

from shopsim.clock import (
    MINUTES_PER_DAY,
    MINUTES_PER_WEEK,
    WEEKDAYS,
    clock_text,
    date_of,
    day_number,
    minute_of,
    parse_clock,
    stamp,
    weekday_of,
)

MONDAY = date(2026, 1, 5)


def test_days_and_weeks() -> None:
    assert (MINUTES_PER_DAY, MINUTES_PER_WEEK) == (1440, 10080)
    assert WEEKDAYS == ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


@pytest.mark.parametrize(
    ("text", "minute"), [("06:30", 390), ("6:30", 390), ("00:00", 0), ("23:59", 1439), ("24:00", 1440)]
)
def test_clock_texts_are_read(text: str, minute: int) -> None:
    assert parse_clock(text) == minute


@pytest.mark.parametrize("text", ["24:01", "25:00", "06:60", "0630", "06:3", "-1:00", " 06:30", "", "06:30:00"])
def test_other_texts_are_refused(text: str) -> None:
    with pytest.raises(ValueError) as caught:
        parse_clock(text)
    assert str(caught.value) == f"{text!r} is not a clock time; allowed is hh:mm from 00:00 to 24:00"


@pytest.mark.parametrize(
    ("minute", "text"), [(390, "06:30"), (0, "00:00"), (1440, "24:00"), (390.9, "06:30"), (389.99999999, "06:30")]
)
def test_clock_texts_are_written(minute: float, text: str) -> None:
    assert clock_text(minute) == text


@pytest.mark.parametrize("minute", [-1, 1440.5])
def test_minutes_outside_the_day_are_refused(minute: float) -> None:
    with pytest.raises(ValueError) as caught:
        clock_text(minute)
    assert str(caught.value) == f"minute of the day must be from 0 to 1440, got {minute!r}"


def test_dates_change_at_midnight() -> None:
    assert date_of(1439.9, MONDAY) == date(2026, 1, 5)
    assert date_of(1440, MONDAY) == date(2026, 1, 6)
    assert date_of(-0.5, MONDAY) == date(2026, 1, 4)
    assert date_of(27 * 1440, MONDAY) == date(2026, 2, 1)


def test_days_and_weekdays_by_number() -> None:
    assert [day_number(t) for t in (-0.5, 0, 1439.9, 1440, 10080)] == [-1, 0, 0, 1, 7]
    assert [weekday_of(t) for t in (-0.5, 0, 1440, 10079, 10080)] == [6, 0, 1, 6, 0]


def test_minutes_of_dates() -> None:
    assert minute_of(date(2026, 1, 7), MONDAY, 450) == 2 * 1440 + 450
    assert minute_of(date(2026, 1, 4), MONDAY) == -1440.0
    # Over the end of March, when clocks are put forward in many places, days still have 1440 minutes.
    assert minute_of(date(2026, 3, 30), MONDAY) == 12 * 10080.0


def test_stamps() -> None:
    assert stamp(450, MONDAY) == "2026-01-05 07:30"
    assert stamp(1439.99999999, MONDAY) == "2026-01-06 00:00"
    assert stamp(1439.9, MONDAY) == "2026-01-05 23:59"
    assert stamp(-30, MONDAY) == "2026-01-04 23:30"


def test_time_starts_on_a_monday() -> None:
    text = "simulated time starts on a Monday, but 2026-01-06 is a Tue"
    for call in (lambda d: date_of(0, d), lambda d: minute_of(d, d), lambda d: stamp(0, d)):
        with pytest.raises(ValueError) as caught:
            call(date(2026, 1, 6))
        assert str(caught.value) == text
