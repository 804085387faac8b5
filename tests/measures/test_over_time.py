"""Orders by day and by week: a shop worked out by hand, and a demo whose days add up to the whole window."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopsim.shop.policies import OrdersAtOnce
from shopsim.shop.shop_file import load_shop
from shopsim.studies.replication import one_replication
from tests.doors.tiny import write_shop

DEMO = Path(__file__).resolve().parents[2] / "demo_scenarios" / "flag_banner_shop.yaml"


def test_days_and_weeks_by_hand(tmp_path: Path) -> None:
    shop = load_shop(write_shop(tmp_path))
    row = one_replication(shop.scenario, shop.order_lines)
    # Monday: A 07:00-15:00, B 07:50-15:00, D from 10:00 on; D is inside until Tuesday 15:00.
    assert row.in_shop_by_day == pytest.approx(((480 + 430 + 840) / 1440, 900 / 1440, 0, 0, 0, 0, 0), abs=1e-12)
    assert (row.due_by_week, row.on_time_by_week) == ((3.0,), (2.0,))


@pytest.mark.parametrize("when_full", [None, "wait", "turn_away"])
def test_days_and_weeks_make_up_the_window(when_full: str | None) -> None:
    shop = load_shop(DEMO)
    scenario = shop.scenario
    if when_full is not None:
        rule = OrdersAtOnce.model_validate({"most": 8, "when_full": when_full})
        policies = scenario.policies.model_copy(update={"orders_at_once": rule})
        scenario = scenario.model_copy(update={"policies": policies})
    row = one_replication(scenario, shop.order_lines)
    assert (row.measures["held_back_orders"] > 0.1) == (when_full == "wait")
    assert (row.measures["turned_away_share"] > 0.1) == (when_full == "turn_away")
    assert len(row.in_shop_by_day) == 24 * 7
    assert sum(row.in_shop_by_day) / len(row.in_shop_by_day) == pytest.approx(
        row.measures["work_in_process_orders"], rel=1e-9
    )
    assert len(row.due_by_week) == len(row.on_time_by_week) == 24
    assert sum(row.due_by_week) - sum(row.on_time_by_week) == row.measures["late_orders"]
    assert sum(row.on_time_by_week) / sum(row.due_by_week) == pytest.approx(row.measures["on_time_share"], rel=1e-12)
