"""How orders come, found again from two years of a forecast whose pattern is known."""

from __future__ import annotations

import datetime
from typing import Any

import numpy as np
import pytest

from shopsim.shop.demand import MONTH_INDEX, WEEKDAY_SHARES, Forecast
from shopsim.studies.fit_found import Findings, Fitted
from shopsim.studies.fit_history import History, order_history
from shopsim.studies.fit_rates import fit_rates
from tests.studies.past_orders import order

MONDAY = datetime.date(2024, 1, 1)


def base(**values: Any) -> Forecast:
    return Forecast.model_validate({"orders_per_week": 1.0, "mix": [{"product": "frame", "share_pct": 1.0}], **values})


def history(weeks: int, dispersion: float, growth_a_year: float = 0.0, seed: int = 4) -> History:
    """Negative binomial days by the handbook's months and weekdays, 90 orders a week in the first year's mean."""
    rng = np.random.default_rng(seed)
    index = np.array(MONTH_INDEX) / np.mean(MONTH_INDEX)
    shares = np.array(WEEKDAY_SHARES) / sum(WEEKDAY_SHARES)
    rows, number = [], 0
    for i in range(weeks * 7):
        day = MONDAY + datetime.timedelta(days=i)
        mean = 90 * index[day.month - 1] * shares[day.weekday()] * (1 + growth_a_year) ** (i / 365.25)
        level = rng.gamma(mean / (dispersion - 1)) * (dispersion - 1) if dispersion > 1 else mean
        for _ in range(rng.poisson(level)):
            rows.append(
                order(number, day) | {"received": datetime.datetime.combine(day, datetime.time(8 + number % 4))}
            )
            number += 1
    return order_history(rows)


def by_path(found: Findings) -> dict[str, Fitted]:
    return {one.path.rsplit(".", 1)[-1] or one.about: one for one in found.fitted}


@pytest.fixture(scope="module")
def two_years() -> dict[str, Fitted]:
    return by_path(fit_rates(history(105, 2.5), base(), 95))


def test_months_weekdays_and_rate_are_found_again(two_years: dict[str, Fitted]) -> None:
    rate = two_years["orders_per_week"].estimate
    assert rate.low <= 90 <= rate.high
    for name, true in (("month_index", np.array(MONTH_INDEX) / np.mean(MONTH_INDEX)),
                       ("weekday_shares", 100 * np.array(WEEKDAY_SHARES) / sum(WEEKDAY_SHARES))):  # fmt: skip
        held = [doubt.low <= true[int(doubt.path.split("[")[1][:-1])] <= doubt.high for doubt in two_years[name].doubts]
        assert len(held) == len(true)
        # Nineteen intervals of 95 %: three or fewer missed but once in two thousand.
        assert sum(held) >= len(held) - 2


def test_scatter_from_day_to_day_is_found_again(two_years: dict[str, Fitted]) -> None:
    scatter = two_years["day_to_day_dispersion"]
    assert scatter.estimate.low <= 2.5 <= scatter.estimate.high
    assert scatter.how.startswith("Pearson's statistic; negative binomial index ")
    plain = by_path(fit_rates(history(60, 1.0), base(), 95))["day_to_day_dispersion"]
    assert plain.estimate.low <= 1 <= plain.estimate.high
    assert plain.how == "Pearson's statistic; no more scatter than chance can be told"


def test_a_trend_is_told_and_not_written() -> None:
    found = fit_rates(history(105, 1.0, growth_a_year=0.3), base(), 95)
    trend = next(one for one in found.fitted if one.about == "trend, % a year")
    assert trend.path == ""
    assert trend.estimate.low <= 30 <= trend.estimate.high
    assert trend.estimate.low > 15


def test_without_a_year_the_months_of_the_file_are_taken_out_of_the_rate() -> None:
    # Twelve weeks from New Year on: months of 1.05 to 1.2 of a mean of 1.
    short = history(12, 1.0)
    found = fit_rates(short, base(), 95)
    assert "month index: less than a year on record" in found.left
    rate = by_path(found)["orders_per_week"].estimate
    assert rate.low <= 90 <= rate.high
    flat = by_path(fit_rates(short, base(month_index=[1.0] * 12), 95))["orders_per_week"].estimate
    assert flat.value == pytest.approx(len(short.orders) / short.weeks, rel=1e-9)
    assert flat.value > 1.08 * rate.value


def test_days_without_clock_times_give_no_hours() -> None:
    days = [MONDAY + datetime.timedelta(days=i) for i in range(28)]
    rows = [order(i, day) | {"received": datetime.datetime.combine(day, datetime.time())} for i, day in enumerate(days)]
    found = fit_rates(order_history(rows), base(), 95)
    assert "hours of the day: the history has days without clock times" in found.left
