"""Rolls: a roll that runs out, full change against join, remnants, set points, lifts and hands."""

from tests.stories.shops import (
    crew,
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
    story,
    to_print,
)

SHORT_ROLL = [fabric(roll_length_m=20.0)]
TWO_FABRICS = [product("banner", to_print()), product("net", to_print(), fabric="mesh")]
TWO_PRINTERS = [printer("p1", roll_change={"needs_lift": True}), printer("p2", roll_change={"needs_lift": True})]


def test_a_roll_that_runs_out_in_mid_job_is_changed():
    # Roll 20 m less leader 4 leaves 16 m: 07:40-07:56. The tail goes through (3 min) and draws in no blank web, since
    # the roll is at its end. Change 07:59-08:19, another leader; the last 4 m to 08:23, tail to 08:26 with 3 m blank.
    log = run(print_shop(fabrics=SHORT_ROLL), order("Mon 07:00", pieces=20))
    assert machine(log, start="Mon 07:40", end="Mon 08:30") == [
        ("printing", "p1", "Mon 07:40", "Mon 07:56"),
        ("tail", "p1", "Mon 07:56", "Mon 07:59"),
        ("roll_change", "p1", "Mon 07:59", "Mon 08:19"),
        ("printing", "p1", "Mon 08:19", "Mon 08:23"),
        ("tail", "p1", "Mon 08:23", "Mon 08:26"),
        ("waiting_job", "p1", "Mon 08:26", "Mon 08:30"),
    ]
    assert printed(log) == [
        ("8 of A", "p1", "Mon 07:40", "Mon 07:59"),
        ("8 of A", "p1", "Mon 07:40", "Mon 07:59"),
        ("4 of A", "p1", "Mon 07:40", "Mon 08:26"),
    ]
    assert metres(log) == {"bought": 40, "leader": 8, "printed": 20, "tail_blank": 3}


def test_a_join_saves_the_tail_the_leader_and_half_the_time():
    # As above, but the new roll is joined to the old web: 07:56-08:06 without a tail, 2 m of seam instead of 4 m of
    # leader; the last 4 m to 08:10, the tail to 08:13: 13 min and 2 m less than by a full change. The pieces before
    # the seam go through the plate with those behind it.
    log = run(print_shop(fabrics=SHORT_ROLL, policies={"printing": {"roll_change": "join"}}),
              order("Mon 07:00", pieces=20))  # fmt: skip
    assert machine(log, start="Mon 07:40", end="Mon 08:13") == [
        ("printing", "p1", "Mon 07:40", "Mon 07:56"),
        ("join", "p1", "Mon 07:56", "Mon 08:06"),
        ("printing", "p1", "Mon 08:06", "Mon 08:10"),
        ("tail", "p1", "Mon 08:10", "Mon 08:13"),
    ]
    assert metres(log) == {"bought": 40, "leader": 4, "join": 2, "printed": 20, "tail_blank": 3}


def test_a_seam_that_goes_wrong_is_made_again():
    # Trouble is certain: the join takes 2 x 10 min, 07:56-08:16.
    machines = [printer(roll_change={"seam_trouble_pct": 100.0})]
    log = run(print_shop(fabrics=SHORT_ROLL, printers=machines, policies={"printing": {"roll_change": "join"}}),
              order("Mon 07:00", pieces=20))  # fmt: skip
    assert story(log, "join") == [
        ("join", "op", "Mon 07:56", "Mon 08:06"),
        ("join", "op", "Mon 08:06", "Mon 08:16"),
    ]


def test_a_remnant_is_kept_and_used_again():
    # Knit, mesh, knit, each when the last is done. The knit roll comes back with 100-4-1-3 = 92 m, is used again for C
    # (leader 4, print 1, tail 3) and no second roll of knit is bought.
    log = run(print_shop(fabrics=[fabric(), fabric("mesh")], products=TWO_FABRICS),
              order("Mon 07:00"), order("Mon 08:00", "net"), order("Mon 09:00"))  # fmt: skip
    assert metres(log) == {"bought": 200, "leader": 12, "printed": 3, "tail_blank": 9}
    assert log.leftover.mounted_m == {0: 84.0, 1: 0.0}
    assert log.leftover.stock_m == {0: 0.0, 1: 92.0}


def test_a_remnant_too_short_to_keep_is_scrapped():
    # A roll of 11 m: leader 4, print 1, tail 3 leave 3 m, below the 4 m worth keeping.
    log = run(print_shop(fabrics=[fabric(roll_length_m=11.0), fabric("mesh")], products=TWO_FABRICS),
              order("Mon 07:00"), order("Mon 08:00", "net"))  # fmt: skip
    assert metres(log)["remnant_scrapped"] == 3


def test_a_remnant_just_long_enough_is_kept():
    # A roll of 12 m: leader 4, print 1, tail 3 leave the 4 m that are worth keeping.
    log = run(print_shop(fabrics=[fabric(roll_length_m=12.0), fabric("mesh")], products=TWO_FABRICS),
              order("Mon 07:00"), order("Mon 08:00", "net"))  # fmt: skip
    assert "remnant_scrapped" not in metres(log)
    assert log.leftover.stock_m[0] == 4.0


