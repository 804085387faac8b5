"""Seats: bundles, change-overs, the same set-up first, machines that fail, faulty seams that come back, two seats."""

import pytest

from shopsim.distributions import Exponential
from shopsim.streams import Draws, stream
from tests.stories.shops import (
    centre,
    clock,
    crew,
    endings,
    order,
    print_shop,
    product,
    rows,
    run,
    shift,
    shop,
    step,
    story,
)
from tests.stories.shops import to_print as printing

HEM = {"all_edges": "hem"}
KEDER = {"all_edges": "keder"}


def room(*products, sewers=1, shifts=None, **place):
    return shop(work_centres=[centre("sewing", "sewing", **place)], products=list(products),
                crews=[crew("sewer", "sewing", count=sewers)], shifts=shifts or [shift("day")])  # fmt: skip


def test_a_large_order_is_shared_by_two_sewers_in_bundles():
    # 20 pieces of 5 min in bundles of 8, 8 and 4, each with 3 min of set-up: 43, 43 and 23 min. Two seats: 07:00-07:43
    # both, then the rest 07:43-08:06. The order is complete when its last bundle is.
    log = run(room(product("job", step("sew", "sewing", 5.0)), sewers=2, seats=2, set_up_min=3.0),
              order("Mon 07:00", "job", pieces=20))  # fmt: skip
    assert story(log) == [
        ("sew A", "sewer 1", "Mon 07:00", "Mon 07:43"),
        ("sew A", "sewer 2", "Mon 07:00", "Mon 07:43"),
        ("sew A", "sewer 1", "Mon 07:43", "Mon 08:06"),
    ]
    assert endings(log)[0][2] == "Mon 08:06"


def test_seats_count_as_well_as_people():
    # Three sewers at two seats: the third job waits for a seat until 08:00, though a sewer is idle.
    log = run(room(product("job", step("sew", "sewing", 60.0)), sewers=3, seats=2),
              *(order("Mon 07:00", "job") for _ in range(3)))  # fmt: skip
    assert [line[2] for line in story(log)] == ["Mon 07:00", "Mon 07:00", "Mon 08:00"]
    assert log.column("operations", "wait_seat_min").tolist() == [0, 0, 60]


@pytest.mark.parametrize(
    ("rule", "turn"),
    [("first_come", "ABC"), ("due_date", "BCA"), ("shortest", "CAB"), ("longest", "BAC")],
)
def test_a_seat_takes_the_next_task_by_its_rule(rule, turn):
    # Waiting at 07:00: A (20 min, due Friday), B (30 min, due Tuesday), C (10 min, due Thursday).
    jobs = [product(f"job{minutes}", step("sew", "sewing", float(minutes))) for minutes in (10, 20, 30)]
    log = run(room(*jobs, queue_rule=rule), order("Mon 06:00", "job20", due="Fri"),
              order("Mon 06:01", "job30", due="Tue"), order("Mon 06:02", "job10", due="Thu"))  # fmt: skip
    assert "".join(line[0][-1] for line in story(log)) == turn


@pytest.mark.parametrize(
    ("rule", "turns"),
    [
        # First come: hem, keder, hem; 10 min each and 5 min whenever the edge is another (the first time too).
        ("first_come", [("A", "07:00", "07:15"), ("B", "07:15", "07:30"), ("C", "07:30", "07:45")]),
        # Same set-up first: the second hem before the keder, one change-over less.
        ("same_set_up", [("A", "07:00", "07:15"), ("C", "07:15", "07:25"), ("B", "07:25", "07:40")]),
    ],
)
def test_the_same_set_up_first_saves_change_overs(rule, turns):
    hem = product("hem", step("sew", "sewing", 10.0, **HEM))
    keder = product("keder", step("sew", "sewing", 10.0, **KEDER))
    log = run(room(hem, keder, queue_rule=rule, change_over_min=5.0),
              order("Mon 06:00", "hem"), order("Mon 06:01", "keder"), order("Mon 06:02", "hem"))  # fmt: skip
    assert story(log) == [
        (f"sew {name}", "sewer", f"Mon {start}", f"Mon {end}") for name, start, end in turns
    ]  # fmt: skip


