"""A forecast as tables of the year, the week and the day."""

from pathlib import Path

import pytest

from shopsim.shop.changes import Change
from shopsim.shop.demand import Forecast
from shopsim.shop.forecast_rates import rates, share_changes, week_by_hour
from shopsim.shop.load_rows import load_rows
from shopsim.shop.rough_cut import rough_cut
from shopsim.shop.scenario_file import load_scenario
from shopsim.shop.shop_file import load_shop

SMALL = Path(__file__).parent / "small_shop.yaml"
DEMOS = Path(__file__).parents[2] / "demo_scenarios"
FORECAST = load_scenario(SMALL).demand.forecast


def test_a_year_sums_to_the_rate_over_the_year() -> None:
    months = rates(FORECAST, "year")
    assert [each.name for each in months][:2] == ["January", "February"]
    # By hand: 20 a week on average, index 1.05 in January and 0.55 in December, of a mean of 12.00 / 12.
    assert sum(FORECAST.month_index) == pytest.approx(12)
    assert (months[0].orders, months[11].orders) == (pytest.approx(21), pytest.approx(11))
    assert sum(each.orders for each in months) == pytest.approx(12 * 20)


def test_only_the_size_of_an_index_beside_the_others_counts() -> None:
    twice = Forecast(**{**FORECAST.model_dump(), "month_index": tuple(2 * each for each in FORECAST.month_index)})
    assert [each.orders for each in rates(twice, "year")] == pytest.approx([e.orders for e in rates(FORECAST, "year")])
    assert rates(twice, "week", month=0)[0].orders == pytest.approx(20 * 0.21 * 1.05)


def test_a_week_and_its_hours_sum_to_the_rate() -> None:
    week = rates(FORECAST, "week")
    assert week[0].orders == pytest.approx(20 * 0.21)
    assert sum(each.orders for each in week) == pytest.approx(20)
    december = rates(FORECAST, "week", month=11)
    assert december[0].orders == pytest.approx(20 * 0.21 * 0.55)
    hours = rates(FORECAST, "day", weekday=0)
    assert sum(each.orders for each in hours) == pytest.approx(20 * 0.21)
    # HOUR_SHARES: 13 of 100 between ten and eleven.
    assert sum(FORECAST.hour_shares) == 100
    assert hours[10].orders == pytest.approx(20 * 0.21 * 0.13)
    assert sum(map(sum, week_by_hour(FORECAST))) == pytest.approx(20)
    assert week_by_hour(FORECAST, month=11)[0][10] == pytest.approx(20 * 0.21 * 0.13 * 0.55)


def test_an_evenly_spread_forecast_has_no_pattern() -> None:
    even = Forecast(**{**FORECAST.model_dump(), "evenly_spread": True})
    assert {round(each.orders, 9) for each in rates(even, "week")} == {round(20 / 7, 9)}
    assert {round(each.orders, 9) for each in rates(even, "day", month=3, weekday=6)} == {round(20 / 168, 9)}


def test_edited_shares_are_one_change() -> None:
    shares = [each.share for each in rates(FORECAST, "week")]
    assert share_changes("week", shares, {}) == []
    assert share_changes("week", shares, {0: 21.0}) == []
    assert share_changes("week", shares, {5: 12.5, 6: None}) == [
        Change("set", "demand.forecast.weekday_shares", [21, 22, 21, 19, 14, 12.5, 0])
    ]


def test_load_rows_say_what_the_rough_cut_says() -> None:
    shop = load_shop(DEMOS / "frame_fabric_shop.yaml")
    rows = load_rows(shop.scenario, shop.order_lines)
    cut = rough_cut(shop.scenario, shop.order_lines)
    by_share = sorted(cut.loads, key=lambda load: -load.share)
    assert [row.load_pct for row in rows] == [pytest.approx(load.share * 100) for load in by_share]
    assert (
        rows[0].name.startswith("People shared by") or rows[0].name == "Sewing places for silicone edges, hand-guided"
    )
    sewing = next(row for row in rows if row.name == "Sewing places for silicone edges, hand-guided")
    load = next(load for load in cut.loads if load.id == "silicone_seats")
    assert sewing.asked_h == pytest.approx(sum(load.asked_h) / 16)
    assert sewing.worst_pct == pytest.approx(max(load.by_week) * 100)
    assert sewing.worst_week == cut.mondays[load.peak]
    assert {row.verdict for row in rows} <= {"keeps up", "tight", "over full", "can never keep up"}
    assert sewing.verdict == ("over full" if max(load.by_week) > 1 >= load.share else sewing.verdict)


def test_work_asked_of_nobody_has_no_load() -> None:
    shop = load_scenario(SMALL)
    idle = shop.model_copy(update={"crews": tuple(crew.model_copy(update={"count": 0}) for crew in shop.crews)})
    rows = load_rows(idle)
    assert rows[0].load_pct is None
    assert rows[0].verdict == "can never keep up"
