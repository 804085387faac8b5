"""A run stopped at any minute and gone on with from its state is the run that was never stopped, record by record."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopsim.floor.record import COLUMNS, RunLog
from shopsim.floor.run import Floor, simulate
from shopsim.floor.snapshot import Restart, Snapshot, joined, resume, run_until, snapshot
from shopsim.floor.snapshot.parts import parts_of, state_of
from shopsim.floor.timing import pending, run_to
from shopsim.measures.audit import audit
from shopsim.shop.order_book import OrderLine
from shopsim.shop.scenario import Scenario
from shopsim.shop.shop_file import load_shop
from tests.benchmarks.shops import varied_shops
from tests.properties.random_shops import Values, shops
from tests.properties.test_limits import limited_shops
from tests.properties.test_random_shops import shops_tried, sound
from tests.stories.shops import order
from tests.stories.test_planned_lists import bench_shop

DEMOS = Path(__file__).resolve().parents[2] / "demo_scenarios"
DAY = 1440.0
# Noon of Thursday in the break, a night, the minute a shift begins, and minutes nobody chose.
MINUTES = (0.0, 3 * DAY + 735.5, 4 * DAY + 200, 7 * DAY + 420, 23_456.7)
VARIED = varied_shops()


def shortened(scenario: Scenario, weeks: float) -> Scenario:
    study = scenario.study.model_copy(update={"weeks": weeks, "warm_up_weeks": 0.0})
    return scenario.model_copy(update={"study": study})


def through_text(state: Snapshot) -> Snapshot:
    return replace(state, state=json.loads(json.dumps(state.state, allow_nan=False)))


def differences(whole: RunLog, scenario: Scenario, lines: Sequence[OrderLine], minute: float) -> list[str]:
    """The tables in which a run stopped at a minute differs from one that was not, and what is left at the end."""
    before, state = run_until(scenario, lines, minute)
    after = resume(scenario, lines, through_text(state))
    found = [name for name in COLUMNS if before.columns[name] + after.columns[name] != whole.columns[name]]
    return found + ["leftover"] * (after.leftover != whole.leftover)


@pytest.mark.parametrize("name", VARIED)
def test_varied_shops_go_on_as_they_would_have(name: str) -> None:
    scenario, lines = VARIED[name]
    scenario = shortened(scenario, 3.0)
    whole = simulate(scenario, lines)
    for minute in MINUTES:
        assert differences(whole, scenario, lines, minute) == []


@pytest.mark.parametrize("name", ["flag_banner_shop", "frame_fabric_shop", "exhibition_supplier"])
def test_demo_shops_go_on_as_they_would_have(name: str) -> None:
    shop = load_shop(DEMOS / f"{name}.yaml")
    scenario = shortened(shop.scenario, 3.0)
    whole = simulate(scenario, shop.order_lines)
    for minute in (3 * DAY + 735, 16 * DAY + 615.25):
        assert differences(whole, scenario, shop.order_lines, minute) == []


@shops_tried(40)
@given(shops(), st.floats(0, 0.999), st.sampled_from([0.0, 720.0, 600.0]))
def test_random_shops_go_on_as_they_would_have(values: Values, share: float, clock: float) -> None:
    scenario = sound(values)
    whole = simulate(scenario)
    minute = share * scenario.horizon_min
    assert differences(whole, scenario, (), minute) == []
    assert differences(whole, scenario, (), minute // DAY * DAY + clock) == []


@shops_tried(30)
@given(limited_shops(), st.floats(0, 0.999))
def test_shops_with_limits_go_on_as_they_would_have(values: Values, share: float) -> None:
    scenario = sound(values)
    assert differences(simulate(scenario), scenario, (), share * scenario.horizon_min) == []


def test_a_planners_list_goes_on_where_it_was() -> None:
    scenario = bench_shop("c", "a", "b")
    orders = [order("Mon 06:00", what, order_id=name) for name, what in (("a", "long"), ("b", "short"), ("c", "long"))]
    whole = simulate(scenario, orders)
    for minute in (400.0, 419.0, 421.0, 440.0, 455.0):
        assert differences(whole, scenario, orders, minute) == []


def test_every_printer_state_is_met_and_gone_on_from() -> None:
    """Stopped in the midst of each span of a printer of the nights shop: roll changes, repairs, tails, waits."""
    scenario, lines = VARIED["nights"]
    whole = simulate(scenario, lines)
    spans = {int(row[1]): (row[2] + row[3]) / 2 for row in whole.table("printer_states").tolist()}
    assert len(spans) >= 12
    for minute in spans.values():
        assert differences(whole, scenario, lines, minute) == []


def test_a_state_of_a_floor_gone_on_with_is_that_of_one_run() -> None:
    scenario, lines = VARIED["offline"]
    _, early = run_until(scenario, lines, 9000.0)
    floor = Restart(scenario, lines, early).floor()
    run_to(floor.env, 20_000.0)
    assert through_text(snapshot(floor, lines)).state == through_text(run_until(scenario, lines, 20_000.0)[1]).state


# Worked out when asked for, or of no meaning between two events.
TRANSIENT = {
    "log", "env", "draws", "intake", "receipt", "crews", "stations", "hours", "fleets", "overtime", "print_room",
    "dispatch", "flow", "rooms", "plans", "next_task_number", "next_order_number", "_tables", "_able_by_width", "_row",
    "_before", "_place", "_waits", "_lines", "_minutes", "_rate_m2_per_h",
}  # fmt: skip


def test_whatever_changes_on_the_floor_is_state() -> None:
    """Of each part, every attribute that a month has changed is written down, but for a few that follow from others."""
    for name in ("offline", "nights"):
        scenario, lines = VARIED[name]
        floor = Floor(scenario, lines, 0)
        parts = parts_of(floor)
        before = {part: plain_attributes(each) for part, each in parts.items()}
        run_to(floor.env, 30_000.0)
        for part, each in parts.items():
            state = {attribute for attribute, _, _ in state_of(type(each)).kinds}
            changed = {a for a, text in plain_attributes(each).items() if before[part].get(a) != text}
            assert changed - state - TRANSIENT == set(), part


def plain_attributes(part: object) -> dict[str, str]:
    slots = [name for each in type(part).__mro__ for name in getattr(each, "__slots__", ())]
    return {name: repr(getattr(part, name, None)) for name in [*getattr(part, "__dict__", ()), *slots]}


# -- other draws ------------------------------------------------------------------------------------------------------


def test_other_draws_give_another_future_from_the_same_past() -> None:
    scenario, lines = VARIED["offline"]
    before, state = run_until(scenario, lines, 20_000.0)
    start = Restart(scenario, lines, state)
    own, third, fourth = start.run(), start.run(3), start.run(4)
    assert start.run(0).fingerprint() == own.fingerprint()
    assert start.run(3).fingerprint() == third.fingerprint()
    assert third.fingerprint() != fourth.fingerprint() != own.fingerprint()
    for future in (own, third, fourth):
        assert audit(joined(before, future), scenario) == []


def test_work_in_hand_and_orders_received_are_kept() -> None:
    scenario, lines = VARIED["offline"]
    minute = 15 * DAY + 600
    _, state = run_until(scenario, lines, minute)
    start = Restart(scenario, lines, state)
    received = [row[:4] for row in start.run().table("orders").tolist() if row[1] < minute]
    in_hand = pending_ends(start.floor(0))
    assert len(in_hand) >= 4
    for k in (5, 6):
        assert pending_ends(start.floor(k)) == in_hand
        now = {row[0]: row[1] for row in start.run(k).table("orders").tolist() if row[1] < minute}
        assert now == {row[0]: row[1] for row in received}


def pending_ends(floor: Floor) -> list[float]:
    return [each.at for each in pending(floor.env) if each.call.__name__ == "_end_stretch"]


def test_orders_to_come_are_those_of_the_other_replication() -> None:
    scenario, lines = VARIED["year"]
    scenario = shortened(scenario, 3.0)
    _, state = run_until(scenario, lines, 10_080.0)
    future = resume(scenario, lines, state, 7).table("orders")
    other = simulate(scenario, lines, 7).table("orders")
    coming = sorted(row[1] for row in future.tolist() if row[1] >= 10_080)
    assert coming == sorted(row[1] for row in other.tolist() if row[1] >= 10_080)
    assert len(coming) > 300


def test_pieces_to_come_share_no_rows_with_those_received() -> None:
    scenario, lines = VARIED["year"]
    scenario = shortened(scenario, 3.0)
    floor = Restart(scenario, lines, run_until(scenario, lines, 10_080.0)[1]).floor(2)
    inside = [line.draw for each in floor.open_orders.values() for line in each.lines]
    rows = [
        (line.product, row)
        for line in [*inside, *(line for draw in floor.receipt.table for line in draw.lines)]
        for row in range(line.first_row, line.first_row + line.pieces)
    ]
    assert len(rows) == len(set(rows))


def test_the_life_left_of_a_machine_is_drawn_given_what_it_has_lived() -> None:
    """An exponential law does not age: what is left after any time has the mean of a whole life."""
    scenario, lines = VARIED["offline"]
    _, state = run_until(scenario, lines, 20_000.0)
    start = Restart(scenario, lines, state)
    left = [each.until_next_min for k in range(1, 60) for each in start.floor(k).stations["finishing"].stops]
    mean = sum(left) / len(left)
    assert abs(mean - 20 * 60) < 4 * 20 * 60 / len(left) ** 0.5
