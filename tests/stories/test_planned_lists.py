"""Planners' lists: what begins when, who waits, and what needs no turn.

Work centres: bench and table, one person each from 07:00. Orders A, B, C are received in this order before the shift.
"""

from __future__ import annotations

from shopsim.floor.record import KIND, RunLog
from shopsim.floor.run import simulate
from shopsim.measures.audit import audit
from shopsim.shop.scenario import Scenario
from shopsim.shop.sequence_checks import check_listed_orders
from tests.stories.shops import (
    Model,
    centre,
    clock,
    crew,
    fabric,
    letter,
    order,
    print_shop,
    printer,
    product,
    rows,
    run,
    shop,
    step,
    story,
    to_print,
)

SHORT = product("short", step("work", "bench", 10.0))
LONG = product("long", step("work", "bench", 30.0))


def bench_shop(*listed: str, seats: int = 1, **changes: Model) -> Scenario:
    both = {
        "work_centres": [centre("bench", seats=seats, queue_rule="shortest")],
        "crews": [crew("ann", "bench", count=seats)],
        "products": [SHORT, LONG],
        "policies": {"sequences": [{"at": "bench", "orders": list(listed)}]},
    }
    return shop(**{**both, **changes})


def begins(log: RunLog, place: str = "bench") -> list[str]:
    """Letters of the orders in the order in which they began at a place, with the time."""
    index = log.places.index(place)
    mine = sorted((r for r in rows(log, "operations") if r["place"] == index), key=lambda r: r["start"])
    return [f"{letter(r['order'])} {clock(r['start'])[4:]}" for r in mine]


def test_the_list_beats_the_queue_rule() -> None:
    orders = [order("Mon 06:00", what, order_id=name) for name, what in (("a", "long"), ("b", "short"), ("c", "long"))]
    assert begins(run(bench_shop("c", "a", "b"), *orders)) == ["C 07:00", "A 07:30", "B 08:00"]


def test_the_place_waits_for_the_order_whose_turn_it_is() -> None:
    late = order("Mon 09:00", "short", order_id="late")
    early = order("Mon 06:00", "short", order_id="early")
    assert begins(run(bench_shop("late", "early"), early, late)) == ["B 09:00", "A 09:10"]


def test_orders_not_on_the_list_come_after_it() -> None:
    orders = [order("Mon 06:00", "short", order_id="x"), order("Mon 06:00", "short", order_id="y"),
              order("Mon 08:00", "long", order_id="listed")]  # fmt: skip
    assert begins(run(bench_shop("listed"), *orders)) == ["C 08:00", "A 08:30", "B 08:40"]


def test_all_pieces_of_an_order_begin_before_the_next_has_its_turn() -> None:
    # Four bundles of one piece on two seats; then the next order.
    small = product("short", step("work", "bench", 10.0), bundle_pieces=1)
    scenario = bench_shop("many", "one", seats=2, products=[small, LONG])
    log = run(scenario, order("Mon 06:00", "long", order_id="one"),
              order("Mon 06:00", "short", pieces=3, order_id="many"))  # fmt: skip
    assert begins(log) == ["B 07:00", "B 07:00", "B 07:10", "A 07:10"]


def test_free_people_take_up_the_next_turn_at_once() -> None:
    scenario = bench_shop("first", "second", "third", seats=3)
    # Of three received together the last is first on the list: nobody begins before it, all begin with it.
    orders = [order("Mon 08:00", "long", order_id="third"), order("Mon 08:00", "long", order_id="second"),
              order("Mon 08:30", "long", order_id="first")]  # fmt: skip
    assert sorted(begins(run(scenario, *orders))) == ["A 08:30", "B 08:30", "C 08:30"]


def test_a_cancelled_order_loses_its_turn() -> None:
    gone = order("Mon 06:00", "long", order_id="gone", cancelled="Mon 08:00")
    kept = order("Mon 06:30", "short", order_id="kept")
    blocker = order("Mon 06:00", "long", order_id="first")
    assert begins(run(bench_shop("first", "gone", "kept"), blocker, gone, kept)) == ["A 07:00", "B 07:30", "C 08:00"]
    away = order("Mon 06:00", "long", order_id="gone", cancelled="Mon 06:10")
    assert begins(run(bench_shop("gone", "kept"), away, kept)) == ["B 07:00"]


def test_an_order_cancelled_before_it_came_frees_the_next_at_that_minute() -> None:
    gone = order("Mon 06:00", "long", order_id="gone", approved="Mon 12:00", cancelled="Mon 08:00")
    kept = order("Mon 06:30", "short", order_id="kept")
    assert begins(run(bench_shop("gone", "kept"), gone, kept)) == ["B 08:00"]


