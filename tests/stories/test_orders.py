"""Orders on their way in and out: artwork check, approval, rush, cancellation before and after printing."""

from shopsim.floor.run import simulate
from tests.stories.shops import (
    centre,
    clock,
    crew,
    endings,
    merged,
    metres,
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

ARTWORK = {"check_at": "desk", "check_new_min": 10.0, "check_repeat_min": 2.0, "set_up_min": 5.0}


def released(log):
    return [clock(row["released"]) for row in sorted(rows(log, "orders"), key=lambda row: row["order"])]


def with_desk(**changes):
    return print_shop(**merged({"work_centres": [centre("desk", "prepress")],
                                "crews": [crew("op", "printing"), crew("prepress", "desk")],
                                "demand": {"artwork": ARTWORK}}, changes))  # fmt: skip


def test_files_are_checked_before_release_and_repeats_quickly():
    # New file: 10 + 5 min of set-up; a repeat 2 + 5. One person: 08:00-08:15, 08:15-08:22. The roll change begins with
    # the release of A: 08:15-08:35; both are printed in one run.
    log = run(with_desk(), order("Mon 08:00"), order("Mon 08:00", repeat=True))
    assert story(log, "artwork") == [
        ("artwork A", "prepress", "Mon 08:00", "Mon 08:15"),
        ("artwork B", "prepress", "Mon 08:15", "Mon 08:22"),
    ]
    assert released(log) == ["Mon 08:15", "Mon 08:22"]
    assert [line[2] for line in printed(log)] == ["Mon 08:35", "Mon 08:36"]


def test_release_waits_for_approval_or_for_the_check_whichever_is_later():
    # A is approved at 09:30, long after its check; B at 08:05, while its file still waits for the check (08:15-08:30).
    log = run(with_desk(), order("Mon 08:00", approved="Mon 09:30"), order("Mon 08:00", approved="Mon 08:05"))
    assert released(log) == ["Mon 09:30", "Mon 08:30"]


def test_approval_needs_nobody_and_may_come_at_night():
    # Approved on Monday 22:00: released then, printed on Tuesday, when the plate is warm and a roll is on (07:40).
    log = run(print_shop(), order("Mon 08:00", approved="Mon 22:00"))
    assert released(log) == ["Mon 22:00"]
    assert printed(log)[0][2] == "Tue 07:40"


def test_rush_work_goes_first_at_every_place():
    # A is on the bench 08:00-09:00; then the rush order C, though B came earlier and is due earlier.
    job = product("job", step("work", "bench", 60.0))
    log = run(shop(work_centres=[centre("bench")], crews=[crew("ann", "bench")], products=[job]),
              order("Mon 08:00", "job"), order("Mon 08:10", "job", due="Tue"),
              order("Mon 08:20", "job", due="Thu", rush=True))  # fmt: skip
    assert [line[0] for line in story(log)] == ["work A", "work C", "work B"]


def test_nothing_is_printed_of_an_order_cancelled_while_its_roll_is_put_on():
    # A's roll change 07:20-07:40 has begun when A is cancelled at 07:30; the roll stays on, nothing is printed.
    log = run(print_shop(), order("Mon 07:00", cancelled="Mon 07:30"))
    assert printed(log) == []
    assert metres(log) == {"bought": 100, "leader": 4}
    assert endings(log) == [("cancelled_before_print", "A", "never", "never")]
    assert [clock(row["ended"]) for row in rows(log, "orders")] == ["Mon 07:30"]
    assert log.leftover.pieces_dropped == 1


def test_a_cancelled_order_leaves_its_gang_and_the_others_go_on():
    # A and B are ganged at 07:20 and A is cancelled during the roll change: only B's metre is printed, 07:40-07:41.
    log = run(print_shop(), order("Mon 07:00", cancelled="Mon 07:30"), order("Mon 07:00"))
    assert printed(log) == [("1 of B", "p1", "Mon 07:40", "Mon 07:44")]
    assert metres(log)["printed"] == 1


def test_pieces_of_an_order_cancelled_after_printing_are_dropped():
    # 10 pieces printed 07:40-07:50, off at 07:53; sewn as bundles of 8 and 2, 10 min a piece. Cancelled at 08:00: the
    # bundle under the needle is sewn to its end (07:53-09:13), the other is dropped and B comes next.
    sewn = product("banner", to_print(), step("sew", "sewing", 10.0))
    log = run(print_shop(products=[sewn], work_centres=[centre("sewing", "sewing")],
                         crews=[crew("op", "printing"), crew("ann", "sewing")]),
              order("Mon 07:00", pieces=10, cancelled="Mon 08:00"), order("Mon 08:30"))  # fmt: skip
    assert story(log, "sew") == [
        ("sew A", "ann", "Mon 07:53", "Mon 09:13"),
        ("sew B", "ann", "Mon 09:13", "Mon 09:23"),
    ]
    assert endings(log)[0] == ("cancelled_after_print", "A", "never", "never")
    assert (log.leftover.pieces_in, log.leftover.pieces_done, log.leftover.pieces_dropped) == (11, 1, 10)


def test_a_piece_left_on_its_seat_overnight_is_put_away_if_its_order_is_cancelled():
    # A, 60 min from 14:30, is half done at 15:00 and cancelled in the night: on Tuesday its seat is B's from 07:00,
    # whether the piece was to be handed over or kept by its sewer.
    job = product("job", step("sew", "sewing", 60.0))
    for at_shift_end in ("hand_over", "keep"):
        log = run(shop(work_centres=[centre("sewing", "sewing")], products=[job],
                       crews=[crew("ann", "sewing", at_shift_end=at_shift_end)]),
                  order("Mon 14:30", "job", cancelled="Tue 02:00"), order("Mon 14:40", "job"))  # fmt: skip
        assert story(log) == [
            ("sew A", "ann", "Mon 14:30", "Mon 15:00"),
            ("sew B", "ann", "Tue 07:00", "Tue 08:00"),
        ]


def test_a_complete_order_is_not_cancelled_any_more():
    # Complete at 07:44, waiting for the collection of 16:00 when the customer calls at 12:00.
    log = run(print_shop(), order("Mon 07:00", cancelled="Mon 12:00"))
    assert endings(log) == [("dispatched", "A", "Mon 07:44", "Mon 16:00")]


def test_pieces_of_two_hire_fleets_draw_numbers_of_their_own():
    # Two pieces of the same product come back from two fleets; exponential minutes of two pieces never agree by chance.
    scenario = shop(
        work_centres=[centre("bench", seats=2)],
        crews=[crew("hands", "bench", count=2)],
        products=[product("frame", step("work", "bench", {"exponential": {"mean": 60.0}}))],
        demand={"hire_fleets": [{"product": "frame", "pieces": 1, "out_h": 8.0} for _ in range(2)], "order_book": None},
    )
    log = simulate(scenario)
    minutes = [row["worked_min"] for row in rows(log, "operations") if row["part"] == 0]
    assert len(minutes) > 8
    assert len(set(minutes)) == len(minutes)
