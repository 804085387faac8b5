"""Printers that stop: minor stops, breakdowns, repairs by hand or by the clock, daily care, service, shift starts.

Gaps between stops are exponential in printing minutes; stories read the first ones from their named streams, check that
they fall where the story needs them, and count everything else by hand.
"""

import pytest

from shopsim.distributions import Exponential
from shopsim.streams import Draws, stream
from tests.stories.shops import (
    centre,
    clock,
    crew,
    machine,
    metres,
    order,
    print_shop,
    printed,
    printer,
    rows,
    run,
    shift,
    story,
)

MINOR = {"every_running_h": 1.0, "minutes": 4.0, "restart_min": 3.0, "waste_m": 1.0}
DOWN = {"every_running_h": 1.0, "repairs": [{"share_pct": 100.0, "hours": 2.0}]}


def gaps(purpose, seed):
    """The first two gaps between stops, printing minutes, at a mean of 60."""
    draws = Draws(stream(seed, 0, f"printer/p1/{purpose} gap"), Exponential(60.0), block=64)
    return draws.next(), draws.next()


def with_stops(seed, **stops):
    return print_shop(printers=[printer(**stops)], study={"seed": seed})


def test_a_minor_stop_that_spares_the_piece_costs_minutes_and_a_metre():
    # Seed 6: the stop comes after 9.24 printing minutes, the next 56.77 later, so one in 20 m. 4 min by hand, 3 to
    # restart, 1 m lost; the other 10.76 m follow: the run ends at 07:40 + 20 + 7 = 08:07, the tail at 08:10.
    first, second = gaps("minor", 6)
    assert first < 20 < first + second
    log = run(with_stops(6, minor_stops={**MINOR, "loses_piece_pct": 0.0}), order("Mon 07:00", pieces=20))
    stop = 460 + first
    assert machine(log, start="Mon 07:40", end="Mon 08:10") == [
        ("printing", "p1", "Mon 07:40", clock(stop)),
        ("minor_stop", "p1", clock(stop), clock(stop + 7)),
        ("printing", "p1", clock(stop + 7), "Mon 08:07"),
        ("tail", "p1", "Mon 08:07", "Mon 08:10"),
    ]
    assert metres(log) == {"bought": 100, "leader": 4, "printed": 20, "stop": 1, "tail_blank": 3}
    assert rows(log, "remakes") == []


def test_a_minor_stop_inside_an_image_loses_its_piece_which_is_printed_again_in_the_next_run():
    # As above, but the piece under the head (0.24 m of it printed) is lost with the metre of the stop: the other ten
    # follow from 07:56.24 to 08:06.24, off 3 min later as the next run goes on: the lost one and B, 2 m, tail 08:11.24.
    first, second = gaps("minor", 6)
    assert 9 < first < 10 and second > 30
    log = run(with_stops(6, minor_stops={**MINOR, "loses_piece_pct": 100.0}),
              order("Mon 07:00", pieces=20), order("Mon 07:45", pieces=1, due="Tue"))  # fmt: skip
    on = 460 + first + 7
    assert printed(log) == [
        ("8 of A", "p1", "Mon 07:40", clock(on + 13)),
        ("8 of A", "p1", "Mon 07:40", clock(on + 13)),
        ("3 of A", "p1", "Mon 07:40", clock(on + 13)),
        ("1 of A", "p1", clock(on + 10), clock(on + 15)),
        ("1 of B", "p1", clock(on + 10), clock(on + 15)),
    ]
    assert metres(log)["stop"] == pytest.approx(1 + first - 9, abs=1e-6)
    assert metres(log)["printed"] == 21


def test_a_breakdown_waits_for_the_technician():
    # Seed 5: down after 18.03 printing minutes, with 0.03 m of the nineteenth piece printed, which is lost (80 % are)
    # with 0.8 m of the stop. The technician comes at 09:00 and needs 2 h. Then the twentieth and the nineteenth again.
    first, second = gaps("breakdown", 5)
    assert 18 < first < 19 and second > 20
    log = run(print_shop(printers=[printer(breakdowns={**DOWN, "repair_at": "workshop"})], study={"seed": 5},
                         work_centres=[centre("workshop", "repair")],
                         shifts=[shift("day"), shift("late", "09:00-17:00")],
                         crews=[crew("op", "printing"), crew("tech", "workshop", shift="late")]),
              order("Mon 07:00", pieces=20))  # fmt: skip
    assert story(log, "machine_repair") == [("machine_repair", "tech", "Mon 09:00", "Mon 11:00")]
    assert machine(log, start="Mon 07:40")[:4] == [
        ("printing", "p1", "Mon 07:40", clock(460 + first)),
        ("breakdown", "p1", clock(460 + first), "Mon 11:00"),
        ("printing", "p1", "Mon 11:00", "Mon 11:02"),
        ("tail", "p1", "Mon 11:02", "Mon 11:05"),
    ]
    assert metres(log)["stop"] == pytest.approx(0.8 + first - 18, abs=1e-6)


