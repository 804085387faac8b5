"""Limited room before a place: finished work keeps its seat until there is room; people go on with other work."""

import pytest

from shopsim.distributions import Exponential
from shopsim.measures.audit import audit
from shopsim.measures.kpis import measures_of
from shopsim.measures.spans import SEAT_STATES, seat_spans
from shopsim.measures.time_split import time_split
from shopsim.measures.why_late import order_story
from shopsim.streams import Draws, stream
from tests.stories.shops import (
    centre,
    clock,
    crew,
    endings,
    merged,
    order,
    print_shop,
    printed,
    product,
    rows,
    run,
    shift,
    shop,
    step,
    story,
    to_print,
)

SHORT_THEN_LONG = product("job", step("work", "first", 10.0), step("work", "second", 30.0))


def line(room=0, **changes):
    """Ann needs 10 min a piece at the first place, Bob 30 at the second, which has little room before it."""
    second = merged(centre("second", room_before_bundles=room, queue_rule="first_come"), changes.pop("second", {}))
    base = {"work_centres": [centre("first"), second], "products": [SHORT_THEN_LONG],
            "crews": [crew("ann", "first"), crew("bob", "second")]}  # fmt: skip
    return shop(**{**base, **changes})


def sound(scenario, *orders):
    log = run(scenario, *orders)
    assert audit(log, scenario) == []
    return log


def jobs(count, at="Mon 07:00", **more):
    return [order(at, "job", **more) for _ in range(count)]


def times(log, place):
    """Start and end of the work at a place, in turn, on Monday."""
    number = log.places.index(place)
    found = [row for row in rows(log, "operations") if row["place"] == number]
    return [(f"{row['order']:g}", clock(row["start"])[4:], clock(row["end"])[4:]) for row in found]


def blocked(log):
    """Who waited for room, from when to when, and the seat kept."""
    return [
        (f"{row['order']:g}", clock(row["start"]), clock(row["end"]),
         log.places[int(row["kept_place"])] if row["kept_place"] >= 0 else "no seat")
        for row in rows(log, "room_waits")
    ]  # fmt: skip


def first_seat(scenario, log, until=600.0):
    """The spans of the first place's seat from Monday 07:00 on."""
    spans = seat_spans(log, scenario)
    mine = (spans.place == 0) & (spans.start >= 420) & (spans.start < until)
    names = [SEAT_STATES[state] for state in spans.state[mine].tolist()]
    return list(zip(names, spans.start[mine].tolist(), spans.end[mine].tolist(), strict=True))


def test_finished_work_keeps_its_seat_while_there_is_no_room():
    # A 07:00-07:10, then at the second place until 07:40. B is finished at 07:20 and keeps its seat until 07:40; only
    # then C is begun, which waits from 07:50 to 08:10.
    scenario = line()
    log = sound(scenario, *jobs(3))
    assert times(log, "first") == [("0", "07:00", "07:10"), ("1", "07:10", "07:20"), ("2", "07:40", "07:50")]
    assert times(log, "second") == [("0", "07:10", "07:40"), ("1", "07:40", "08:10"), ("2", "08:10", "08:40")]
    assert blocked(log) == [("1", "Mon 07:20", "Mon 07:40", "first"), ("2", "Mon 07:50", "Mon 08:10", "first")]
    assert first_seat(scenario, log) == [
        ("busy", 420, 440), ("blocked", 440, 460), ("busy", 460, 470), ("blocked", 470, 490), ("idle", 490, 900),
    ]  # fmt: skip
    # Of 40 open hours a week: blocked 40 min at the first place.
    found = measures_of(log, scenario)
    assert found["blocked_share.first"] == pytest.approx(40 / 2400)
    assert found["blocked_share.second"] == 0
    split = time_split(log, scenario).set_index(["id", "state"])
    assert split.loc[("first", "blocked"), "minutes"] == 40
    assert split.loc[("first", "blocked"), "term"] == "ADET"


def test_every_minute_of_a_blocked_order_has_its_reason():
    # B waits 10 min for the seat, is worked at, waits 20 min for room. C waits for the seat while A and B are worked
    # at and while B keeps it.
    scenario = line()
    log = run(scenario, *jobs(3))
    assert order_story(log, scenario, 1) == [
        (420, 430, "seat_wait", "first"), (430, 440, "work", "first"), (440, 460, "room_wait", "second"),
        (460, 490, "work", "second"), (490, 960, "dispatch_wait", ""),
    ]  # fmt: skip
    assert order_story(log, scenario, 2)[0] == (420, 460, "seat_wait", "first")


