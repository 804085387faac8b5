"""Small words of answers: values of a scenario, and a date that nobody named."""

from __future__ import annotations

import datetime
from typing import Any

import pytest

from shopsim.answers.fit import value_text
from shopsim.answers.promise_request import usual_due
from tests.shop.reviewed import calm


@pytest.mark.parametrize(
    ("value", "text"),
    [(None, ""), (True, "True"), ("day", "day"), (3, "3"), (2.5, "2.50"), ([1, 2], "2 entries"), ({"a": 1}, "set")],
)
def test_values_in_words(value: Any, text: str) -> None:
    assert value_text(value) == text


@pytest.mark.parametrize(("rush", "due"), [(False, datetime.date(2026, 1, 13)), (True, datetime.date(2026, 1, 8))])
def test_without_a_forecast_a_request_is_due_as_usual_in_the_trade(rush: bool, due: datetime.date) -> None:
    # DEM-13: 3 to 8 working days, 5 as a rule; of rush 1 to 3. From Tuesday noon on.
    assert usual_due(calm(), datetime.datetime(2026, 1, 6, 9), rush) == due
