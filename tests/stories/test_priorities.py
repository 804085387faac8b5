"""Classes of urgency: which work comes first at work centres and printers, and what stays above them."""

import datetime

import pytest

from shopsim.errors import OrderBookError
from shopsim.shop.order_book import load_order_book, write_order_book
from tests.stories.shops import (
    centre,
    crew,
    fabric,
    order,
    print_shop,
    printed,
    product,
    rows,
    run,
    shop,
    step,
    story,
    to_print,
)

CLASSES = {"key": 3, "frame": 5, "stock": 7}


def made(name, *route, **changes):
    return product(name, *route, priority=CLASSES[name], **changes)


def sewing_room(**changes):
    products = [made(name, step("sew", "sewing", 60.0)) for name in CLASSES]
    return shop(**{"work_centres": [centre("sewing", "sewing")], "crews": [crew("ann", "sewing")],
                   "products": products, **changes})  # fmt: skip


def sewn(log):
    """The letters of the orders as they are begun."""
    return "".join(line[0][-1] for line in story(log, "sew"))


def test_a_class_comes_wholly_before_the_next_and_interrupts_nothing():
    # The stock A is in work until 08:00; then key account, normal, stock, whatever is due first.
    log = run(sewing_room(), order("Mon 07:00", "stock"), order("Mon 07:10", "stock", due="Tue"),
              order("Mon 07:20", "frame", due="Wed"), order("Mon 07:30", "key", due="Thu"))  # fmt: skip
    assert story(log) == [
        ("sew A", "ann", "Mon 07:00", "Mon 08:00"),
        ("sew D", "ann", "Mon 08:00", "Mon 09:00"),
        ("sew C", "ann", "Mon 09:00", "Mon 10:00"),
        ("sew B", "ann", "Mon 10:00", "Mon 11:00"),
    ]


@pytest.mark.parametrize(("rule", "expected"), [("due_date", "ADCB"), ("first_come", "ACDB")])
def test_within_a_class_the_queue_rule_ranks(rule, expected):
    place = centre("sewing", "sewing", queue_rule=rule)
    log = run(sewing_room(work_centres=[place]), order("Mon 07:00", "frame"), order("Mon 07:10", "frame", due="Tue"),
              order("Mon 07:20", "key", due="Fri"), order("Mon 07:30", "key", due="Thu"))  # fmt: skip
    assert sewn(log) == expected


@pytest.mark.parametrize(("rush_first", "expected"), [(True, "ADCB"), (False, "ACBD")])
def test_rush_comes_before_every_class_where_the_shop_says_so(rush_first, expected):
    # D is stock, but in a hurry; where rush has no lane of its own it is stock.
    scenario = sewing_room(policies={"printing": {"rush_first": rush_first}})
    log = run(scenario, order("Mon 07:00", "frame"), order("Mon 07:10", "frame"), order("Mon 07:20", "key"),
              order("Mon 07:30", "stock", rush=True))  # fmt: skip
    assert sewn(log) == expected


@pytest.mark.parametrize(("reprints_first", "expected"), [(True, "AAAABC"), (False, "ABAAAC")])
def test_a_remake_comes_before_every_class_or_in_its_own(reprints_first, expected):
    # A is lost three times at its inspection, which takes no time, and sewn again; B, a key account, and C, stock, wait
    # from 07:10 on. Without a lane of its own a remake is normal work, after B and before C.
    places = [centre("sewing", "sewing"), centre("look", "inspection")]
    products = [made(name, step("sew", "sewing", 60.0)) for name in ("key", "stock")]
    products.append(made("frame", step("sew", "sewing", 60.0), step("inspect", "look", 0.0)))
    quality = {"sewing_fault_pct": 60.0, "sewing_repaired_pct": 0.0}
    scenario = sewing_room(
        work_centres=places, products=products, crews=[crew("ann", "sewing"), crew("ben", "look")],
        policies={"printing": {"reprints_first": reprints_first}, "quality": quality},
        study={"seed": 7},
    )  # fmt: skip
    log = run(scenario, order("Mon 07:00", "frame"), order("Mon 07:10", "key"), order("Mon 07:10", "stock"))
    assert [row["attempt"] for row in rows(log, "remakes") if row["order"] == 0] == [0, 1, 2]
    assert sewn(log) == expected