def test_the_plate_goes_to_its_new_set_point_while_the_roll_is_changed():
    # Knit 190 C, mesh 210 C: 20 C up at 15 min per 10 C are 30 min from the start of the change at 08:00: the change
    # hides 20 of them, 10 are waited for. Back down at 8 min per 10 C: 16 min, all hidden by the 20 of the change.
    machines = [printer(fixation={"up_min_per_10c": 15.0, "down_min_per_10c": 8.0})]
    log = run(print_shop(printers=machines, fabrics=[fabric(), fabric("mesh", plate_c=210.0)], products=TWO_FABRICS),
              order("Mon 07:00"), order("Mon 08:00", "net"), order("Mon 09:00"))  # fmt: skip
    assert machine(log, start="Mon 08:00", end="Mon 09:25") == [
        ("roll_change", "p1", "Mon 08:00", "Mon 08:20"),
        ("set_point", "p1", "Mon 08:20", "Mon 08:30"),
        ("printing", "p1", "Mon 08:30", "Mon 08:31"),
        ("tail", "p1", "Mon 08:31", "Mon 08:34"),
        ("waiting_job", "p1", "Mon 08:34", "Mon 09:00"),
        ("roll_change", "p1", "Mon 09:00", "Mon 09:20"),
        ("printing", "p1", "Mon 09:20", "Mon 09:21"),
        ("tail", "p1", "Mon 09:21", "Mon 09:24"),
        ("waiting_job", "p1", "Mon 09:24", "Mon 09:25"),
    ]


def test_a_join_to_another_set_point_feeds_the_tail_first():
    # B follows A at once (07:41), but its fabric wants 200 C: what is printed goes through at 190 C first (3 min), then
    # the join 07:44-07:54; 10 C at 15 min from 07:44 end at 07:59.
    machines = [printer(fixation={"up_min_per_10c": 15.0})]
    log = run(print_shop(printers=machines, fabrics=[fabric(), fabric("mesh", plate_c=200.0)], products=TWO_FABRICS,
                         policies={"printing": {"roll_change": "join"}}),
              order("Mon 07:00"), order("Mon 07:00", "net", due="Wed2"))  # fmt: skip
    assert machine(log, start="Mon 07:40", end="Mon 08:00") == [
        ("printing", "p1", "Mon 07:40", "Mon 07:41"),
        ("tail", "p1", "Mon 07:41", "Mon 07:44"),
        ("join", "p1", "Mon 07:44", "Mon 07:54"),
        ("set_point", "p1", "Mon 07:54", "Mon 07:59"),
        ("printing", "p1", "Mon 07:59", "Mon 08:00"),
    ]


def test_one_lift_and_two_operators_two_printers_wait_for_each_other():
    # Both want a roll at 07:20. p1 gets the lift with operator 1. Without it p2 needs two people and only one is idle,
    # so it waits until the lift is free at 07:40 (operator 2 has waited longest).
    log = run(print_shop(printers=TWO_PRINTERS, crews=[crew("op", "printing", count=2)],
                         policies={"printing": {"gang_max_web_m": 1.0}}),
              order("Mon 07:00"), order("Mon 07:00"))  # fmt: skip
    assert story(log) == [
        ("roll_change", "op 1", "Mon 07:20", "Mon 07:40"),
        ("roll_change", "op 2", "Mon 07:40", "Mon 08:00"),
    ]
    assert machine(log, "p2", end="Mon 08:00")[1:] == [
        ("waiting_operator", "p2", "Mon 07:20", "Mon 07:40"),
        ("roll_change", "p2", "Mon 07:40", "Mon 08:00"),
    ]


def test_without_a_free_lift_two_people_lift_the_roll():
    # Three operators: p1 takes the lift and one of them, the other two lift the roll of p2 by hand, at the same time.
    log = run(print_shop(printers=TWO_PRINTERS, crews=[crew("op", "printing", count=3)],
                         policies={"printing": {"gang_max_web_m": 1.0}}),
              order("Mon 07:00"), order("Mon 07:00"))  # fmt: skip
    assert story(log) == [
        ("roll_change", "op 1", "Mon 07:20", "Mon 07:40"),
        ("roll_change", "op 2 + op 3", "Mon 07:20", "Mon 07:40"),
    ]


def test_a_roll_change_for_two_waits_for_the_second_person():
    # The helper comes at 08:00; the operator stands ready from 07:20 but cannot begin alone.
    machines = [printer(roll_change={"people": 2})]
    log = run(print_shop(printers=machines, crews=[crew("op", "printing"), crew("hand", "helper", shift="late")],
                         shifts=[shift("day"), shift("late", "08:00-16:00")]), order("Mon 07:00"))  # fmt: skip
    assert story(log) == [("roll_change", "op + hand", "Mon 08:00", "Mon 08:20")]
    assert machine(log, end="Mon 08:20")[1] == ("waiting_operator", "p1", "Mon 07:20", "Mon 08:00")
