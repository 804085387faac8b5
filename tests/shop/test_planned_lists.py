"""Planners' lists that cannot be kept: found before the shop is run, with the place in the file."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopsim.errors import ScenarioError
from shopsim.shop.shop_file import load_shop

SHOP = """\
shop: {name: lists, starts: 2026-01-05}
printers:
  - {id: p1, modes: [{id: std, passes: 4}]}
  - {id: p2, modes: [{id: std, passes: 4}]}
  - {id: p3, modes: [{id: fine, passes: 8}]}
  - {id: p4, print_width_m: 1.8, modes: [{id: std, passes: 4}]}
fabrics: [{id: knit, family: front_lit}, {id: slim, family: front_lit, roll_width_m: 1.9}]
work_centres: [{id: bench, skill: hands}, {id: table, skill: hands}]
shifts: [{id: always, round_the_clock: true}]
crews: [{id: ann, skills: {hands: 3, printing: 3}, shift: always, count: 2}]
products:
  - {id: there, route: [{op: work, at: bench, minutes: 5}, {op: work, at: table, minutes: 5}]}
  - {id: back, route: [{op: work, at: table, minutes: 5}, {op: work, at: bench, minutes: 5}]}
  - {id: short, route: [{op: work, at: bench, minutes: 5}]}
  - {id: banner, fabric: knit, sizes: [{width_m: 1, height_m: 1}], route: [{op: print, mode: std}]}
  - {id: scarf, fabric: slim, sizes: [{width_m: 1.81, height_m: 1}], route: [{op: print, mode: std}]}
demand: {order_book: {file: orders.csv}}
policies:
  sequences:
"""
BOOK = """\
order_id,received,due,product,pieces
x,2026-01-05 06:00,2026-01-09,there,1
y,2026-01-05 06:00,2026-01-09,back,1
s,2026-01-05 06:00,2026-01-09,short,1
b,2026-01-05 06:00,2026-01-09,banner,1
w,2026-01-05 06:00,2026-01-09,scarf,1
"""


def complaints(folder: Path, *lists: str, shop: str = SHOP) -> list[str]:
    path = folder / "shop.yaml"
    path.write_text(shop + "".join(f"    - {each}\n" for each in lists), encoding="utf-8")
    (folder / "orders.csv").write_text(BOOK, encoding="utf-8")
    try:
        load_shop(path)
    except ScenarioError as error:
        return str(error).replace(str(path), "shop.yaml").splitlines()
    return []


def test_lists_that_can_be_kept(tmp_path: Path) -> None:
    lists = ("{at: bench, orders: [x, y, s]}", "{at: table, orders: [y, x]}", "{at: p2, orders: [b]}")
    assert complaints(tmp_path, *lists) == []


def test_a_place_with_a_list_is_not_interrupted(tmp_path: Path) -> None:
    shop = SHOP.replace("id: bench, skill", "id: bench, interrupted_by: rush, skill")
    assert complaints(tmp_path, "{at: table, orders: [y, x]}", shop=shop) == []
    found = complaints(tmp_path, "{at: bench, orders: [x, y, s]}", shop=shop)
    assert [line.removeprefix("shop.yaml:") for line in found] == [
        "20:8: policies.sequences[0].at: 'bench' works strictly by this list and cannot have `interrupted_by` too"
    ]


def test_lists_that_wait_for_each_other(tmp_path: Path) -> None:
    (found,) = complaints(tmp_path, "{at: bench, orders: [y, x]}", "{at: table, orders: [x, y]}")
    text, waiting = found.split("these wait for each other: ")
    assert text == "shop.yaml:20:19: policies.sequences[0].orders: cannot be kept: by the lists and the routes "
    assert sorted(waiting.split(", ")) == ["x at bench", "x at table", "y at bench", "y at table"]


def test_an_order_listed_elsewhere_comes_after_the_whole_list(tmp_path: Path) -> None:
    # y waits at the table for x, which alone is listed there; x waits at the bench for y.
    (found,) = complaints(tmp_path, "{at: bench, orders: [y, x]}", "{at: table, orders: [x]}")
    assert "x at bench" in found and "y at table" in found
    assert complaints(tmp_path, "{at: bench, orders: [x, y]}", "{at: table, orders: [y]}") == []


FIRST = "policies.sequences[0].orders[0]"
KNOWN = "did you mean 'table'? known: bench, table, p1, p2, p3, p4"
ONE = "one printer prints a listed order"


@pytest.mark.parametrize(
    ("lists", "messages"),
    [
        (
            ["{at: bench, orders: [x, q, b]}"],
            [
                "20:31: policies.sequences[0].orders[1]: the order book has no order 'q'; it has: x, y, s, b, w",
                "20:34: policies.sequences[0].orders[2]: no product of order 'b' comes to 'bench'",
            ],
        ),
        (
            ["{at: p3, orders: [b]}"],
            [f"20:25: {FIRST}: 'p3' cannot print 'banner' of order 'b': another mode, fabric or route"],
        ),
        (["{at: p1, orders: [x]}"], [f"20:25: {FIRST}: nothing of order 'x' is printed"]),
        (
            ["{at: p4, orders: [w]}"],
            [f"20:25: {FIRST}: 'p4' takes 1.800 m, but 'scarf' of order 'w' prints 1.843 m wide"],
        ),
        (
            ["{at: tabel, orders: [x]}"],
            [f"20:8: policies.sequences[0].at: there is no work centre or printer 'tabel'; {KNOWN}"],
        ),
        (
            ["{at: bench, orders: [x, x]}", "{at: bench, orders: [y]}"],
            ["20:31: policies.sequences[0].orders[1]: 'x' is already on this list",
             "21:8: policies.sequences[1].at: 'bench' already has a list"],
        ),
        (
            ["{at: p1, orders: [b]}", "{at: p2, orders: [b]}"],
            [f"21:25: policies.sequences[1].orders[0]: 'b' is already on the list of 'p1'; {ONE}"],
        ),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_where_it_stands(tmp_path: Path, lists: list[str], messages: list[str]) -> None:
    assert complaints(tmp_path, *lists) == [f"shop.yaml:{message}" for message in messages]


def test_lists_need_an_order_book(tmp_path: Path) -> None:
    forecast = "demand: {forecast: {orders_per_week: 5, mix: [{product: short, share_pct: 100}]}}"
    shop = SHOP.replace("demand: {order_book: {file: orders.csv}}", forecast)
    assert complaints(tmp_path, "{at: bench, orders: [x]}", shop=shop) == [
        "shop.yaml:19:3: policies.sequences: needs a `demand.order_book`: lists name its orders"
    ]