def test_an_order_is_as_urgent_as_the_most_urgent_of_its_products():
    # B has a stock piece and a key account's: both come before the normal C, for they leave together.
    log = run(sewing_room(), order("Mon 07:00", "frame"), order("Mon 07:10", "stock", order_id="both"),
              order("Mon 07:10", "key", order_id="both"), order("Mon 07:05", "frame"))  # fmt: skip
    assert sewn(log) == "ACCB"


def test_the_order_book_may_give_an_order_a_class_of_its_own(tmp_path):
    scenario = sewing_room()
    lines = [order("Mon 07:00", "frame"), order("Mon 07:05", "frame"), order("Mon 07:10", "stock", priority=1)]
    write_order_book(tmp_path / "orders.csv", lines)
    read = load_order_book(tmp_path / "orders.csv", scenario)
    assert [line.priority for line in read] == [None, None, 1]
    assert sewn(run(scenario, *read)) == "ACB"


@pytest.mark.parametrize(
    ("cell", "message"),
    [
        ("0", "must be a whole number of at least 1, found '0'"),
        ("10", "must be at most 9, found '10'"),
        ("key", "must be a whole number of at least 1, found 'key'"),
    ],
)
def test_a_priority_of_the_book_is_1_to_9(tmp_path, cell, message):
    path = tmp_path / "orders.csv"
    due = datetime.date(2026, 1, 9)
    path.write_text(f"order_id,received,due,product,pieces,priority\nx,2026-01-05 09:00,{due},frame,1,{cell}\n")
    with pytest.raises(OrderBookError) as broken:
        load_order_book(path, sewing_room())
    assert str(broken.value) == f"{path}:2: column priority: {message}"


# -- at the printers --------------------------------------------------------------------------------------------------


def printers(**policy):
    """Normal and stock on knit, key accounts on cloth, on one printer; a run takes one piece."""
    products = [made("frame", to_print()), made("stock", to_print()), made("key", to_print(), fabric="cloth")]
    return print_shop(fabrics=[fabric(), fabric("cloth")], products=products,
                      policies={"printing": {"gang_max_web_m": 1.0, **policy}})  # fmt: skip


def runs(log):
    """The letters of the orders as they are printed."""
    return "".join(what[-1] for what, *_ in printed(log))


def test_printers_print_class_by_class():
    # A, 07:40-07:41, and the rest come while the roll is changed: normal before stock, which is due first.
    log = run(printers(), order("Mon 07:00", "frame"), order("Mon 07:30", "stock", due="Tue"),
              order("Mon 07:30", "frame", due="Wed"))  # fmt: skip
    assert runs(log) == "ACB"


def test_a_more_urgent_class_is_worth_a_change_of_fabric_a_less_urgent_one_is_not():
    # Knit is on the printer. The key account's cloth comes before the normal C on knit; afterwards cloth is on, and
    # with nothing of its class left the normal C comes before more stock, whatever the fabric.
    log = run(printers(), order("Mon 07:00", "frame"), order("Mon 07:30", "stock", due="Tue"),
              order("Mon 07:30", "frame", due="Wed"), order("Mon 07:30", "key", due="Fri"))  # fmt: skip
    assert runs(log) == "ADCB"


def test_a_class_waits_for_its_run_like_everybody_but_rush():
    # Runs of 3 m or after 2 h: the key account alone waits until 09:10, rush on the same cloth goes at once.
    scenario = printers(gang_min_web_m=3.0, gang_longest_wait_h=2.0, gang_max_web_m=60.0)
    log = run(scenario, order("Mon 07:10", "key"))
    assert [row["gang_ready"] for row in rows(log, "prints")] == [550]
    log = run(scenario, order("Mon 07:10", "key"), order("Mon 07:20", "key", rush=True))
    assert [row["gang_ready"] for row in rows(log, "prints")] == [440, 440]
