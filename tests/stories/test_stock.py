"""Cloth on the shelf: stock-outs wait for supply, one order keeps one lot, and what happens when that runs out."""

from shopsim.floor.record import METRE_CAUSE
from tests.stories.shops import (
    BANNER,
    centre,
    clock,
    crew,
    fabric,
    machine,
    order,
    print_shop,
    printed,
    product,
    rows,
    run,
    shift,
    step,
    story,
    to_print,
)


def stocked(rolls, order_rolls=1, supply_days=0.0, **changes):
    """Knit in rolls of 20 m; a new order, a lot of its own, goes out when the last roll leaves the shelf."""
    stock = {"rolls": rolls, "reorder_at_rolls": 0, "order_rolls": order_rolls, "supply_days": supply_days}
    return fabric(**{"roll_length_m": 20.0, "stock": stock, **changes})


def by_lot(log, cause=1):
    """Metres printed by lot, on knit."""
    found = {}
    for row in rows(log, "metres"):
        if row["cause"] == cause and row["fabric"] == 0:
            found[row["lot"]] = round(found.get(row["lot"], 0.0) + row["metres"], 9)
    return found


def broken(log):
    return [bool(row["lot_broken"]) for row in sorted(rows(log, "orders"), key=lambda row: row["order"])]


ONE_LOT = product("set", to_print(), one_lot=True)


def test_a_stock_out_waits_for_supply_and_takes_the_new_lot():
    # The only roll is taken at Monday 07:20 and one ordered, which comes two working days later, Wednesday 07:20.
    # 16 m by 07:56, tail 07:59, then nothing to print on until Wednesday: change 07:20-07:40, 4 m, tail to 07:47.
    log = run(print_shop(fabrics=[stocked(1, supply_days=2.0)]), order("Mon 07:00", pieces=20))
    assert machine(log, start="Mon 07:40", end="Wed 07:47") == [
        ("printing", "p1", "Mon 07:40", "Mon 07:56"),
        ("tail", "p1", "Mon 07:56", "Mon 07:59"),
        ("waiting_material", "p1", "Mon 07:59", "Mon 15:00"),
        ("off", "p1", "Mon 15:00", "Tue 07:00"),
        ("warming", "p1", "Tue 07:00", "Tue 07:20"),
        ("waiting_material", "p1", "Tue 07:20", "Tue 15:00"),
        ("off", "p1", "Tue 15:00", "Wed 07:00"),
        ("warming", "p1", "Wed 07:00", "Wed 07:20"),
        ("roll_change", "p1", "Wed 07:20", "Wed 07:40"),
        ("printing", "p1", "Wed 07:40", "Wed 07:44"),
        ("tail", "p1", "Wed 07:44", "Wed 07:47"),
    ]
    assert by_lot(log) == {0: 16, 1: 4}


def test_work_on_another_fabric_goes_on_while_cloth_is_awaited():
    # As above; B on mesh comes on Monday at 08:30: change 08:30-08:50, 5 m, tail 08:58. On Wednesday the rest of A.
    products = [BANNER, product("net", to_print(), fabric="mesh")]
    log = run(print_shop(fabrics=[stocked(1, supply_days=2.0), fabric("mesh")], products=products),
              order("Mon 07:00", pieces=20), order("Mon 08:30", "net", pieces=5))  # fmt: skip
    assert printed(log) == [
        ("8 of A", "p1", "Mon 07:40", "Mon 07:59"),
        ("8 of A", "p1", "Mon 07:40", "Mon 07:59"),
        ("5 of B", "p1", "Mon 08:50", "Mon 08:58"),
        ("4 of A", "p1", "Wed 07:40", "Wed 07:47"),
    ]
    assert machine(log, start="Mon 08:58", end="Mon 15:00") == [("waiting_material", "p1", "Mon 08:58", "Mon 15:00")]


def test_an_order_that_wants_one_lot_is_begun_on_a_lot_that_reaches():
    # A (5 m) leaves 20-4-5-3 = 8 m of lot 0 on the printer; two rolls of lot 1 come on Tuesday at 07:20. B wants 10 m
    # of one lot on Tuesday at 08:00: lot 0 would run out, so lot 1 is put on: 08:00-08:20, 10 m, tail 08:33.
    log = run(print_shop(fabrics=[stocked(1, order_rolls=2, supply_days=1.0)], products=[BANNER, ONE_LOT]),
              order("Mon 07:00", pieces=5), order("Tue 08:00", "set", pieces=10))  # fmt: skip
    assert [line[3] for line in printed(log)[1:]] == ["Tue 08:33", "Tue 08:33"]
    assert by_lot(log) == {0: 5, 1: 10}
    assert broken(log) == [False, False]


