"""Reprints, take-up, panels, nesting across the web, print bought in."""

import pytest

from shopsim.floor.record import INK_CAUSES
from tests.stories.shops import (
    centre,
    clock,
    crew,
    endings,
    fabric,
    machine,
    metres,
    order,
    print_shop,
    printed,
    printer,
    product,
    rows,
    run,
    shop,
    step,
    story,
    to_print,
)

WOUND = printer(take_up={"leaves": "at_run_end", "change_min": 5.0, "full_at_m": 150.0})


def test_a_reprint_overtakes_waiting_work():
    # Every print is faulty (99.9999 %: 100 is refused) and seen at the printer; after nine reprints a piece goes out
    # under concession. Runs of 1 m: A to D begin 07:40, :41, :42, :43; at 07:44 A is off, is seen and goes before
    # E, and so does B at 07:45.
    scenario = print_shop(policies={"printing": {"gang_max_web_m": 1.0},
                                    "quality": {"print_fault_pct": 99.9999, "seen_at_printer_pct": 100.0}})  # fmt: skip
    log = run(scenario, *(order("Mon 07:00") for _ in range(6)))
    assert [(what, start) for what, _, start, _ in printed(log)[:6]] == [
        ("1 of A", "Mon 07:40"),
        ("1 of B", "Mon 07:41"),
        ("1 of C", "Mon 07:42"),
        ("1 of D", "Mon 07:43"),
        ("1 of A", "Mon 07:44"),
        ("1 of B", "Mon 07:45"),
    ]
    # Ten makes of A, four minutes apart.
    assert [line[2] for line in printed(log) if line[0] == "1 of A"] == [clock(460.0 + 4 * k) for k in range(10)]
    assert [row["reprints"] for row in rows(log, "orders")] == [9] * 6


@pytest.mark.parametrize(
    ("first", "turn"),
    # Off and seen at 07:44, when D is printed: first, A comes again before E; else, of equal due dates, it comes last.
    [(True, ["A", "B", "C", "D", "A", "E", "F"]), (False, ["A", "B", "C", "D", "E", "F", "A"])],
)
def test_one_reprint_with_and_without_a_lane_of_its_own(first, turn):
    # 12 % faults, all seen at the printer; with seed 7 only the first piece is faulty, and at its first make only.
    quality = {"print_fault_pct": 12.0, "seen_at_printer_pct": 100.0}
    scenario = print_shop(policies={"printing": {"gang_max_web_m": 1.0, "reprints_first": first}, "quality": quality},
                          study={"seed": 7})  # fmt: skip
    log = run(scenario, *(order("Mon 07:00", due="Thu") for _ in range(6)))
    assert [row["order"] for row in rows(log, "remakes")] == [0]
    assert [line[0][-1] for line in printed(log)] == turn


def test_cloth_wound_up_leaves_the_printer_when_the_take_up_is_changed():
    # A 07:40-07:50, tail 07:53, nothing more to print: the printed roll is cut off 07:53-07:58.
    log = run(print_shop(printers=[WOUND]), order("Mon 07:00", pieces=10))
    assert printed(log)[0] == ("8 of A", "p1", "Mon 07:40", "Mon 07:58")
    assert machine(log, start="Mon 07:50", end="Mon 08:00") == [
        ("tail", "p1", "Mon 07:50", "Mon 07:53"),
        ("take_up_change", "p1", "Mon 07:53", "Mon 07:58"),
        ("waiting_job", "p1", "Mon 07:58", "Mon 08:00"),
    ]


def test_a_full_take_up_interrupts_a_run():
    # Full at 16 m: 07:40-07:56, tail, change 07:59-08:04 (16 pieces off); the other 4 m to 08:08, 08:11, off at 08:16.
    wound = printer(take_up={"leaves": "at_run_end", "change_min": 5.0, "full_at_m": 16.0})
    log = run(print_shop(printers=[wound]), order("Mon 07:00", pieces=20))
    assert [(line[0], line[3]) for line in printed(log)] == [
        ("8 of A", "Mon 08:04"),
        ("8 of A", "Mon 08:04"),
        ("4 of A", "Mon 08:16"),
    ]
    assert metres(log)["tail_blank"] == 6


def test_a_roll_change_takes_the_printed_roll_off_as_well():
    # As the first take-up story, but the roll of 14 m ends with A: tail 07:53, then B is there and wants a roll:
    # 07:53-08:13, after which A is off without a take-up change of its own.
    log = run(print_shop(printers=[WOUND], fabrics=[fabric(roll_length_m=14.0)]), order("Mon 07:00", pieces=10),
              order("Mon 07:45", due="Wed2"))  # fmt: skip
    assert [(line[0], line[3]) for line in printed(log)[:2]] == [("8 of A", "Mon 08:13"), ("2 of A", "Mon 08:13")]
    assert [line[2] for line in story(log, "take_up_change")] == ["Mon 08:17"]