def test_a_table_for_one_bundle_takes_the_next():
    # B lies on the table from 07:20, so C is begun at once; it is finished at 07:30 and keeps its seat until B is taken
    # up at 07:40. D is begun then and keeps the seat 07:50-08:10.
    log = sound(line(room=1), *jobs(4))
    assert times(log, "first")[2:] == [("2", "07:20", "07:30"), ("3", "07:40", "07:50")]
    assert blocked(log) == [("2", "Mon 07:30", "Mon 07:40", "first"), ("3", "Mon 07:50", "Mon 08:10", "first")]


def test_a_free_seat_holds_a_bundle_until_its_person_comes():
    # Bob comes at 08:00. A lies on his seat from 07:10; B finds no room until A is finished at 08:30.
    scenario = line(shifts=[shift("day"), shift("later", "08:00-16:00")],
                    crews=[crew("ann", "first"), crew("bob", "second", shift="later")])  # fmt: skip
    log = sound(scenario, *jobs(2))
    assert times(log, "second")[0] == ("0", "08:00", "08:30")
    assert blocked(log) == [("1", "Mon 07:20", "Mon 08:30", "first")]


def test_who_finished_the_work_is_free_for_other_work():
    # While B keeps the seat, Ann works at the table 07:20-07:35 and is back for C at 07:40.
    log = sound(line(work_centres=[centre("first"), centre("second", room_before_bundles=0), centre("table")],
                     crews=[crew("ann", "first table"), crew("bob", "second")],
                     products=[SHORT_THEN_LONG, product("other", step("work", "table", 15.0))]),
                *jobs(3), order("Mon 07:05", "other"))  # fmt: skip
    assert [entry[2:] for entry in story(log) if entry[1] == "ann"] == [
        ("Mon 07:00", "Mon 07:10"), ("Mon 07:10", "Mon 07:20"), ("Mon 07:20", "Mon 07:35"), ("Mon 07:40", "Mon 07:50"),
    ]  # fmt: skip


def test_a_break_at_the_next_place_lasts_for_the_blocked_seat_too():
    # Bob's break 07:30-08:00: A 07:10-07:30 and 08:00-08:10. B waits from 07:20 to 08:10, of that 30 min of his break.
    scenario = line(shifts=[shift("day"), shift("pause", breaks=("07:30-08:00",))],
                    crews=[crew("ann", "first"), crew("bob", "second", shift="pause")])  # fmt: skip
    log = sound(scenario, *jobs(2))
    assert first_seat(scenario, log)[1] == ("blocked", 440, 490)
    assert order_story(log, scenario, 1)[2:5] == [
        (440, 450, "room_wait", "second"), (450, 480, "off_shift", "second"), (480, 490, "room_wait", "second"),
    ]  # fmt: skip


def test_a_seat_stays_blocked_over_the_night():
    # A is half done at 15:00 and finished on Tuesday at 07:10; B keeps its seat from 14:50 until then. At night the
    # closed place has a piece set aside.
    scenario = line()
    log = sound(scenario, *jobs(3, "Mon 14:30"))
    assert blocked(log)[0] == ("1", "Mon 14:50", "Tue 07:10", "first")
    assert times(log, "first")[2] == ("2", "07:10", "07:20")
    assert first_seat(scenario, log, 1900)[-5:-2] == [
        ("blocked", 890, 900), ("set_aside", 900, 1860), ("blocked", 1860, 1870),
    ]  # fmt: skip


def test_a_cancelled_order_gives_its_blocked_seat_back_at_once():
    # B keeps the seat from 07:20 and is cancelled at 07:25: C 07:25-07:35, then blocked until A is done at 07:40.
    log = sound(line(), *jobs(1), *jobs(1, cancelled="Mon 07:25"), *jobs(1))
    assert times(log, "first")[2] == ("2", "07:25", "07:35")
    assert blocked(log) == [("1", "Mon 07:20", "Mon 07:25", "first"), ("2", "Mon 07:35", "Mon 07:40", "first")]
    assert times(log, "second")[1] == ("2", "07:40", "08:10")