def test_after_a_night_of_repair_the_plate_is_warmed_up_again():
    # Seed 1: down on Monday at 08:02.83 for 26 h of clock time, so until Tuesday 10:02.83. The plate went cold in the
    # night: 20 min of warm-up. The 23rd piece is lost; the other 17 m are printed and the lost one again: 18 min.
    first, second = gaps("breakdown", 1)
    assert 22 < first < 23 and second > 20
    repairs = [{"share_pct": 100.0, "hours": 26.0}]
    log = run(with_stops(1, breakdowns={**DOWN, "repairs": repairs}), order("Mon 07:00", pieces=40))
    up = 460 + first + 26 * 60
    assert machine(log, start="Tue 10:00", end="Tue 10:50") == [
        ("breakdown", "p1", "Tue 10:00", clock(up)),
        ("warming", "p1", clock(up), clock(up + 20)),
        ("printing", "p1", clock(up + 20), clock(up + 38)),
        ("tail", "p1", clock(up + 38), clock(up + 41)),
        ("waiting_job", "p1", clock(up + 41), "Tue 10:50"),
    ]


def test_a_short_repair_leaves_the_plate_hot():
    # Seed 1 again, but half an hour by the clock: printing goes on at once.
    first, _ = gaps("breakdown", 1)
    log = run(with_stops(1, breakdowns={**DOWN, "repairs": [{"share_pct": 100.0, "hours": 0.5}]}),
              order("Mon 07:00", pieces=40))  # fmt: skip
    assert [line[0] for line in machine(log, start="Mon 07:40")[:3]] == ["printing", "breakdown", "printing"]
    assert machine(log, start="Mon 07:40")[1][3] == clock(460 + first + 30)


THREE_SHIFTS = [shift("early", "06:00-14:00"), shift("late", "14:00-22:00"), shift("night", "22:00-06:00")]
ROUND = {"shifts": THREE_SHIFTS,
         "crews": [crew(f"{name}-op", "printing", shift=name) for name in ("early", "late", "night")]}  # fmt: skip


def test_daily_care_is_done_every_morning_also_where_shifts_never_end():
    # Round the clock from Monday 06:00 on. Care of 20 min at the first shift of each day, 40 more on Monday; the plate
    # warms up meanwhile, and on Tuesday it is still hot.
    log = run(print_shop(printers=[printer(care={"daily_min": 20.0, "weekly_min": 40.0})], **ROUND))
    assert story(log, "care")[:3] == [
        ("care", "early-op", "Mon 06:00", "Mon 07:00"),
        ("care", "early-op", "Tue 06:00", "Tue 06:20"),
        ("care", "early-op", "Wed 06:00", "Wed 06:20"),
    ]
    assert machine(log, start="Mon 06:00", end="Tue 07:00") == [
        ("care", "p1", "Mon 06:00", "Mon 07:00"),
        ("waiting_job", "p1", "Mon 07:00", "Tue 06:00"),
        ("care", "p1", "Tue 06:00", "Tue 06:20"),
        ("waiting_job", "p1", "Tue 06:20", "Tue 07:00"),
    ]


def test_each_shift_begins_with_a_nozzle_check():
    # A at 07:00 (check of the early shift 07:20-07:23 after the roll change); at 15:00 the late shift has not
    # looked and checks before B; at 16:00 it has, and C is printed at once.
    check = {
        "minutes": 3.0,
        "test_strip_m": 0.0,
        "fails_pct": 0.0,
        "fails_after_idle_pct": 0.0,
        "every_running_h": None,
    }
    log = run(print_shop(printers=[printer(nozzle_check=check)], **ROUND), order("Mon 07:00"), order("Mon 15:00"),
              order("Mon 16:00"))  # fmt: skip
    assert story(log, "nozzle_check")[:2] == [
        ("nozzle_check", "early-op", "Mon 07:20", "Mon 07:23"),
        ("nozzle_check", "late-op", "Mon 15:00", "Mon 15:03"),
    ]
    assert [line[2] for line in printed(log)] == ["Mon 07:23", "Mon 15:03", "Mon 16:00"]


def test_planned_service_takes_attended_hours_and_a_warm_up_after_it():
    # Due every two days, at the first start: 10 h of service on Wednesday take the day's 8 and, on Thursday, 2 more,
    # then the warm-up 09:00-09:20, and A's roll.
    log = run(print_shop(printers=[printer(care={"service_every_days": 2.0, "service_h": 10.0})]), order("Tue 16:00"))
    assert machine(log, start="Wed 07:00", end="Thu 09:40") == [
        ("service", "p1", "Wed 07:00", "Thu 09:00"),
        ("warming", "p1", "Thu 09:00", "Thu 09:20"),
        ("roll_change", "p1", "Thu 09:20", "Thu 09:40"),
    ]