def test_a_cutter_is_loaded_anew_for_each_run():
    # Loading a printed roll takes 8 min. Run 1 (A and B) is off at 07:45, run 2 (C) at 08:03. A 07:45-07:58 with 8 min
    # of loading, B 07:58-08:03 from the same roll, C 08:03-08:16 from another.
    cut = product("banner", printing(), step("cut", "cutter", 5.0))
    log = run(print_shop(products=[cut], work_centres=[centre("cutter", "cutting", change_over_min=8.0)],
                         crews=[crew("op", "printing"), crew("cut", "cutter")]),
              order("Mon 07:00"), order("Mon 07:00"), order("Mon 07:59"))  # fmt: skip
    assert story(log, "cut") == [
        ("cut A", "cut", "Mon 07:45", "Mon 07:58"),
        ("cut B", "cut", "Mon 07:58", "Mon 08:03"),
        ("cut C", "cut", "Mon 08:03", "Mon 08:16"),
    ]


@pytest.mark.parametrize(("breaks", "first_ends"), [((), "Mon 07:20"), (("07:10-07:40",), "Mon 07:50")])
def test_a_sewing_machine_fails_by_running_time_and_the_piece_waits_on_it(breaks, first_ends):
    # Mean 60 running minutes between stops. With seed 1 the first comes after 22.85 min at the needle, idle minutes and
    # breaks not counted, the next 23.74 later. Two pieces of 20 min: A 07:00-07:20, or to 07:50 with a break of half an
    # hour. B from 08:00 is stopped after 2.85 min, the repair takes 60 min, then the other 17.15 min.
    gaps = Draws(stream(1, 0, "stops/sewing/0/gap"), Exponential(60.0), block=64)
    first_min = gaps.next()
    assert 20 < first_min < 40 < first_min + gaps.next()
    stops = {"every_running_h": 1.0, "repairs": [{"share_pct": 100.0, "hours": 1.0}]}
    scenario = room(product("job", step("sew", "sewing", 20.0)), shifts=[shift("day", breaks=breaks)], stops=stops)
    log = run(scenario, order("Mon 07:00", "job"), order("Mon 08:00", "job"))
    down = 480 + (first_min - 20)
    assert story(log) == [
        ("sew A", "sewer", "Mon 07:00", first_ends),
        ("sew B", "sewer", "Mon 08:00", clock(down)),
        ("sew B", "sewer", clock(down + 60), "Mon 09:20"),
    ]
    assert log.column("operations", "worked_min").tolist() == pytest.approx(
        [20, first_min - 20, 40 - first_min], abs=1e-6
    )


def test_a_faulty_seam_is_unpicked_and_looked_at_again():
    # Every seam is faulty, seen, and repaired in 15 min. A is found at 07:12, when B is at the needle until 07:21; then
    # it is mended, before C, which came first but is no repair, and looked at again 07:36-07:38.
    job = product("job", step("sew", "sewing", 10.0), step("inspect", "look", 2.0))
    quality = {"sewing_fault_pct": 100.0, "sewing_repaired_pct": 100.0}
    log = run(shop(work_centres=[centre("sewing", "sewing"), centre("look", "inspection")], products=[job],
                   crews=[crew("sewer", "sewing"), crew("eye", "look")], policies={"quality": quality}),
              order("Mon 07:00", "job"), order("Mon 07:11", "job"), order("Mon 07:12", "job"))  # fmt: skip
    assert story(log)[:5] == [
        ("sew A", "sewer", "Mon 07:00", "Mon 07:10"),
        ("inspect A", "eye", "Mon 07:10", "Mon 07:12"),
        ("sew B", "sewer", "Mon 07:11", "Mon 07:21"),
        ("inspect B", "eye", "Mon 07:21", "Mon 07:23"),
        ("repair A", "sewer", "Mon 07:21", "Mon 07:36"),
    ]
    assert endings(log)[0][2] == "Mon 07:38"
    assert [row["reprints"] for row in rows(log, "orders")] == [0, 0, 0]