def test_a_piece_wider_than_the_web_is_printed_in_panels_and_sewn_together():
    # 2.5 m x 2 m on a web of 1 m: three panels of 0.8333 m x 2 m, one after the other: 6 m of web. A narrower image is
    # quicker: stroke 0.22 + 0.78 x 0.8333 = 0.87 of the full one, so 60/0.87 m/h, 5.22 min; with a cap of 2 m/min.
    # Sewing: no edges, two seams of 2 m: 2 x 2 m x 0.55 + 4 ends x 0.3 + 2 x 3 min = 9.4 min.
    wide = product("wide", to_print(), {"op": "sew", "at": "sewing", "labels": 1}, may_split=True,
                   sizes=[{"width_m": 2.5, "height_m": 2.0}])  # fmt: skip
    log = run(print_shop(products=[wide], fabrics=[fabric(dwell_s=24.0)], work_centres=[centre("sewing", "sewing")],
                         crews=[crew("op", "printing"), crew("ann", "sewing")]),
              order("Mon 07:00", "wide"))  # fmt: skip
    assert metres(log)["printed"] == 6
    run_row = rows(log, "runs")[0]
    assert run_row["speed_m_per_min"] == pytest.approx(1 / 0.87, abs=1e-6)
    assert run_row["end"] - run_row["start"] == pytest.approx(6 * 0.87, abs=1e-6)
    assert run_row["pieces"] == 1
    # The label adds 0.4 min (SEW-21).
    assert log.column("operations", "worked_min")[-1] == pytest.approx(9.4 + 0.4, abs=1e-6)


def test_pieces_lie_side_by_side_across_the_web():
    # 0.5 m wide pieces, two across: 10 pieces are 5 bands of 1 m: 07:40-07:45.
    log = run(print_shop(), order("Mon 07:00", pieces=10, width_m=0.5, height_m=1.0))
    assert metres(log)["printed"] == 5
    assert machine(log, start="Mon 07:40")[0] == ("printing", "p1", "Mon 07:40", "Mon 07:45")


def test_print_is_given_out_when_the_queue_is_long():
    # 60 m2/h: A is 60 m2 and waits while the printer warms up. B finds exactly 1 h waiting, C 2 h: more than 1.5, so
    # all its pieces are made outside and back, finished, after one working day: Tuesday 07:00.
    rule = {"when_queue_h": 1.5, "back_after_days": 1.0, "price_share_pct": 50.0}
    log = run(print_shop(policies={"bought_in_print": rule}, products=[product("banner", to_print(),
                                                                               price_per_m2=30.0)]),
              *(order("Mon 07:00", pieces=60) for _ in range(3)))  # fmt: skip
    assert story(log, "bought_in") == [("bought_in C", "outside", "Mon 07:00", "Tue 07:00")]
    assert rows(log, "bought_in")[0]["cost"] == 60 * 30 / 2
    assert endings(log)[2] == ("dispatched", "C", "Tue 07:00", "Tue 16:00")


def test_resting_needs_nobody_and_runs_through_the_night():
    # Off at 14:44 on Monday, 12 h of setting to Tuesday 02:44, packed at 07:00 when somebody is there.
    rested = product("banner", to_print(), {"op": "rest", "minutes": 720.0}, step("pack", "table", 5.0))
    log = run(print_shop(products=[rested], work_centres=[centre("table", "packing")],
                         crews=[crew("op", "printing"), crew("packer", "table")]), order("Mon 14:20"))  # fmt: skip
    assert printed(log)[0][3] == "Mon 14:44"
    assert story(log, "pack") == [("pack A", "packer", "Tue 07:00", "Tue 07:05")]


def test_a_shop_without_printers_works_on_what_is_brought_in():
    log = run(shop(work_centres=[centre("bench")], crews=[crew("ann", "bench")],
                   products=[product("job", step("work", "bench", 10.0))]), order("Mon 08:00", "job"))  # fmt: skip
    assert story(log) == [("work A", "ann", "Mon 08:00", "Mon 08:10")]
    assert rows(log, "printer_states") == []


def test_idle_ink_is_a_share_of_the_ink_bought():
    # NOZ-10: 8 m2 at 10 ml are 80 ml on the cloth; with 20 % of all ink spat out idle, 20 ml come on top (of 100).
    log = run(print_shop(supplies={"idle_ink_pct": 20.0}), order("Mon 07:00", pieces=8))
    assert [(INK_CAUSES[int(row["cause"])], row["ml"]) for row in rows(log, "ink")] == [
        ("printed", pytest.approx(80.0)),
        ("idle", pytest.approx(20.0)),
    ]
