"""Machines that fail by the calendar, in use or not, and worn parts renewed before they fail.

Lives are fixed here: `[9, 9, 9]` is always 9 hours (a plain 9 would be a mean). Machines are new on Monday at 00:00.
"""

import pytest

from shopsim.floor.record import RunLog
from tests.stories.shops import (
    Line,
    centre,
    crew,
    machine,
    metres,
    order,
    print_shop,
    printer,
    product,
    run,
    shift,
    shop,
    step,
    story,
)


def always(hours):
    return [hours, hours, hours]


def down(hours, repair_h, **more):
    """Fails `hours` after it was last as good as new, by the calendar."""
    return {"every_calendar_h": always(hours), "repairs": [{"share_pct": 100.0, "hours": repair_h}], **more}


def worn(hours, repair_h, **more):
    """Fails after so many running hours."""
    return {"every_running_h": always(hours), "repairs": [{"share_pct": 100.0, "hours": repair_h}], **more}


def test_a_printer_that_waits_fails_by_the_calendar_and_by_night_is_found_in_the_morning():
    # New on Monday 00:00: down 09:00-11:00 although it only waits. Its next life ends at 20:00, when it is off: found
    # on Tuesday at 07:00, repaired until 09:00, then warmed up. Up to 18:00, found on Wednesday at 07:00.
    log = run(print_shop(printers=[printer(breakdowns=down(9.0, 2.0))]), order("Mon 09:30"))
    assert machine(log, end="Wed 07:30") == [
        ("warming", "p1", "Mon 07:00", "Mon 07:20"),
        ("waiting_job", "p1", "Mon 07:20", "Mon 09:00"),
        ("breakdown", "p1", "Mon 09:00", "Mon 11:00"),
        ("roll_change", "p1", "Mon 11:00", "Mon 11:20"),
        ("printing", "p1", "Mon 11:20", "Mon 11:21"),
        ("tail", "p1", "Mon 11:21", "Mon 11:24"),
        ("waiting_job", "p1", "Mon 11:24", "Mon 15:00"),
        ("off", "p1", "Mon 15:00", "Tue 07:00"),
        ("breakdown", "p1", "Tue 07:00", "Tue 09:00"),
        ("warming", "p1", "Tue 09:00", "Tue 09:20"),
        ("waiting_job", "p1", "Tue 09:20", "Tue 15:00"),
        ("off", "p1", "Tue 15:00", "Wed 07:00"),
        ("breakdown", "p1", "Wed 07:00", "Wed 07:30"),
    ]


def test_a_failure_by_the_calendar_stops_the_web():
    # A from 07:40: 80 pieces by 09:00, 0.8 m lost at the stop, repaired until 11:00, ten more and the tail.
    log = run(print_shop(printers=[printer(breakdowns=down(9.0, 2.0))]), order("Mon 07:00", pieces=90))
    assert machine(log, start="Mon 07:40", end="Mon 11:13") == [
        ("printing", "p1", "Mon 07:40", "Mon 09:00"),
        ("breakdown", "p1", "Mon 09:00", "Mon 11:00"),
        ("printing", "p1", "Mon 11:00", "Mon 11:10"),
        ("tail", "p1", "Mon 11:10", "Mon 11:13"),
    ]
    assert metres(log) == {"bought": 100, "leader": 4, "printed": 90, "stop": 0.8, "tail_blank": 3}


def test_hands_on_a_printer_finish_before_its_failure_is_seen():
    # The roll change of 08:50-09:10 is finished; then the failure of 09:00 is found: 09:10-11:10.
    log = run(print_shop(printers=[printer(breakdowns=down(9.0, 2.0))]), order("Mon 08:50"))
    assert machine(log, start="Mon 08:50", end="Mon 11:11") == [
        ("roll_change", "p1", "Mon 08:50", "Mon 09:10"),
        ("breakdown", "p1", "Mon 09:10", "Mon 11:10"),
        ("printing", "p1", "Mon 11:10", "Mon 11:11"),
    ]


