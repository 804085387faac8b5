"""The offline route: printed rolls dry, wait for the hot drum, and go over it with two people."""

import math

from tests.stories.shops import (
    centre,
    clock,
    crew,
    endings,
    metres,
    order,
    print_shop,
    printed,
    printer,
    product,
    rows,
    run,
    step,
    story,
    to_print,
)

# Speed: 0.75 x pi x D / dwell with D = 0.8/pi m and 36 s: 0.6 m in 0.6 min = 1 m/min.
DRUM = {"id": "drum", "drum_m": 0.8 / math.pi, "wrapped_share": 0.75, "dwell_s": 36.0, "warm_up_min": 90.0,
        "set_up_min": 10.0, "waste_m_per_roll": 2.0, "reject_pct": 0.0}  # fmt: skip
WET = printer(modes=[{"id": "std", "area_rate_m2_per_h": 60.0, "rated_width_m": 1.0, "achieved_share": 1.0}])
WET["fixation"] = {"kind": "offline", "calender": "drum", "drying_min": 15.0, "head_to_take_up_m": 2.0}


def offline(people=2, count=2, **changes):
    base = {"printers": [WET], "calenders": [{**DRUM, "people": people}],
            "crews": [crew("op", "printing", count=count)]}  # fmt: skip
    return print_shop(**{**base, **changes})


def test_a_wet_roll_dries_and_waits_for_the_drum_and_two_people():
    # No plate to warm: roll change 07:00-07:20, 10 m to 07:30, 2 m to the take-up to 07:32, dry at 07:47. The drum,
    # switched on at 07:00, is hot at 08:30: set-up 10 min and 10 m at 1 m/min with both operators, to 08:50; the one
    # idle the longest, operator 2, calls the other.
    # Web: 10 printed, 2 blank behind, 2 lost at the calender, 4 leader.
    log = run(offline(), order("Mon 07:00", pieces=10))
    assert printed(log)[0][2:] == ("Mon 07:20", "Mon 07:32")
    assert story(log) == [
        ("roll_change", "op 1", "Mon 07:00", "Mon 07:20"),
        ("calender", "op 2 + op 1", "Mon 08:30", "Mon 08:50"),
    ]
    assert metres(log) == {"bought": 100, "leader": 4, "printed": 10, "calender": 2, "tail_blank": 2}


def test_the_drum_waits_for_the_second_person():
    # One operator makes the roll change of a second printer 08:20-08:40, when the drum has been hot for 10 min.
    second = {**WET, "id": "p2"}
    products = [product("one", to_print(printers=["p1"])), product("two", to_print(printers=["p2"]))]
    log = run(offline(printers=[WET, second], products=products), order("Mon 07:00", "one", pieces=10),
              order("Mon 08:20", "two", pieces=10))  # fmt: skip
    assert story(log)[:3] == [
        ("roll_change", "op 1", "Mon 07:00", "Mon 07:20"),
        ("roll_change", "op 2", "Mon 08:20", "Mon 08:40"),
        ("calender", "op 2 + op 1", "Mon 08:40", "Mon 09:00"),
    ]


def test_what_waits_overnight_waits_for_the_drum_in_the_morning_too():
    # A is dry at 14:47 and on the drum 14:47-15:00 (13 of 20 min); the 7 min left are done on Tuesday when the drum is
    # hot, from 08:30, not at 07:00.
    log = run(offline(), order("Mon 14:00", pieces=10))
    assert story(log) == [
        ("roll_change", "op 1", "Mon 14:00", "Mon 14:20"),
        ("calender", "op 2 + op 1", "Mon 14:47", "Mon 15:00"),
        ("calender", "op 1 + op 2", "Tue 08:30", "Tue 08:37"),
    ]


def test_other_work_is_done_while_the_drum_warms_up():
    # One operator does both; B is 30 min of packing from 07:20, C 60 min from 08:00 and still on at 08:30: the drum
    # (one person here) is used from 09:00.
    pack = product("pack", step("work", "bench", 60.0))
    log = run(offline(people=1, count=1, crews=[crew("op", "printing bench")], work_centres=[centre("bench")],
                      products=[product("banner", to_print()), pack]),
              order("Mon 07:00", pieces=10), order("Mon 08:00", "pack"))  # fmt: skip
    assert story(log) == [
        ("roll_change", "op", "Mon 07:00", "Mon 07:20"),
        ("work B", "op", "Mon 08:00", "Mon 09:00"),
        ("calender", "op", "Mon 09:00", "Mon 09:20"),
    ]


def test_pieces_of_one_roll_leave_the_drum_together():
    # Two orders in one run: 12 m, 10 + 12 min on the drum from 08:30, both on to packing at 08:52.
    packed = product("banner", to_print(), step("pack", "table", 1.0))
    log = run(offline(products=[packed], work_centres=[centre("table", "packing", seats=2)],
                      crews=[crew("op", "printing", count=2), crew("packer", "table", count=2)]),
              order("Mon 07:00", pieces=6), order("Mon 07:00", pieces=6))  # fmt: skip
    assert [line[2] for line in story(log, "pack")] == ["Mon 08:52", "Mon 08:52"]
    assert [row["bundle"] for row in rows(log, "calendered")] == [0, 1]
    assert story(log, "calender")[0][3] == "Mon 08:52"


def test_rejects_of_the_calender_are_made_again():
    # 20 % rejects; with seed 1 two of the ten pieces are lost at 08:50, both of one bundle, and none at the second go.
    # Printed again 08:50-08:52, on the take-up 08:54, dry 09:09, drum 10 + 2 min: complete at 09:21.
    log = run(offline(calenders=[{**DRUM, "reject_pct": 20.0}]), order("Mon 07:00", pieces=10))
    assert [(clock(row["at"]), row["attempt"]) for row in rows(log, "remakes")] == [("Mon 08:50", 0), ("Mon 08:50", 0)]
    assert printed(log)[2:] == [("2 of A", "p1", "Mon 08:50", "Mon 08:54")]
    assert endings(log)[0][2] == "Mon 09:21"
