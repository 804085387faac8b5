"""Demand times a factor: which orders stay, where copies go, and what is refused."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from shopsim.errors import ScenarioError
from shopsim.floor.draws import ReplicationDraws
from shopsim.floor.order_table import OrderMaker
from shopsim.shop.demand import Campaign, HireFleet
from shopsim.shop.order_book import OrderLine
from shopsim.shop.people import Closure
from shopsim.shop.policies import OrderSequence
from shopsim.shop.shop_file import load_shop
from shopsim.studies.demand_scaling import DemandSize, demand_size, scaled
from shopsim.studies.option import Option
from tests.doors.tiny import write_shop
from tests.studies.given import option

MONDAY = datetime.date(2026, 1, 5)


def day(number: int, hour: int = 9) -> datetime.datetime:
    return datetime.datetime.combine(MONDAY + datetime.timedelta(days=number), datetime.time(hour))


def booked(count: int, every_days: int = 1) -> tuple[OrderLine, ...]:
    return tuple(
        OrderLine(order_id=f"A{i}", received=day(i * every_days), due=day(i * every_days + 4).date(), product="flag",
                  pieces=1, approved=day(i * every_days, 12))
        for i in range(count)
    )  # fmt: skip


def with_book(lines: tuple[OrderLine, ...]) -> Option:
    return Option("book", option("book").scenario, lines)


def test_a_forecast_is_multiplied_with_its_campaigns_and_fleets() -> None:
    base = option("base").scenario
    forecast = base.demand.forecast
    assert forecast is not None
    forecast = forecast.model_copy(update={"campaigns": (Campaign(product="flag", per_month=2),)})
    fleets = tuple(HireFleet(product="flag", pieces=pieces, out_h=100.0) for pieces in (1, 10))
    demand = base.demand.model_copy(update={"forecast": forecast, "hire_fleets": fleets})
    made = scaled(Option("base", base.model_copy(update={"demand": demand})), 1.25).scenario.demand
    assert made.forecast is not None
    assert made.forecast.orders_per_week == 1.25
    assert made.forecast.campaigns[0].per_month == 2.5
    # 12.5 is rounded up, 1.25 down.
    assert [fleet.pieces for fleet in made.hire_fleets] == [1, 13]


def test_today_is_the_option_itself() -> None:
    base = option("base")
    assert scaled(base, 1.0) is base


def test_a_changed_demand_is_another_option_with_a_key_of_its_own() -> None:
    base = option("base")
    assert base.scenario.content_hash != scaled(base, 1.1).scenario.content_hash
    assert len({base.key, scaled(base, 1.1).key, scaled(base, 1.2).key}) == 3


def test_orders_of_a_book_stay_when_demand_grows() -> None:
    base = with_book(booked(100))
    kept_before: set[str] = set()
    for factor in (0.3, 0.5, 0.8, 0.95, 1.0, 1.2, 1.7, 2.4):
        ids = {line.order_id for line in scaled(base, factor).order_lines}
        assert kept_before <= ids
        # Multiples of the golden section leave at most a handful out of even spread (the discrepancy of 100 points).
        assert len(ids) == pytest.approx(100 * factor, abs=2)
        kept_before = ids


def test_every_stretch_of_a_book_grows_alike() -> None:
    lines = scaled(with_book(booked(200)), 0.6).order_lines
    per_stretch = [sum(1 for line in lines if a <= (line.received.date() - MONDAY).days < a + 25)
                   for a in range(0, 200, 25)]  # fmt: skip
    assert per_stretch == [pytest.approx(15, abs=1)] * 8


def test_copies_keep_their_weekday_hour_and_time_to_the_due_date() -> None:
    base = with_book(booked(60))
    originals = {line.order_id: line for line in base.order_lines}
    copies = [line for line in scaled(base, 2.0).order_lines if line.order_id not in originals]
    assert len(copies) == 60
    away_days = []
    for copy, original in zip(copies, originals.values(), strict=True):
        away = copy.received - original.received
        away_days.append(away.days)
        assert copy.due - original.due == away
        assert copy.approved is not None
        assert original.approved is not None
        assert copy.approved - original.approved == away
    # One week to either side, away from the book's ends.
    assert set(away_days) == {-7, 7}
    assert all(day(0) <= copy.received <= day(59) for copy in copies)
    assert 20 <= away_days.count(7) <= 40


def test_copies_are_not_due_on_a_closed_day_and_stay_in_place_where_there_is_no_other() -> None:
    base = with_book(booked(1))
    (_, copy) = scaled(base, 2.0).order_lines
    assert (copy.order_id, copy.received, copy.due) == ("copy 1 of order 1", day(0), day(4).date())
    lines = booked(15)
    closure = Closure(first=day(18).date(), last=day(18).date())
    shut = option("book").scenario.model_copy(update={"closed": (closure,)})
    made = {line.order_id: line for line in scaled(Option("book", shut, lines), 2.0).order_lines}
    # Order 8, due on day 11, would be due on day 18 or 4: the first is closed.
    assert made["copy 1 of order 8"].due == day(4).date()


def test_an_order_of_several_lines_is_repeated_as_one() -> None:
    first = booked(1)[0]
    lines = (first, first.model_copy(update={"pieces": 5}))
    made = scaled(with_book(lines), 2.0).order_lines
    assert [(line.order_id, line.pieces) for line in made] == [
        ("A0", 1), ("A0", 5), ("copy 1 of order 1", 1), ("copy 1 of order 1", 5),
    ]  # fmt: skip


def test_a_list_that_names_orders_cannot_be_multiplied() -> None:
    base = with_book(booked(2))
    listed = base.scenario.policies.model_copy(
        update={"sequences": (OrderSequence.model_construct(at="sewing_room", orders=("A0", "A1")),)}
    )
    with pytest.raises(ScenarioError) as error:
        scaled(Option("book", base.scenario.model_copy(update={"policies": listed}), base.order_lines), 1.1)
    assert str(error.value) == (
        "book: policies.sequences: a planner's list names the orders of the book, so their number cannot be changed"
    )


@pytest.mark.parametrize("factor", [0.0, -1.0, float("inf")])
def test_impossible_factors_are_refused(factor: float) -> None:
    with pytest.raises(ValueError, match="factor must be above 0"):
        scaled(option("base"), factor)


def test_the_tiny_shop_asks_for_130_m2_in_3_orders_a_week(tmp_path: Path) -> None:
    shop = load_shop(write_shop(tmp_path))
    assert demand_size(Option("tiny", shop.scenario, shop.order_lines)) == DemandSize(3.0, pytest.approx(130.0))


def test_a_larger_forecast_meets_the_same_orders_closer_together() -> None:
    base = option("base", weeks=50, opening="empty")
    forecast = base.scenario.demand.forecast
    assert forecast is not None
    even = base.scenario.demand.model_copy(
        update={"forecast": forecast.model_copy(update={"evenly_spread": True, "orders_per_week": 20.0})}
    )
    base = Option("base", base.scenario.model_copy(update={"demand": even}))

    def orders(which: Option) -> list[tuple[float, bool]]:
        made = OrderMaker(which.scenario, (), ReplicationDraws(1, 0)).make()
        return [(order.received, order.rush) for order in made]

    few, more = orders(base), orders(scaled(base, 1.25))
    assert len(more) > len(few) * 1.2
    assert [rush for _, rush in more[: len(few)]] == [rush for _, rush in few]
    assert [at * 1.25 for at, _ in more[:500]] == pytest.approx([at for at, _ in few[:500]])