def test_a_worn_part_is_renewed_after_the_run_in_which_it_came_of_age():
    # Renewed at 60 printing minutes: A prints 70, so after its tail 08:50-08:53 the printer stands for 2 h. B waits;
    # its one minute makes the new part a minute old.
    renewed = worn(10.0, 5.0, renew_after_running_h=1.0, renewal_h=2.0)
    log = run(print_shop(printers=[printer(breakdowns=renewed)], policies={"printing": {"gang_max_web_m": 100.0}}),
              order("Mon 07:00", pieces=70), order("Mon 09:00"))  # fmt: skip
    assert machine(log, start="Mon 07:40", end="Mon 11:00") == [
        ("printing", "p1", "Mon 07:40", "Mon 08:50"),
        ("tail", "p1", "Mon 08:50", "Mon 08:53"),
        ("service", "p1", "Mon 08:53", "Mon 10:53"),
        ("printing", "p1", "Mon 10:53", "Mon 10:54"),
        ("tail", "p1", "Mon 10:54", "Mon 10:57"),
        ("waiting_job", "p1", "Mon 10:57", "Mon 11:00"),
    ]


def room(stops, *minutes, seats=1, keep="hand_over", breaks=(), **more):
    """One sewing machine and its sewer; the jobs take the minutes given."""
    jobs = [product(f"job{i}", step("sew", "sewing", each)) for i, each in enumerate(minutes)]
    base = {"work_centres": [centre("sewing", "sewing", seats=seats, stops=stops)], "products": jobs,
            "shifts": [shift("day", breaks=breaks)], "crews": [crew("sewer", "sewing", at_shift_end=keep)]}  # fmt: skip
    return shop(**{**base, **more})


def sewn(log: RunLog) -> list[Line]:
    return story(log, "sew", "machine_repair")


def test_a_seat_fails_by_the_calendar_under_the_needle():
    # A from 08:50 is stopped at 09:00 and goes on at 10:00; B waits for the seat.
    log = run(room(down(9.0, 1.0), 20.0), order("Mon 08:50", "job0"), order("Mon 09:30", "job0"))
    assert sewn(log) == [
        ("sew A", "sewer", "Mon 08:50", "Mon 09:00"),
        ("sew A", "sewer", "Mon 10:00", "Mon 10:10"),
        ("sew B", "sewer", "Mon 10:10", "Mon 10:30"),
    ]
    assert log.column("operations", "worked_min").tolist() == [10, 10, 20]


def test_a_free_seat_fails_by_the_calendar_and_is_repaired_by_the_fitter():
    # The only seat fails at 09:00; the fitter comes at 09:30. A comes at 09:10 and starts at 10:30, having waited for
    # a seat all the time.
    stops = down(9.0, 1.0, repair_at="bench")
    log = run(room(stops, 20.0, shifts=[shift("day"), shift("late", "09:30-17:30")],
                   work_centres=[centre("sewing", "sewing", stops=stops), centre("bench", "repair")],
                   crews=[crew("sewer", "sewing"), crew("fitter", "bench", shift="late")]),
              order("Mon 09:10", "job0"))  # fmt: skip
    assert sewn(log)[:2] == [
        ("machine_repair", "fitter", "Mon 09:30", "Mon 10:30"),
        ("sew A", "sewer", "Mon 10:30", "Mon 10:50"),
    ]
    assert log.column("operations", "wait_seat_min")[1] == 80


def test_a_seat_fails_again_and_with_its_last_stitch():
    # Down 03:00-04:00, then from 07:00 for an hour, unused both times. B is finished at 11:00 as the seat fails again.
    log = run(room(down(3.0, 1.0), 20.0), order("Mon 07:10", "job0"), order("Mon 10:40", "job0"),
              order("Mon 11:10", "job0"))  # fmt: skip
    assert sewn(log) == [
        ("sew A", "sewer", "Mon 08:00", "Mon 08:20"),
        ("sew B", "sewer", "Mon 10:40", "Mon 11:00"),
        ("sew C", "sewer", "Mon 12:00", "Mon 12:20"),
    ]