def test_a_lot_that_runs_out_is_broken_and_said_so():
    # 20 m of one lot, but no lot has more than one roll of 20 m less leader: 16 m of lot 0, then 4 m of lot 1, at the
    # times of any roll that runs out.
    log = run(print_shop(fabrics=[stocked(1)], products=[ONE_LOT]), order("Mon 07:00", "set", pieces=20))
    assert by_lot(log) == {0: 16, 1: 4}
    assert broken(log) == [True]
    assert printed(log)[-1][3] == "Mon 08:26"


def one_fault(roll_m, *others):
    """A, 8 m of one lot, is inspected from 11:00 to 11:08; with seed 7 one piece is faulty at the first make only."""
    sets = product("set", to_print(), step("inspect", "look", 1.0), one_lot=True)
    net = product("net", to_print(), fabric="mesh")
    scenario = print_shop(
        fabrics=[stocked(1, roll_length_m=roll_m), fabric("mesh")], products=[BANNER, sets, net],
        work_centres=[centre("look", "inspection")], shifts=[shift("day"), shift("noon", "11:00-15:00")],
        crews=[crew("op", "printing"), crew("inspector", "look", shift="noon")],
        policies={"quality": {"print_fault_pct": 10.0}}, study={"seed": 7},
    )  # fmt: skip
    log = run(scenario, order("Mon 07:00", "set", pieces=8), *others)
    assert [row["attempt"] for row in rows(log, "remakes")] == [0]
    return log


def test_a_reprint_keeps_the_lot_of_its_order():
    # A: lot 0, 8 m; 40-4-8-3 = 25 m go back to the shelf when B's mesh is put on. C (25 m and a leader) needs more than
    # that and gets a roll of lot 1, of which 40-4-25-3 = 8 m go back when D's mesh is put on at 10:50. D is printed
    # 11:10-11:11; then for the faulty piece the 25 m of lot 0 are put on again, though the 8 m of lot 1 would do: tail
    # 11:14, change 11:34, tail 11:38.
    log = one_fault(40.0, order("Mon 09:00", "net"), order("Mon 10:00", pieces=25), order("Mon 10:50", "net"))
    assert story(log, "roll_change")[-1] == ("roll_change", "op", "Mon 11:14", "Mon 11:34")
    assert printed(log)[-1] == ("1 of A", "p1", "Mon 11:34", "Mon 11:38")
    assert by_lot(log) == {0: 9, 1: 25}
    assert broken(log)[0] is False


def test_a_reprint_whose_lot_is_gone_goes_on_the_roll_at_hand():
    # A: lot 0, 8 m; 20-4-8-3 = 5 m are left. B prints its first 5 m on them and the other 3 on lot 1, of which
    # 20-4-3-3 = 10 m stay on the printer. Nobody has lot 0 any more: no roll is changed for the reprint.
    log = one_fault(20.0, order("Mon 09:00", pieces=8))
    assert [line[2] for line in story(log, "roll_change")] == ["Mon 07:20", "Mon 09:08"]
    assert printed(log)[-1] == ("1 of A", "p1", "Mon 11:08", "Mon 11:12")
    assert by_lot(log) == {0: 13, 1: 4}
    assert broken(log)[0] is True


def test_a_short_piece_is_printed_on_what_is_left_while_a_long_one_waits_for_a_roll():
    # A: 10 m of 16 by 07:50, 3 m of blank web behind it by 07:53, so 3 m are left. B wants 5 m and waits for the roll
    # of Wednesday 07:20. C, due later, wants 1 m: printed 09:00-09:01 on what is there, off 09:04 as the tail takes the
    # rest.
    log = run(
        print_shop(fabrics=[stocked(1, supply_days=2.0)]),
        order("Mon 07:00", pieces=10),
        order("Mon 09:00", pieces=1, width_m=1.0, height_m=5.0, due="Wed"),
        order("Mon 09:00", pieces=1),
    )
    assert printed(log) == [
        ("8 of A", "p1", "Mon 07:40", "Mon 07:53"),
        ("2 of A", "p1", "Mon 07:40", "Mon 07:53"),
        ("1 of C", "p1", "Mon 09:00", "Mon 09:04"),
        ("1 of B", "p1", "Wed 07:40", "Wed 07:48"),
    ]


def test_rolls_bought_together_are_all_counted_until_they_come():
    # The first roll leaves the shelf on Monday at 07:20: two are bought, and come on Wednesday at 07:20. Then one is
    # taken and one lies there: enough. That one goes on at 07:59, the shelf is empty, and two are bought for Friday.
    log = run(print_shop(fabrics=[stocked(1, order_rolls=2, supply_days=2.0)]), order("Mon 07:00", pieces=44))
    bought = [row for row in rows(log, "metres") if row["cause"] == METRE_CAUSE["bought"]]
    assert [(clock(row["at"]), row["lot"], row["metres"]) for row in bought] == [
        ("Wed 07:20", 1, 40), ("Fri 07:59", 2, 40),
    ]  # fmt: skip
    assert by_lot(log) == {0: 16, 1: 28}