def test_a_cancelled_order_leaves_the_table_to_the_next():
    # B lies on the table, C keeps its seat from 07:30. When B is cancelled at 07:33, C moves up and D is begun.
    log = sound(line(room=1), *jobs(1), *jobs(1, cancelled="Mon 07:33"), *jobs(2))
    assert blocked(log)[0] == ("2", "Mon 07:30", "Mon 07:33", "first")
    assert times(log, "first")[3] == ("3", "07:33", "07:43")


def test_a_seat_kept_by_work_of_a_cancelled_order_is_left_when_it_is_finished():
    # A is cancelled at 07:15, under Bob's hands until 07:40: only then B has room.
    log = sound(line(), *jobs(1, cancelled="Mon 07:15"), *jobs(1))
    assert blocked(log) == [("1", "Mon 07:20", "Mon 07:40", "first")]


@pytest.mark.parametrize("at_shift_end", ["hand_over", "keep"])
def test_a_piece_of_a_cancelled_order_left_overnight_makes_room_in_the_morning(at_shift_end):
    # A is half done at the second place at 15:00 and cancelled in the night: Bob sweeps it off on Tuesday at 07:00 and
    # begins B, which kept the first seat since 14:50.
    log = sound(line(crews=[crew("ann", "first"), crew("bob", "second", at_shift_end=at_shift_end)]),
                *jobs(1, "Mon 14:30", cancelled="Tue 02:00"), *jobs(2, "Mon 14:30"))  # fmt: skip
    assert blocked(log)[0] == ("1", "Mon 14:50", "Tue 07:00", "first")
    assert story(log)[3:5] == [
        ("work B", "bob", "Tue 07:00", "Tue 07:30"), ("work C", "ann", "Tue 07:00", "Tue 07:10"),
    ]  # fmt: skip


def test_mended_work_is_let_in_though_there_is_no_room():
    # Every seam is faulty at first, found, and mended in 15 min. A is looked at 07:10-07:30, B sewn by 07:20 and
    # blocked until then. A is mended 07:30-07:45, before C, which is no repair, and lies before the full inspection; C
    # is sewn 07:45-07:55. B is found faulty at 07:50, but A is still there: C is blocked until it is done at 08:10.
    job = product("job", step("sew", "sewing", 10.0), step("inspect", "look", 20.0))
    log = sound(shop(work_centres=[centre("sewing", "sewing"), centre("look", "inspection", room_before_bundles=0)],
                     products=[job], crews=[crew("sewer", "sewing"), crew("eye", "look")],
                     policies={"quality": {"sewing_fault_pct": 100.0, "sewing_repaired_pct": 100.0,
                                           "repair_min": 15.0}}), *jobs(3))  # fmt: skip
    assert times(log, "sewing") == [
        ("0", "07:00", "07:10"), ("1", "07:10", "07:20"), ("0", "07:30", "07:45"), ("2", "07:45", "07:55"),
        ("1", "08:10", "08:25"), ("2", "08:30", "08:45"),
    ]  # fmt: skip
    assert times(log, "look") == [
        ("0", "07:10", "07:30"), ("1", "07:30", "07:50"), ("0", "07:50", "08:10"), ("2", "08:10", "08:30"),
        ("1", "08:30", "08:50"), ("2", "08:50", "09:10"),
    ]  # fmt: skip
    assert blocked(log) == [("1", "Mon 07:20", "Mon 07:30", "sewing"), ("2", "Mon 07:55", "Mon 08:10", "sewing")]


def test_pieces_made_again_are_let_in_though_there_is_no_room():
    # With seed 10 only the first make of A is faulty, which is seen at 07:30, and A is sewn again 07:30-07:40, before
    # C. B is looked at until 07:50, but A is let in: C is sewn 07:40-07:50 and blocked until A is done at 08:10.
    job = product("job", step("sew", "sewing", 10.0), step("inspect", "look", 20.0))
    log = sound(shop(work_centres=[centre("sewing", "sewing"), centre("look", "inspection", room_before_bundles=0)],
                     products=[job], crews=[crew("sewer", "sewing"), crew("eye", "look")], study={"seed": 10},
                     policies={"quality": {"sewing_fault_pct": 30.0, "sewing_repaired_pct": 0.0}}),
                *jobs(3))  # fmt: skip
    assert times(log, "sewing") == [
        ("0", "07:00", "07:10"), ("1", "07:10", "07:20"), ("0", "07:30", "07:40"), ("2", "07:40", "07:50"),
    ]  # fmt: skip
    assert blocked(log) == [("1", "Mon 07:20", "Mon 07:30", "sewing"), ("2", "Mon 07:50", "Mon 08:10", "sewing")]
    assert [row["reprints"] for row in sorted(rows(log, "orders"), key=lambda row: row["order"])] == [1, 0, 0]


