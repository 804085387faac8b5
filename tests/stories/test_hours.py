"""Shift ends, breaks and nights: what people leave, who goes on with it, and printers that run on without them."""

from tests.stories.shops import (
    centre,
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
    run,
    shift,
    shop,
    step,
    story,
    to_print,
)

FRAME = product("frame", step("sew", "sewing", 60.0))
SEWING = [centre("sewing", "sewing")]
EARLY_AND_LATE = [
    shift("early", "06:00-14:00", handover_min=10.0),
    shift("late", "14:00-22:00", handover_min=10.0),
]


def two_shifts(at_shift_end, seats=1):
    crews = [
        crew("early", "sewing", shift="early", at_shift_end=at_shift_end),
        crew("late", "sewing", shift="late", at_shift_end=at_shift_end),
    ]
    crews = [{**each, "id": f"{each['id']}-sewer"} for each in crews]
    return shop(shifts=EARLY_AND_LATE, work_centres=[centre("sewing", "sewing", seats=seats)], crews=crews,
                products=[FRAME])  # fmt: skip


def test_a_seam_cut_by_shift_end_is_handed_over():
    # A: 13:30-14:00 by the early sewer; 30 min left plus 10 of handover, 14:00-14:40 by the late one. B came meanwhile,
    # is due earlier and has a seat of its own; but the remainder is first in line.
    log = run(two_shifts("hand_over", seats=2), order("Mon 13:30", "frame"), order("Mon 13:31", "frame", due="Tue"))
    assert story(log) == [
        ("sew A", "early-sewer", "Mon 13:30", "Mon 14:00"),
        ("sew A", "late-sewer", "Mon 14:00", "Mon 14:40"),
        ("sew B", "late-sewer", "Mon 14:40", "Mon 15:40"),
    ]


def test_a_seam_that_is_kept_waits_for_the_same_sewer_and_keeps_the_seat():
    # A goes on at 06:00 with the early sewer, without handover; until 06:30 it holds the only seat, so the late sewer
    # cannot take B, and B is sewn after A.
    log = run(two_shifts("keep"), order("Mon 13:30", "frame"), order("Mon 13:31", "frame"))
    assert story(log) == [
        ("sew A", "early-sewer", "Mon 13:30", "Mon 14:00"),
        ("sew A", "early-sewer", "Tue 06:00", "Tue 06:30"),
        ("sew B", "early-sewer", "Tue 06:30", "Tue 07:30"),
    ]


def test_work_that_ends_with_the_shift_is_done():
    # 13:00-14:00 exactly: nothing is left for the late shift.
    log = run(two_shifts("hand_over"), order("Mon 13:00", "frame"))
    assert story(log) == [("sew A", "early-sewer", "Mon 13:00", "Mon 14:00")]
    assert endings(log)[0][2] == "Mon 14:00"


def test_the_same_person_goes_on_after_lunch_without_handover():
    # 11:30-12:00 and 12:30-13:00: one stretch of 60 min worked. The second sewer, who has no break, does not take over.
    shifts = [shift("day", breaks=("12:00-12:30",), handover_min=10.0), shift("lunchless")]
    crews = [crew("ann", "sewing"), crew("ben", "sewing", shift="lunchless", count=0)]
    log = run(shop(shifts=shifts, work_centres=SEWING, crews=crews, products=[FRAME]), order("Mon 11:30", "frame"))
    assert story(log) == [("sew A", "ann", "Mon 11:30", "Mon 13:00")]
    assert log.column("operations", "worked_min").tolist() == [60]


def test_printing_goes_on_through_lunch_while_a_roll_change_pauses():
    # Lunch 12:00-12:30. p1 gets its roll at 11:10 and prints 60 m 11:30-12:30, tail to 12:33. p2's change begins 11:50,
    # pauses for lunch and ends 12:40.
    products = [product("one", to_print(printers=["p1"])), product("two", to_print(printers=["p2"]))]
    log = run(print_shop(printers=[printer(), printer("p2")], products=products,
                         shifts=[shift("day", breaks=("12:00-12:30",))]),
              order("Mon 11:10", "one", pieces=60), order("Mon 11:50", "two"))  # fmt: skip
    assert machine(log, start="Mon 11:10", end="Mon 12:33") == [
        ("roll_change", "p1", "Mon 11:10", "Mon 11:30"),
        ("printing", "p1", "Mon 11:30", "Mon 12:30"),
        ("tail", "p1", "Mon 12:30", "Mon 12:33"),
    ]
    assert machine(log, "p2", start="Mon 11:50", end="Mon 12:41") == [
        ("roll_change", "p2", "Mon 11:50", "Mon 12:40"),
        ("printing", "p2", "Mon 12:40", "Mon 12:41"),
    ]


def test_a_roll_change_cannot_begin_during_lunch():
    # The roll of 20 m runs out at 11:56, the tail ends 11:59; the change is begun for a minute before lunch and ended
    # after it: 11:59-12:00 and 12:30-12:49. A roll that runs out at lunch itself waits for 12:30.
    scenario = print_shop(shifts=[shift("day", breaks=("12:00-12:30",))], fabrics=[fabric(roll_length_m=20.0)])
    log = run(scenario, order("Mon 11:20", pieces=20))
    assert story(log)[1:] == [("roll_change", "op", "Mon 11:59", "Mon 12:49")]
    log = run(scenario, order("Mon 11:25", pieces=20))
    assert machine(log, start="Mon 11:45", end="Mon 12:50") == [
        ("printing", "p1", "Mon 11:45", "Mon 12:01"),
        ("tail", "p1", "Mon 12:01", "Mon 12:04"),
        ("waiting_operator", "p1", "Mon 12:04", "Mon 12:30"),
        ("roll_change", "p1", "Mon 12:30", "Mon 12:50"),
    ]


