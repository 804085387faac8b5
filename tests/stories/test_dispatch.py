"""The last desk: collections, weekends, holidays, couriers, the check of the whole order; the end of the horizon."""

import datetime

import pytest

from tests.stories.shops import centre, clock, crew, endings, order, product, rows, run, shift, shop, step, story

WORK = product("job", step("work", "bench", 10.0))


def bench(**changes):
    return shop(**{"work_centres": [centre("bench")], "crews": [crew("ann", "bench")], "products": [WORK], **changes})


LATE_SHIFT = [shift("day", "07:00-17:00")]


@pytest.mark.parametrize(
    ("received", "complete", "leaves"),
    [
        # 10 min of work; the collection is at 16:00.
        ("Mon 15:50", "Mon 16:00", "Mon 16:00"),
        ("Mon 15:51", "Mon 16:01", "Tue 16:00"),
        # Friday evening's next collection is on Monday.
        ("Fri 15:51", "Fri 16:01", "Mon2 16:00"),
    ],
)
def test_an_order_makes_the_collection_on_the_minute_and_misses_it_by_one(received, complete, leaves):
    log = run(bench(shifts=LATE_SHIFT), order(received, "job"))
    assert endings(log) == [("dispatched", "A", complete, leaves)]


def test_a_weekend_passes_between_receipt_and_work():
    # Received on Saturday noon: worked on from Monday 07:00, though the horizon needs a second week to see it.
    log = run(bench(study={"weeks": 2}), order("Sat 12:00", "job", due="Mon2"))
    assert story(log) == [("work A", "ann", "Mon2 07:00", "Mon2 07:10")]


def test_a_holiday_has_neither_work_nor_collection():
    # Tuesday is closed: Monday's late order is begun on Wednesday. Work of Monday 15:51 to 16:01 leaves on Wednesday;
    # one courier day after Wednesday's collection is Thursday's.
    closed = [{"first": datetime.date(2026, 1, 6), "last": datetime.date(2026, 1, 6)}]
    log = run(bench(closed=closed, shifts=LATE_SHIFT), order("Mon 15:51", "job"), order("Mon 16:55", "job"))
    assert story(log) == [
        ("work A", "ann", "Mon 15:51", "Mon 16:01"),
        ("work B", "ann", "Mon 16:55", "Mon 17:00"),
        ("work B", "ann", "Wed 07:00", "Wed 07:05"),
    ]
    assert endings(log) == [
        ("dispatched", "A", "Mon 16:01", "Wed 16:00"),
        ("dispatched", "B", "Wed 07:05", "Wed 16:00"),
    ]
    assert [clock(row["delivered"]) for row in rows(log, "orders")] == ["Thu 16:00", "Thu 16:00"]


def test_an_order_leaves_whole_after_its_check():
    # Two lines of one order: 07:00-07:10 and 07:10-07:20 by the one worker, then the check of 4 min; what was ready
    # first waits for the rest.
    log = run(bench(policies={"dispatch": {"order_check_at": "bench", "order_check_min": 4.0}}),
              order("Mon 07:00", "job", order_id="x"), order("Mon 07:00", "job", order_id="x"))  # fmt: skip
    assert story(log) == [
        ("work A", "ann", "Mon 07:00", "Mon 07:10"),
        ("work A", "ann", "Mon 07:10", "Mon 07:20"),
        ("order_check A", "ann", "Mon 07:20", "Mon 07:24"),
    ]
    assert endings(log) == [("dispatched", "A", "Mon 07:24", "Mon 16:00")]


def test_work_that_ends_with_the_horizon_is_not_done():
    # One week ends at 24:00 on Sunday. A night shift works until then: A ends a minute before and is complete, B would
    # end exactly then and is still inside.
    night = [shift("day", "20:00-24:00", days="sun")]
    scenario = bench(shifts=night, crews=[crew("ann", "bench", count=2)], work_centres=[centre("bench", seats=2)])
    log = run(scenario, order("Sun 23:49", "job", due="Mon2"), order("Sun 23:50", "job", due="Mon2"))
    assert endings(log) == [
        ("dispatched", "A", "Sun 23:59", "Mon2 16:00"),
        ("inside", "B", "never", "never"),
    ]
    assert (log.leftover.pieces_in, log.leftover.pieces_done, log.leftover.pieces_inside) == (2, 1, 1)