def test_what_comes_off_a_printer_lies_there_and_blocks_nothing():
    # One run of three metres from 07:40, off the printer with its tail at 07:46. Sewing takes 30 min and has no room
    # before it: B and C lie by the printer until 08:16 and 08:46.
    sewn = product("banner", to_print(), step("sew", "sewing", 30.0), bundle_pieces=1)
    places = {"products": [sewn], "crews": [crew("op", "printing"), crew("sewer", "sewing")]}
    tight = print_shop(work_centres=[centre("sewing", "sewing", room_before_bundles=0)], **places)
    log = sound(tight, *(order("Mon 07:00", order_id=name) for name in "ABC"))
    free = run(print_shop(work_centres=[centre("sewing", "sewing")], **places),
               *(order("Mon 07:00", order_id=name) for name in "ABC"))  # fmt: skip
    assert printed(log) == printed(free)
    assert story(log) == story(free)
    assert [line[1:] for line in blocked(log)] == [
        ("Mon 07:46", "Mon 08:16", "no seat"), ("Mon 07:46", "Mon 08:46", "no seat"),
    ]  # fmt: skip
    assert order_story(log, tight, 1)[-3:] == [
        (466, 496, "room_wait", "sewing"), (496, 526, "work", "sewing"), (526, 960, "dispatch_wait", ""),
    ]  # fmt: skip


def test_work_at_rest_waits_for_room_without_a_seat():
    # 5 min of rest between the places: B rests 07:20-07:25 and then waits, but the first seat is free: C 07:20-07:30.
    job = product("job", step("work", "first", 10.0), {"op": "rest", "minutes": 5.0}, step("work", "second", 30.0))
    scenario = line(products=[job])
    log = sound(scenario, *jobs(3))
    assert times(log, "first")[2] == ("2", "07:20", "07:30")
    assert blocked(log)[0] == ("1", "Mon 07:25", "Mon 07:45", "no seat")
    assert order_story(log, scenario, 1)[1:4] == [
        (430, 440, "work", "first"), (440, 445, "drying", ""), (445, 465, "room_wait", "second"),
    ]  # fmt: skip


def test_room_goes_to_the_most_urgent_of_those_who_wait():
    # A is at the second place until 07:40. B keeps the first seat from 07:20, the rush order C the bench from
    # 07:25: at 07:40 C is let in, at 08:10 B.
    side = product("side", step("work", "bench", 10.0), step("work", "second", 30.0))
    log = sound(line(work_centres=[centre("first"), centre("second", room_before_bundles=0), centre("bench")],
                     crews=[crew("ann", "first"), crew("bob", "second"), crew("eve", "bench")],
                     products=[SHORT_THEN_LONG, side]),
                *jobs(2), order("Mon 07:15", "side", rush=True))  # fmt: skip
    assert blocked(log) == [("2", "Mon 07:25", "Mon 07:40", "bench"), ("1", "Mon 07:20", "Mon 08:10", "first")]


def test_a_machine_that_fails_blocks_the_seat_before_it():
    # With seed 31 the second machine fails after 22.92 min of running and is repaired in an hour: A, begun at 07:10, is
    # done 90 min later.
    assert 20 < Draws(stream(31, 0, "stops/second/0/gap"), Exponential(60.0), block=64).next() < 30
    stops = {"every_running_h": 1.0, "repairs": [{"share_pct": 100.0, "hours": 1.0}]}
    log = sound(line(second={"stops": stops}, study={"seed": 31}), *jobs(2))
    assert blocked(log) == [("1", "Mon 07:20", "Mon 08:40", "first")]


def test_a_blocked_machine_does_not_run_and_so_does_not_fail():
    # With seed 9 the first machine fails after 27.65 min of running: at 7.65 min of the third piece, though it was
    # blocked for 20 min before.
    first_min = Draws(stream(9, 0, "stops/first/0/gap"), Exponential(60.0), block=64).next()
    assert 20 < first_min < 30
    stops = {"every_running_h": 1.0, "repairs": [{"share_pct": 100.0, "hours": 1.0}]}
    places = [centre("first", stops=stops), centre("second", room_before_bundles=0)]
    log = sound(line(work_centres=places, study={"seed": 9}), *jobs(3))
    assert times(log, "first")[2] == ("2", "07:40", clock(460 + first_min - 20)[4:])