def test_an_unattended_run_goes_on_into_the_evening_and_stops_at_the_rolls_end():
    # A roll of 600 m less leader: 596 m from 07:40 to 17:36, tail 17:39, and the roll is at its end. Nobody is there to
    # change it: off. On Tuesday at 07:00 the operator switches on and changes the roll while the plate warms up
    # (both 20 min); the last 4 m to 07:24, tail 07:27. They belong to the tenth run of 60 m, begun at 16:40.
    log = run(print_shop(printers=[printer(unattended_running=True)], fabrics=[fabric(roll_length_m=600.0)]),
              order("Mon 07:00", pieces=600))  # fmt: skip
    assert machine(log, start="Mon 07:40", end="Tue 07:27") == [
        ("printing", "p1", "Mon 07:40", "Mon 17:36"),
        ("tail", "p1", "Mon 17:36", "Mon 17:39"),
        ("off", "p1", "Mon 17:39", "Tue 07:00"),
        ("roll_change", "p1", "Tue 07:00", "Tue 07:20"),
        ("printing", "p1", "Tue 07:20", "Tue 07:24"),
        ("tail", "p1", "Tue 07:24", "Tue 07:27"),
    ]
    assert printed(log)[-1] == ("4 of A", "p1", "Mon 16:40", "Tue 07:27")


def test_an_unattended_check_leaves_no_printed_web_on_the_plate_overnight():
    # 16:40 is the ninth running hour. The check needs a hand and nobody is there until Tuesday: the tail goes
    # through first (16:43), although the web could be lifted off the plate for three minutes; then it is off.
    rule = {"minutes": 3.0, "every_running_h": 9.0, "at_shift_start": False, "after_roll_change": False,
            "fails_pct": 0.0, "fails_after_idle_pct": 0.0, "test_strip_m": 0.0}  # fmt: skip
    log = run(print_shop(printers=[printer(unattended_running=True, nozzle_check=rule)],
                         fabrics=[fabric(roll_length_m=1000.0)]), order("Mon 07:00", pieces=600))  # fmt: skip
    assert machine(log, start="Mon 16:00", end="Tue 07:21") == [
        ("printing", "p1", "Mon 16:00", "Mon 16:40"),
        ("tail", "p1", "Mon 16:40", "Mon 16:43"),
        ("off", "p1", "Mon 16:43", "Tue 07:00"),
        ("nozzle_check", "p1", "Tue 07:00", "Tue 07:03"),
        ("warming", "p1", "Tue 07:03", "Tue 07:20"),
        ("printing", "p1", "Tue 07:20", "Tue 07:21"),
    ]


def test_a_first_article_near_closing_time_does_not_leave_the_tail_on_the_plate():
    # A ends at 14:52, its web needs 3 min to be through. B's first article takes 9 min and would end at 15:01: the
    # tail of A is fed first, 14:52-14:55, and the looking is split: 14:55-15:00 and, on Tuesday, four minutes from
    # 07:00 while the plate warms up.
    rule = {"share_of_runs_pct": 100.0, "passes_pct": 100.0, "minutes": 9.0, "strip_m": 0.0}
    log = run(print_shop(printers=[printer(first_article=rule)], policies={"printing": {"gang_max_web_m": 10.0}}),
              order("Mon 14:13", pieces=10), order("Mon 14:13"))  # fmt: skip
    assert machine(log, start="Mon 14:13", end="Mon 15:00") == [
        ("roll_change", "p1", "Mon 14:13", "Mon 14:33"),
        ("first_article", "p1", "Mon 14:33", "Mon 14:42"),
        ("printing", "p1", "Mon 14:42", "Mon 14:52"),
        ("tail", "p1", "Mon 14:52", "Mon 14:55"),
        ("first_article", "p1", "Mon 14:55", "Mon 15:00"),
    ]
    assert machine(log, start="Tue 07:00", end="Tue 07:24") == [
        ("first_article", "p1", "Tue 07:00", "Tue 07:04"),
        ("warming", "p1", "Tue 07:04", "Tue 07:20"),
        ("printing", "p1", "Tue 07:20", "Tue 07:21"),
        ("tail", "p1", "Tue 07:21", "Tue 07:24"),
    ]


def test_a_plate_left_hot_overnight_needs_no_warm_up():
    # As the days before it, but at 07:00 on Tuesday B is printed at once.
    log = run(print_shop(printers=[printer(hot_overnight=True)]), order("Mon 07:00"), order("Mon 22:00"))
    assert machine(log, start="Mon 14:00", end="Tue 07:04") == [
        ("waiting_job", "p1", "Mon 14:00", "Tue 07:00"),
        ("printing", "p1", "Tue 07:00", "Tue 07:01"),
        ("tail", "p1", "Tue 07:01", "Tue 07:04"),
    ]
    assert metres(log) == {"bought": 100, "leader": 4, "printed": 2, "tail_blank": 6}
