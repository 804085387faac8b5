"""How orders come, found again from two years of a forecast whose pattern is known."""

from __future__ import annotations

import datetime
from typing import Any

import numpy as np
import pytest

from shopsim.sentences.fitting import fitted_sentence
from shopsim.shop.demand import HOUR_SHARES, MONTH_INDEX, WEEKDAY_SHARES, Forecast
from shopsim.studies.fit_found import Findings, Fitted
from shopsim.studies.fit_history import History, order_history
from shopsim.studies.fit_rates import RATE_AT_THE_END, TREND, fit_rates
from shopsim.studies.fit_shop import ShopFit
from tests.evidence.slices import at_least
from tests.studies.past_orders import order

MONDAY = datetime.date(2024, 1, 1)
MONTHS = np.array(MONTH_INDEX) / np.mean(MONTH_INDEX)
WEEK, HOURS = (np.array(shares) / sum(shares) for shares in (WEEKDAY_SHARES, HOUR_SHARES))


def base(**values: Any) -> Forecast:
    return Forecast.model_validate({"orders_per_week": 1.0, "mix": [{"product": "frame", "share_pct": 1.0}], **values})


def history(weeks: int, dispersion: float, growth_a_year: float = 0.0, seed: int = 4) -> History:
    """Negative binomial days by the handbook's months and weekdays, 90 orders a week in the first year's mean."""
    rng, clock = np.random.default_rng(seed), np.random.default_rng(10_000 + seed)
    rows, number = [], 0
    for i in range(weeks * 7):
        day = MONDAY + datetime.timedelta(days=i)
        mean = 90 * MONTHS[day.month - 1] * WEEK[day.weekday()] * (1 + growth_a_year) ** (i / 365.25)
        level = rng.gamma(mean / (dispersion - 1)) * (dispersion - 1) if dispersion > 1 else mean
        for _ in range(rng.poisson(level)):
            hour = int(clock.choice(24, p=HOURS))
            rows.append(order(number, day) | {"received": datetime.datetime.combine(day, datetime.time(hour, 30))})
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
    for name, true in (("month_index", MONTHS), ("weekday_shares", 100 * WEEK)):
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


def test_what_a_rate_follows_lies_in_its_interval_as_often_as_told() -> None:
    true = {"month_index": MONTHS, "weekday_shares": 100 * WEEK, "hour_shares": 100 * HOURS}
    inside, of = dict.fromkeys((*true, TREND), 0), dict.fromkeys((*true, TREND), 0)
    for seed in range(30):
        found = fit_rates(history(105, 2.0, growth_a_year=0.0, seed=100 + seed), base(), 95)
        for name, values in true.items():
            for doubt in by_path(found)[name].doubts:
                inside[name] += doubt.low <= values[int(doubt.path.split("[")[1][:-1])] <= doubt.high
                of[name] += 1
        trend = next(one.estimate for one in found.fitted if one.about == TREND)
        inside[TREND] += trend.low <= 0 <= trend.high
        of[TREND] += 1
    assert of == {"month_index": 360, "weekday_shares": 210, "hour_shares": pytest.approx(420, abs=15), TREND: 30}
    for name, count in of.items():
        assert inside[name] >= at_least(0.95, count, 0.001), name


def test_a_growing_shop_is_told_that_the_rate_is_a_mean() -> None:
    grows = history(105, 1.0, growth_a_year=0.3)
    found = fit_rates(grows, base(), 95)
    end = next(one.estimate for one in found.fitted if one.about == RATE_AT_THE_END)
    # 90 a week at the start, two years later 1.3² of it.
    assert end.low <= 90 * 1.3**2 <= end.high
    trend = next(one for one in found.fitted if one.about == TREND)
    assert trend.how == "log-linear Poisson; told only, a forecast is a level"
    fit = ShopFit(tuple(found.fitted), (), (), (), {"orders": len(grows.orders)}, grows, 95.0)
    assert (
        "Orders grow by 27.5 % a year (22.7 to 32.5): the rate written is the mean of these weeks, at their end it is "
        f"about {end.value:.0f} a week. Intervals at 95 %"
    ) in fitted_sentence(fit).below
    flat = fit_rates(history(40, 2.0), base(), 95)
    assert not [one for one in flat.fitted if one.about == RATE_AT_THE_END]
    trend = next(one for one in flat.fitted if one.about == TREND)
    assert trend.how == "log-linear Poisson, months as the file has them; cannot be told from none"


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
