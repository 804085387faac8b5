"""Random shops keep every law of the books and come to an end of their work; absurd ones are refused in words."""

from __future__ import annotations

import copy
import datetime
import os
from collections.abc import Iterator
from typing import Any

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from shopsim.errors import ScenarioError
from shopsim.floor.run import Floor, simulate
from shopsim.shop.order_book import OrderLine
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_file import check_values
from tests.properties.random_shops import MONDAY, WORKDAYS, Values, shops
from tests.properties.shop_laws import check_all, rows

# The same shops on every machine and in every run, but for a hunt; a shop takes longer than Hypothesis likes.
STEADY = settings(suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much])
ON_THE_HUNT = os.environ.get("SHOPSIM_EXAMPLES") == "hunt"


def shops_tried(count: int) -> settings:
    """As many shops in every run, ten times as many new ones on a hunt."""
    return settings(STEADY, max_examples=10 * count if ON_THE_HUNT else count)


def sound(values: Values) -> Scenario:
    """The shop, unless it is one of the few the strategy makes that nobody could run."""
    try:
        return check_values(values, "random")
    except ScenarioError:
        assume(False)
        raise


@shops_tried(50)
@given(shops())
def test_every_law_holds(values: Values) -> None:
    scenario = sound(values)
    check_all(scenario, simulate(scenario))


@shops_tried(11)
@given(shops())
def test_runs_repeat(values: Values) -> None:
    scenario = sound(values)
    assert simulate(scenario).fingerprint() == simulate(scenario).fingerprint()


def calm(values: Values) -> Values:
    """The shop with few faults, cloth within days and a small order book instead of a forecast: it can finish."""
    values = copy.deepcopy(values)
    values["demand"].update(forecast=None, hire_fleets=[], order_book={"file": "book.csv"})
    values["policies"]["quality"] = {"sewing_fault_pct": 5.0}
    values["policies"]["dispatch"].update(days=WORKDAYS, at_once=True)
    for printer in values["printers"]:
        if printer["minor_stops"] is not None:
            printer["minor_stops"]["every_running_h"] = 4.0
    # Machines that fail by the hour and are repaired by the day are never done, however sound the engine.
    for machine in [printer["breakdowns"] for printer in values["printers"]] + [
        centre["stops"] for centre in values["work_centres"]
    ]:
        if machine is not None and machine.get("every_calendar_h") is not None:
            machine["every_calendar_h"] = 400.0
            machine["repairs"] = [{"share_pct": 100.0, "hours": 1.0}]
    for calender in values["calenders"]:
        calender["reject_pct"] = 1.0
    # Forty weeks of shorter side work would be little but rows to check.
    for crew in values["crews"]:
        if crew["side_work"] is not None:
            crew["side_work"] = {"minutes": {"exponential": {"mean": 120}}}
    values["study"]["weeks"] = 40
    return values


def book(scenario: Scenario) -> list[OrderLine]:
    """Six orders of the first days with 1, 4, … pieces of each product."""
    first = datetime.datetime.combine(MONDAY, datetime.time(9))
    return [
        OrderLine(
            order_id=f"order {i}", received=first + datetime.timedelta(hours=3 * i), due=datetime.date(2026, 1, 9 + i),
            product=product.id, pieces=1 + 3 * i, width_m=product.sizes[0].width_m,
            height_m=product.sizes[0].height_m, rush=i % 2 == 0,
        )
        for i in range(6)
        for product in scenario.products
    ]  # fmt: skip


@shops_tried(18)
@given(shops())
def test_a_calm_shop_finishes_its_order_book(values: Values) -> None:
    """Nothing waits for ever: for hands, a helper, a lift, cloth, a gang, a day long enough, a repair."""
    scenario = sound(calm(values))
    log = simulate(scenario, book(scenario))
    check_all(scenario, log)
    assert [order.order for order in rows(log, "orders") if order.ending == 0] == []


ABSURD: list[Any] = [
    None, True, -1, 0, 1, 1.5, 1e9, -0.0, 1e300, 5e-324, float("nan"), float("inf"), 10**30, "", "x", "\x00", "cutting",
    "01:00-01:00", [], [1], [3, 2, 1], [0, 0, 0], {}, {"exponential": {"mean": 0}},
    {"uniform": {"low": 0, "high": 1e9}}, {"empirical": []}, {"discrete": {"values": [0], "weights": [0]}},
    datetime.date(1, 1, 1), datetime.date(9999, 12, 31),
]  # fmt: skip


def _places(value: Any) -> Iterator[tuple[Any, Any]]:
    """Every (list or mapping, key) inside a value."""
    for key in list(value) if isinstance(value, dict) else range(len(value)):
        yield value, key
        if isinstance(value[key], dict | list):
            yield from _places(value[key])


@st.composite
def broken(draw: st.DrawFn) -> Values:
    """A valid shop with one to three of its values replaced, left out or made twice."""
    values = copy.deepcopy(draw(shops()))
    for _ in range(draw(st.integers(1, 3))):
        place, key = draw(st.sampled_from(list(_places(values))))
        change = draw(st.integers(0, 9))
        if change == 0 and len(place) > 1:
            del place[key]
        elif change == 1 and isinstance(place, list):
            place.append(place[key])
        elif change == 2 and isinstance(place, dict):
            place["unheard_of"] = 1
        else:
            place[key] = draw(st.sampled_from(ABSURD))
    return values


EVENTS, AT_ONE_MINUTE = 20_000, 5_000


@shops_tried(100)
@given(broken())
def test_absurd_values_are_refused_in_words_or_can_be_run(values: Values) -> None:
    try:
        scenario = check_values(values, "broken")
    except ScenarioError as refused:
        messages = [problem.message for problem in refused.problems]
        assert all(messages)
        return
    floor = Floor(scenario, (), 0)
    minute, stands = -1.0, 0
    for _ in range(EVENTS):
        if floor.env.peek() >= scenario.horizon_min:
            floor.close()
            break
        floor.env.step()
        stands = stands + 1 if floor.env.now == minute else 0
        minute = floor.env.now
        assert stands < AT_ONE_MINUTE, "the clock stands still"
