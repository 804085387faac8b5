"""Mornings of random shops: what goes on can be told in a file that fits, and a start from it keeps the books."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from shopsim.floor.read_today import read_today
from shopsim.floor.run import Floor
from shopsim.floor.start_from_today import simulate_from
from shopsim.measures.audit import audit
from shopsim.shop.today_checks import check_today
from shopsim.shop.today_file import dump_today, parse_today
from shopsim.shop.today_start import Start
from tests.properties.random_shops import Values, shops
from tests.properties.test_random_shops import shops_tried, sound


@shops_tried(40)
@given(shops(), st.floats(0.02, 0.9))
def test_any_minute_can_be_told_and_started_from(values: Values, share: float) -> None:
    scenario = sound(values)
    floor = Floor(scenario, (), 0)
    floor.env.run(until=float(int(scenario.horizon_min * share)))
    told = read_today(floor)
    assert check_today(told, scenario) == []
    assert parse_today(dump_today(told), "morning", scenario)[0] == told
    # Every piece of every order that may be worked on has a place.
    for order in told.orders:
        if order.stage == "released":
            assert all(sum(part.pieces for part in line.where) == line.pieces for line in order.lines)
    done = sum(part.pieces for order in told.orders for line in order.lines for part in line.where if part.at == "done")
    pieces = sum(order.pieces for order in told.orders if order.stage == "released")
    assert pieces - done == sum(
        order.left for order in floor.open_orders.values() if order.left > 0 and order.released >= 0
    )
    log = simulate_from(scenario, (), 1, Start(told))
    assert audit(log, scenario) == []
    assert simulate_from(scenario, (), 1, Start(told)).fingerprint() == log.fingerprint()