def test_a_piece_lost_at_the_printer_does_not_hold_up_the_list_at_the_bench() -> None:
    """The minor stop of `test_stops`, seed 6: one of A's 20 pieces is printed again; B does not wait for it."""
    made = product("banner", to_print(), step("work", "bench", 1.0))
    stop = {"every_running_h": 1.0, "minutes": 4.0, "restart_min": 3.0, "waste_m": 1.0, "loses_piece_pct": 100.0}
    scenario = print_shop(
        printers=[printer(minor_stops=stop)],
        work_centres=[centre("bench", seats=5)],
        crews=[crew("op", "printing"), crew("ann", "bench", count=5)],
        products=[made, SHORT],
        policies={"sequences": [{"at": "bench", "orders": ["a", "b"]}]},
        study={"seed": 6},
    )
    log = run(scenario, order("Mon 07:00", pieces=20, order_id="a"), order("Mon 06:00", "short", order_id="b"))
    assert [r["attempt"] for r in rows(log, "remakes")] == [0]
    at_bench = sorted((r for r in rows(log, "operations") if r["place"] == 0), key=lambda r: (r["start"], r["order"]))
    assert [(letter(r["order"]), r["attempt"]) for r in at_bench] == [("A", 0), ("B", 0), ("B", 0), ("B", 0), ("B", 1)]
    assert len({r["start"] for r in at_bench[:4]}) == 1


def test_remakes_hold_up_nobodys_turn() -> None:
    """Cutting loses some of A's pieces; they come back when they come, B has its turn meanwhile."""
    cut = product("cut", step("cut", "bench", 10.0), step("work", "table", 10.0), bundle_pieces=1)
    scenario = shop(
        work_centres=[centre("bench", kind="cutting", method="hand"), centre("table")],
        crews=[crew("ann", "bench"), crew("tom", "table")],
        products=[cut],
        policies={
            "sequences": [{"at": "table", "orders": ["a", "b"]}],
            "quality": {"cut_loss_pct": 40.0},
        },
    )
    orders = [order("Mon 06:00", "cut", pieces=6, order_id="a"), order("Mon 06:00", "cut", pieces=6, order_id="b")]
    log = run(scenario, *orders)
    remakes = [r for r in rows(log, "remakes") if r["order"] == 0]
    assert remakes, "the seed must lose a piece of A"
    at_table = [r for r in sorted(rows(log, "operations"), key=lambda r: r["start"]) if r["place"] == 1]
    first_makes = [letter(r["order"]) for r in at_table if r["attempt"] == 0]
    assert first_makes == sorted(first_makes)
    assert log.leftover.pieces_done == 12
    assert all(r["dispatched"] >= 0 for r in rows(log, "orders"))


def printed(log: RunLog) -> list[str]:
    """Order, printer and run of what came off, in the order of the starts; the bundles of an order together."""
    prints = sorted(rows(log, "prints"), key=lambda r: (r["start"], r["order"]))
    parts = (f"{letter(r['order'])} {log.printers[int(r['printer'])]} run {int(r['run'])}" for r in prints)
    return list(dict.fromkeys(parts))


def two_cloths(*listed: str, **changes: Model) -> Scenario:
    base = {
        "fabrics": [fabric(), fabric("mesh")],
        "products": [product("knit_banner", to_print()), product("mesh_banner", to_print(), fabric="mesh")],
        "policies": {"sequences": [{"at": "p1", "orders": list(listed)}]},
    }
    return print_shop(**{**base, **changes})


def test_a_printer_prints_its_list_and_neighbours_of_one_cloth_share_a_run() -> None:
    orders = [order("Mon 06:00", what, order_id=name) for name, what in
              (("a", "knit_banner"), ("b", "mesh_banner"), ("c", "knit_banner"), ("d", "knit_banner"))]  # fmt: skip
    log = run(two_cloths("b", "c", "a", "d"), *orders)
    assert printed(log) == ["B p1 run 1", "A p1 run 2", "C p1 run 2", "D p1 run 2"]
    # What is not on the list comes after it: C and D are ganged, B's mesh first because it stays on the printer.
    log = run(two_cloths("a", "b"), *orders)
    assert printed(log) == ["A p1 run 1", "B p1 run 2", "C p1 run 3", "D p1 run 3"]


