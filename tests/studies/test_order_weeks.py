"""In which weeks orders come in, and what is divided by them: demand, and the money that goes with orders."""

from __future__ import annotations

import datetime
from dataclasses import replace

import pytest

from shopsim.shop.demand import Campaign, HireFleet, OrderBookFile
from shopsim.shop.order_book import OrderLine
from shopsim.shop.scenario import Scenario
from shopsim.shop.shop_file import load_shop
from shopsim.studies.cash_flow import PARTS, Spending, yearly_books
from shopsim.studies.demand_scaling import demand_size
from shopsim.studies.option import Option
from shopsim.studies.order_weeks import OrderWeeks, order_weeks
from shopsim.studies.payback import payback
from shopsim.studies.payback_inputs import PaybackPlan
from shopsim.studies.replication import Replication
from shopsim.studies.runner import Runner
from tests.studies.given import GivenEngine, option, row

MONDAY = datetime.datetime(2026, 1, 5, 9)
WEEKS_PER_YEAR = 365.25 / 7
MONEY = {
    "revenue": 1000.0, "late_penalties": 10.0, "fabric": 200.0, "ink": 40.0, "energy": 8.0, "wages": 300.0,
    "overtime_pay": 20.0, "service": 5.0, "rent": 7.0, "packing_and_freight": 30.0, "bought_in": 2.0,
}  # fmt: skip


def book(*weeks: int, heads: int = 1, **study: object) -> Option:
    """One order on the Monday of each week named."""
    days = [MONDAY + datetime.timedelta(weeks=week) for week in weeks]
    lines = tuple(
        OrderLine(order_id=f"A{i}", received=day, due=day.date(), product="flag", pieces=1)
        for i, day in enumerate(days)
    )
    made = option("book", heads, **study)
    return Option("book", without_forecast(made), lines)


def without_forecast(which: Option) -> Scenario:
    demand = which.scenario.demand.model_copy(update={"forecast": None, "order_book": OrderBookFile(file="book.csv")})
    return which.scenario.model_copy(update={"demand": demand})


def forecast_from(which: Option, starts: datetime.date | None, **changes: object) -> Option:
    forecast = option("any").scenario.demand.forecast
    assert forecast is not None
    forecast = forecast.model_copy(update={"starts": starts, **changes})
    demand = which.scenario.demand.model_copy(update={"forecast": forecast})
    return replace(which, scenario=which.scenario.model_copy(update={"demand": demand}))


def test_weeks_after_the_last_order_and_before_the_first_have_none() -> None:
    assert order_weeks(book(0, 1, 1, weeks=4, opening="empty")) == OrderWeeks(4, 0, 2)
    # A week without an order in between is how they come.
    assert order_weeks(book(1, 3, weeks=6, opening="empty")) == OrderWeeks(6, 1, 2)
    assert order_weeks(book(1, 3, weeks=6, opening="empty")).per_order_week == 2
    # Half a week is left after the second.
    assert order_weeks(book(0, 1, weeks=2.5, opening="empty")) == OrderWeeks(2.5, 0, 0.5)
    assert order_weeks(book(0, 2, weeks=2.5, opening="empty")) == OrderWeeks(2.5, 0, 0)


def test_orders_of_the_warm_up_and_beyond_the_study_do_not_count() -> None:
    assert order_weeks(book(0, 2, 3, 9, weeks=4, warm_up_weeks=2)) == OrderWeeks(4, 0, 2)
    assert order_weeks(book(0, weeks=4, warm_up_weeks=2)) == OrderWeeks(4, 0, 0)


def test_a_forecast_runs_from_its_beginning_to_the_end() -> None:
    starts = (MONDAY + datetime.timedelta(weeks=3, days=2)).date()
    nothing = book(weeks=6, opening="empty")
    assert order_weeks(forecast_from(nothing, None)) == OrderWeeks(6, 0, 0)
    assert order_weeks(forecast_from(nothing, starts)) == OrderWeeks(6, 3, 0)
    assert order_weeks(forecast_from(book(0, weeks=6, opening="empty"), starts)) == OrderWeeks(6, 0, 0)
    # A forecast of no orders brings none, one of campaigns alone does.
    assert order_weeks(forecast_from(book(0, weeks=6, opening="empty"), starts, orders_per_week=0.0)).after == 5
    campaigns = (Campaign(product="flag", per_month=1),)
    alone = forecast_from(book(0, weeks=6, opening="empty"), starts, orders_per_week=0.0, campaigns=campaigns)
    assert order_weeks(alone).after == 0


def test_a_fleet_on_hire_comes_back_all_the_time() -> None:
    made = book(0, weeks=6, opening="empty")
    fleets = (HireFleet(product="flag", pieces=3, out_h=100.0),)
    demand = made.scenario.demand.model_copy(update={"hire_fleets": fleets})
    assert order_weeks(replace(made, scenario=made.scenario.model_copy(update={"demand": demand}))).after == 0


def test_demand_is_that_of_the_weeks_in_which_orders_come() -> None:
    for weeks in (2, 2.5, 5, 13):
        assert demand_size(book(0, 0, 0, 1, weeks=weeks, opening="empty")).orders_per_week == 2
    assert demand_size(book(0, 2, weeks=2.5, opening="empty")).orders_per_week == 0.5


def test_the_book_of_a_quarter_has_139_orders_a_week() -> None:
    shop = load_shop("demo_scenarios/frame_fabric_shop.yaml")
    made = Option("frames", shop.scenario, shop.order_lines)
    assert order_weeks(made) == OrderWeeks(16, 0, 3)
    assert demand_size(made).orders_per_week == pytest.approx(1805 / 13)


def test_what_goes_with_orders_is_a_years_orders_and_time_is_a_years_time() -> None:
    rows = [row(0, {}, money_per_week=MONEY)]
    found = dict(zip(PARTS, yearly_books(rows, 16 / 13)[0] / WEEKS_PER_YEAR, strict=True))
    more = 16 / 13
    assert found == pytest.approx({
        "sales": 1000 * more, "late_penalties": -10 * more, "material": -240 * more, "energy": -8 * more,
        "labour": -300 - 20 * more, "service": -5, "rent": -7, "other": -32 * more,
    })  # fmt: skip
    assert (yearly_books(rows) == yearly_books(rows, 1.0)).all()


def sold(which: Option, number: int) -> Replication:
    """Each order of the book sells for 1000 CU, and for 100 more with each further person, who costs 50 CU a week."""
    people, weeks = which.scenario.crews[0].count, which.scenario.study.weeks
    money = {"revenue": len(which.order_lines) * (900 + 100 * people) / weeks, "wages": 50.0 * people}
    return row(number, {"on_time_share": 0.9}, money_per_week=money)


@pytest.mark.parametrize("weeks", [4, 5, 8])
def test_weeks_in_which_late_orders_go_out_make_no_year_poorer(weeks: int) -> None:
    """Two orders in each of four weeks are 104 a year, however long the study goes on behind them."""
    which = [book(*(0, 1, 2, 3) * 2, heads=heads, weeks=weeks, opening="empty") for heads in (1, 2)]
    base, other = (replace(each, name=name) for each, name in zip(which, ("as it stands", "more"), strict=True))
    found = payback(Runner(GivenEngine(sold)), base, other, PaybackPlan(2, Spending(1000, 5)))
    assert found.gain_per_year.mean == pytest.approx((2 * 100 - 50) * WEEKS_PER_YEAR)