def test_a_machine_down_by_the_calendar_while_blocked_is_seen_to_when_its_seat_is_left():
    # Down at 07:25, when B keeps its seat: at 07:40 B moves on, the repair takes an hour, C is begun at 08:40.
    stops = {"every_calendar_h": [445 / 60] * 3, "repairs": [{"share_pct": 100.0, "hours": 1.0}]}
    log = sound(line(work_centres=[centre("first", stops=stops), centre("second", room_before_bundles=0)]), *jobs(3))
    assert blocked(log) == [("1", "Mon 07:20", "Mon 07:40", "first")]
    assert times(log, "first")[2] == ("2", "08:40", "08:50")


def test_bundles_of_one_order_wait_one_by_one():
    # Two pieces as two bundles: the order is complete when the one that waited is done.
    log = sound(line(products=[{**SHORT_THEN_LONG, "bundle_pieces": 1}]), order("Mon 07:00", "job", pieces=2))
    assert blocked(log) == [("0", "Mon 07:20", "Mon 07:40", "first")]
    assert endings(log) == [("dispatched", "A", "Mon 08:10", "Mon 16:00")]


def test_two_steps_at_one_place_never_block_each_other():
    # The second step waits for nothing but its turn: the bundle is already there.
    twice = product("job", step("work", "second", 10.0), step("work", "second", 20.0))
    log = sound(line(products=[twice]), *jobs(2))
    assert blocked(log) == [("1", "Mon 07:00", "Mon 07:30", "no seat")]
    assert times(log, "second") == [
        ("0", "07:00", "07:10"), ("0", "07:10", "07:30"), ("1", "07:30", "07:40"), ("1", "07:40", "08:00"),
    ]  # fmt: skip


def test_a_blocked_seat_blocks_the_one_before_it():
    # 10, 10 and 30 min without room: B waits at the second place 07:30-07:50, so C at the first 07:30-07:50 as well.
    job = product("job", step("work", "zero", 10.0), step("work", "first", 10.0), step("work", "second", 30.0))
    places = [centre("zero"), *(centre(name, room_before_bundles=0) for name in ("first", "second"))]
    log = sound(line(work_centres=places, products=[job],
                     crews=[crew("eve", "zero"), crew("ann", "first"), crew("bob", "second")]), *jobs(4))  # fmt: skip
    assert blocked(log)[:2] == [("1", "Mon 07:30", "Mon 07:50", "first"), ("2", "Mon 07:30", "Mon 07:50", "zero")]
    assert times(log, "zero")[3] == ("3", "07:50", "08:00")


def test_both_limits_and_a_break_for_all():
    # Two orders at once, a break 07:45-08:00. A is complete at 07:40: C is released, 07:40-07:45 and 08:00-08:05 at
    # the first place, then blocked until B, at work until 07:45 and from 08:00, is done at 08:25; only then D.
    scenario = line(shifts=[shift("day", breaks=("07:45-08:00",))],
                    policies={"orders_at_once": {"most": 2, "when_full": "wait"}})  # fmt: skip
    log = sound(scenario, *jobs(4))
    assert blocked(log)[:2] == [("1", "Mon 07:20", "Mon 07:40", "first"), ("2", "Mon 08:05", "Mon 08:25", "first")]
    assert [clock(row["released"]) for row in rows(log, "orders")] == [
        "Mon 07:00", "Mon 07:00", "Mon 07:40", "Mon 08:25",
    ]  # fmt: skip
    assert order_story(log, scenario, 2)[:6] == [
        (420, 460, "release_wait", ""), (460, 465, "work", "first"), (465, 480, "off_shift", "first"),
        (480, 485, "work", "first"), (485, 505, "room_wait", "second"), (505, 535, "work", "second"),
    ]  # fmt: skip


def test_a_wait_for_room_beyond_the_end_is_kept_in_the_books():
    # A is not done in the week: B keeps its seat for good.
    scenario = line(products=[product("job", step("work", "first", 10.0), step("work", "second", 3000.0))])
    log = sound(scenario, *jobs(2))
    assert blocked(log) == [("1", "Mon 07:20", "never", "first")]
    assert log.leftover.pieces_inside == 2