def test_a_long_order_takes_several_runs_before_the_next_has_its_turn() -> None:
    orders = [order("Mon 06:00", "knit_banner", pieces=2, order_id="small"),
              order("Mon 06:00", "knit_banner", pieces=25, order_id="big")]  # fmt: skip
    scenario = two_cloths("big", "small", policies={"sequences": [{"at": "p1", "orders": ["big", "small"]}],
                                                    "printing": {"gang_max_web_m": 10.0}})  # fmt: skip
    assert printed(run(scenario, *orders)) == ["B p1 run 1", "B p1 run 2", "A p1 run 3", "B p1 run 3"]


def test_a_listed_order_without_cloth_keeps_its_turn() -> None:
    """Knit runs out under B and is there again on Tuesday; A, on mesh, waits for B, gone back in line."""
    stock = {"rolls": 1, "reorder_at_rolls": 0, "order_rolls": 1, "supply_days": 1.0}
    cloths = [fabric(roll_length_m=30.0, stock=stock), fabric("mesh")]
    orders = [order("Mon 06:00", "mesh_banner", order_id="after"),
              order("Mon 06:00", "knit_banner", pieces=40, order_id="first")]  # fmt: skip
    log = run(two_cloths("first", "after", fabrics=cloths), *orders)
    assert printed(log)[-1].startswith("A p1")
    assert log.leftover.pieces_done == 41


def test_a_printer_waits_for_its_turn_and_leaves_other_work_to_the_other_printer() -> None:
    scenario = two_cloths("late", printers=[printer("p1"), printer("p2")])
    log = run(scenario, order("Mon 06:00", "knit_banner", order_id="now"),
              order("Mon 10:00", "knit_banner", order_id="late"))  # fmt: skip
    assert printed(log) == ["A p2 run 1", "B p1 run 2"]


def test_a_cancelled_order_is_taken_off_the_printers_list() -> None:
    log = run(two_cloths("gone", "kept"), order("Mon 06:00", "mesh_banner", order_id="gone", cancelled="Mon 06:30"),
              order("Mon 06:00", "knit_banner", order_id="kept"))  # fmt: skip
    assert printed(log) == ["B p1 run 1"]


def test_the_story_is_told_as_ever() -> None:
    log = run(bench_shop("b", "a"), order("Mon 06:00", "long", order_id="a"), order("Mon 06:00", "short", order_id="b"))
    assert story(log, "work") == [
        ("work B", "ann", "Mon 07:00", "Mon 07:10"),
        ("work A", "ann", "Mon 07:10", "Mon 07:40"),
    ]


def test_books_balance_with_lists_everywhere() -> None:
    """Faults, losses, cancellations and two printers: every list is worked through, whatever comes in between."""
    steps = [step("cut", "bench", 2.0), step("sew", "table", 6.0), step("inspect", "desk", 1.0)]
    made = [product(f"{cloth}_banner", to_print(), *steps, fabric=cloth, bundle_pieces=2) for cloth in ("knit", "mesh")]
    names = [f"o{i}" for i in range(12)]
    scenario = print_shop(
        fabrics=[fabric(), fabric("mesh")],
        printers=[printer("p1", minor_stops={"every_running_h": 0.5}), printer("p2")],
        work_centres=[centre("bench", "cutting", method="flatbed_knife"), centre("table", "sewing", seats=2),
                      centre("desk", "inspection")],
        crews=[crew("op", "printing", count=2), crew("ann", "bench table", count=2), crew("eve", "table desk")],
        products=made,
        policies={
            "sequences": [{"at": "p1", "orders": names[:4]}, {"at": "p2", "orders": names[7:3:-1]},
                          {"at": "table", "orders": [*names[:8], "o9"]}],
            "quality": {"print_fault_pct": 10.0, "cut_loss_pct": 10.0, "sewing_fault_pct": 20.0,
                        "seen_at_printer_pct": 30.0},
        },
    )  # fmt: skip
    orders = [
        order(
            "Mon 06:00",
            made[i % 2]["id"],
            pieces=3 + i,
            order_id=name,
            **({"cancelled": "Mon 07:45"} if i == 2 else {}),
        )
        for i, name in enumerate(names)
    ]
    assert check_listed_orders(scenario, orders) == []
    log = run(scenario, *orders)
    assert audit(log, scenario) == []
    assert log.leftover.pieces_inside == 0
    sewn = [r for r in rows(log, "operations") if r["place"] == 1 and r["attempt"] == 0 and r["kind"] == KIND["sew"]]
    first = {}
    for r in sorted(sewn, key=lambda r: r["start"]):
        first.setdefault(int(r["order"]), r["start"])
    turns = [first[i] for i in (0, 1, 3, 4, 5, 6, 7, 9)]
    assert turns == sorted(turns)
    assert max(turns) <= min(first[i] for i in (8, 10, 11))
    assert simulate(scenario, orders).fingerprint() == log.fingerprint()