def test_two_seats_fail_each_on_its_own():
    # Both fail at 09:00, the one A is on and the free one, for an hour. From 10:00 A goes on beside B.
    log = run(room(down(9.0, 1.0), 20.0, seats=2, crews=[crew("sewer", "sewing", count=2)]),
              order("Mon 08:50", "job0"), order("Mon 09:30", "job0"))  # fmt: skip
    assert sewn(log) == [
        ("sew A", "sewer 1", "Mon 08:50", "Mon 09:00"),
        ("sew B", "sewer 2", "Mon 10:00", "Mon 10:20"),
        ("sew A", "sewer 1", "Mon 10:00", "Mon 10:10"),
    ]


@pytest.mark.parametrize("keep", ["keep", "hand_over"])
def test_a_seat_that_fails_by_night_is_down_in_the_morning(keep):
    # A is put down at 15:00 with 10 min left. The seat fails at 18:00 and is down for 15 h by the clock.
    log = run(room(down(18.0, 15.0), 20.0, keep=keep), order("Mon 14:50", "job0"))
    assert sewn(log) == [
        ("sew A", "sewer", "Mon 14:50", "Mon 15:00"),
        ("sew A", "sewer", "Tue 09:00", "Tue 09:10"),
    ]


def test_a_seat_that_fails_in_a_break():
    # A from 11:50 has 10 min behind it and is put down at the break 12:00-12:30. Down 12:15-13:15.
    log = run(room(down(12.25, 1.0), 20.0, breaks=("12:00-12:30",)), order("Mon 11:50", "job0"))
    assert sewn(log) == [
        ("sew A", "sewer", "Mon 11:50", "Mon 12:00"),
        ("sew A", "sewer", "Mon 13:15", "Mon 13:25"),
    ]
    assert log.column("operations", "worked_min").tolist() == [10, 10]


def test_a_seat_that_fails_under_two_people_of_different_crews():
    # The second comes at 09:00: 30 min together from then, stopped at 09:10 for an hour.
    stops = down(9 + 1 / 6, 1.0)
    log = run(room(stops, 30.0, work_centres=[centre("sewing", "sewing", stops=stops, second_person_above_m=0.5,
                                                     two_person_labour_factor=2.0)],
                   shifts=[shift("day"), shift("late", "09:00-17:00")],
                   crews=[crew("sewer", "sewing"), crew("mate", "sewing", shift="late")]),
              order("Mon 08:50", "job0"))  # fmt: skip
    assert sewn(log) == [
        ("sew A", "mate + sewer", "Mon 09:00", "Mon 09:10"),
        ("sew A", "sewer + mate", "Mon 10:10", "Mon 10:30"),
    ]


def test_a_worn_seat_is_renewed_between_two_pieces():
    # Due at 60 min at the needle: A and B make 80, so it stands 08:20-08:50. Not renewed it would fail at 120.
    stops = worn(2.0, 5.0, renew_after_running_h=1.0, renewal_h=0.5)
    log = run(room(stops, 40.0), *[order("Mon 07:00", "job0") for _ in range(3)])
    assert sewn(log) == [
        ("sew A", "sewer", "Mon 07:00", "Mon 07:40"),
        ("sew B", "sewer", "Mon 07:40", "Mon 08:20"),
        ("sew C", "sewer", "Mon 08:50", "Mon 09:30"),
    ]


def test_a_repair_makes_a_seat_as_good_as_new():
    # A of 85 min fails at 75 and is repaired for an hour. The part is 10 min old when A is done, 40 after B and 70
    # after C: past the 50 at which it is renewed, for half an hour before D.
    stops = worn(1.25, 1.0, renew_after_running_h=50 / 60, renewal_h=0.5)
    log = run(room(stops, 85.0, 30.0), order("Mon 07:00", "job0"),
              *[order("Mon 07:00", "job1") for _ in range(3)])  # fmt: skip
    assert sewn(log) == [
        ("sew A", "sewer", "Mon 07:00", "Mon 08:15"),
        ("sew A", "sewer", "Mon 09:15", "Mon 09:25"),
        ("sew B", "sewer", "Mon 09:25", "Mon 09:55"),
        ("sew C", "sewer", "Mon 09:55", "Mon 10:25"),
        ("sew D", "sewer", "Mon 10:55", "Mon 11:25"),
    ]
