"""The tail: printed web must pass the plate, but only once where jobs follow on the same web."""

import pytest

from tests.stories.shops import fabric, machine, metres, order, print_shop, printed, printer, run

ONE_JOB_A_RUN = {"printing": {"gang_max_web_m": 1.0}}


def test_ten_jobs_on_one_web_have_one_tail():
    # Ten runs of 1 m, 07:40-07:50 without a stop; the tail of 3 m takes 3 min once. The first piece leaves the head at
    # 07:41 and is off after 3 m more, at 07:44, while the others are printed; the tenth at 07:53.
    # Web: leader 4, printed 10, blank behind the last print 3.
    log = run(print_shop(policies=ONE_JOB_A_RUN), *(order("Mon 07:00") for _ in range(10)))
    assert machine(log) == [
        ("warming", "p1", "Mon 07:00", "Mon 07:20"),
        ("roll_change", "p1", "Mon 07:20", "Mon 07:40"),
        ("printing", "p1", "Mon 07:40", "Mon 07:50"),
        ("tail", "p1", "Mon 07:50", "Mon 07:53"),
        ("waiting_job", "p1", "Mon 07:53", "Mon 15:00"),
    ]
    assert printed(log)[0] == ("1 of A", "p1", "Mon 07:40", "Mon 07:44")
    assert printed(log)[9] == ("1 of J", "p1", "Mon 07:49", "Mon 07:53")
    assert metres(log) == {"bought": 100, "leader": 4, "printed": 10, "tail_blank": 3}


def test_jobs_with_a_gap_between_them_have_a_tail_each():
    # A: 07:40-07:41, tail to 07:44. B comes at 08:00 and finds the roll on and the plate hot: 08:00-08:01, tail 08:04.
    log = run(print_shop(), order("Mon 07:00"), order("Mon 08:00"))
    assert machine(log, start="Mon 07:40", end="Mon 08:10") == [
        ("printing", "p1", "Mon 07:40", "Mon 07:41"),
        ("tail", "p1", "Mon 07:41", "Mon 07:44"),
        ("waiting_job", "p1", "Mon 07:44", "Mon 08:00"),
        ("printing", "p1", "Mon 08:00", "Mon 08:01"),
        ("tail", "p1", "Mon 08:01", "Mon 08:04"),
        ("waiting_job", "p1", "Mon 08:04", "Mon 08:10"),
    ]
    assert metres(log) == {"bought": 100, "leader": 4, "printed": 2, "tail_blank": 6}


def test_a_job_that_comes_while_the_tail_is_fed_waits_for_its_end():
    # A is printed 07:40-07:50; B comes at 07:52, in mid-tail: 07:53-07:54, its own tail to 07:57.
    log = run(print_shop(), order("Mon 07:00", pieces=10), order("Mon 07:52"))
    assert printed(log) == [
        ("8 of A", "p1", "Mon 07:40", "Mon 07:53"),
        ("2 of A", "p1", "Mon 07:40", "Mon 07:53"),
        ("1 of B", "p1", "Mon 07:53", "Mon 07:57"),
    ]


@pytest.mark.parametrize(
    ("at_cap", "off"),
    [
        # Cap: 0.8 m / 32 s = 1.5 m/min. Printed at 1 m/min the tail of 3 m takes 3 min, at the cap 2 min.
        (False, "Mon 07:44"),
        (True, "Mon 07:43"),
    ],
)
def test_a_tail_may_be_fed_at_the_plates_cap(at_cap, off):
    machines = [printer(fixation={"tail_at_cap_speed": at_cap})]
    log = run(print_shop(printers=machines, fabrics=[fabric(dwell_s=32.0)]), order("Mon 07:00"))
    assert printed(log) == [("1 of A", "p1", "Mon 07:40", off)]


def test_the_plate_caps_the_speed():
    # 0.8 m / 96 s = 0.5 m/min, although the head could print 1 m/min: 10 m take 20 min and the tail 6.
    log = run(print_shop(fabrics=[fabric(dwell_s=96.0)]), order("Mon 07:00", pieces=10))
    assert machine(log, start="Mon 07:40", end="Mon 08:06") == [
        ("printing", "p1", "Mon 07:40", "Mon 08:00"),
        ("tail", "p1", "Mon 08:00", "Mon 08:06"),
    ]


def test_the_days_last_tail_is_through_before_everybody_goes_home():
    # 300 pieces of 2 m on one long roll. From 07:40 to 15:00 are 440 min; less 3 for the tail leaves 437, so 218 whole
    # bands of 2 m are printed by 14:56; the tail ends at 14:59. Tuesday: warm at 07:20, 164 m to 10:04, tail 10:07.
    log = run(print_shop(fabrics=[fabric(roll_length_m=1000.0)]), order("Mon 07:00", pieces=300, width_m=1.0,
                                                                       height_m=2.0))  # fmt: skip
    assert machine(log, start="Mon 07:40", end="Tue 10:10") == [
        ("printing", "p1", "Mon 07:40", "Mon 14:56"),
        ("tail", "p1", "Mon 14:56", "Mon 14:59"),
        ("waiting_job", "p1", "Mon 14:59", "Mon 15:00"),
        ("off", "p1", "Mon 15:00", "Tue 07:00"),
        ("warming", "p1", "Tue 07:00", "Tue 07:20"),
        ("printing", "p1", "Tue 07:20", "Tue 10:04"),
        ("tail", "p1", "Tue 10:04", "Tue 10:07"),
        ("waiting_job", "p1", "Tue 10:07", "Tue 10:10"),
    ]
    assert metres(log) == {"bought": 1000, "leader": 4, "printed": 600, "tail_blank": 6}
