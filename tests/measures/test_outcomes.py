"""What became of every order, and hours by week: the shop of `tests/doors/tiny.py`, worked out by hand there."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from shopsim.shop.shop_file import load_shop
from shopsim.studies.replication import one_replication
from tests.doors.tiny import SHOP, write_shop

DAY = 1440.0


def test_orders_one_by_one(tmp_path: Path) -> None:
    shop = load_shop(write_shop(tmp_path))
    row = one_replication(shop.scenario, shop.order_lines, in_detail=True)
    # A and B leave on Monday at 15:00, D on Tuesday.
    assert row.out_min == row.gone_min == (900.0, 900.0, DAY + 900)
    # 130 flags at 1 m a minute; 3 minutes a flag at the needle, 1 at the bench.
    assert row.hours_by_week == {
        "printing.p1": pytest.approx((130 / 60,)), "down.p1": (0.0,), "work.sewing_table": pytest.approx((390 / 60,)),
        "work.bench": pytest.approx((130 / 60,)),
    }  # fmt: skip
    assert one_replication(shop.scenario, shop.order_lines).out_min == ()


def test_cancelled_orders_leave_without_being_sent_out(tmp_path: Path) -> None:
    orders = (
        "order_id,received,due,product,pieces,cancelled\n"
        "A,2026-01-05 07:00,2026-01-05,flag,20,2026-01-05 07:10\n"
        "B,2026-01-05 07:50,2026-01-05,flag,10,\n"
        "C,2026-01-11 23:00,2026-01-12,flag,10,\n"
    )
    shop = load_shop(write_shop(tmp_path, orders=orders))
    row = one_replication(shop.scenario, shop.order_lines, in_detail=True)
    assert row.out_min == (math.inf, 900.0, math.inf)
    assert row.gone_min == (430.0, 900.0, math.inf)


def test_weeks_are_told_apart(tmp_path: Path) -> None:
    shop = load_shop(write_shop(tmp_path, SHOP.replace("weeks: 1,", "weeks: 2,")))
    row = one_replication(shop.scenario, shop.order_lines, in_detail=True)
    assert row.hours_by_week["work.sewing_table"] == pytest.approx((6.5, 0.0))
