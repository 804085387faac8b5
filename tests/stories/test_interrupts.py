"""More urgent work interrupts what is less urgent: what is put aside, who goes on with it, and when nothing is."""

from shopsim.measures.audit import audit
from shopsim.measures.spans import SEAT_STATES, seat_spans
from shopsim.measures.why_late import Stretch, order_story
from tests.stories.shops import (
    centre,
    clock,
    crew,
    letter,
    minute,
    order,
    product,
    rows,
    run,
    shift,
    shop,
    step,
    story,
)

FRAME = product("frame", step("sew", "sewing", 60.0))
STOCK = product("stock", step("sew", "sewing", 60.0), priority=7)
KEY = product("key", step("sew", "sewing", 60.0), priority=3)
BIG = product("big", step("sew", "sewing", 60.0), sizes=[{"width_m": 6.0, "height_m": 1.0}])
ANN = crew("ann", "sewing")
BEN = crew("ben", "sewing")
LUNCH = shift("day", breaks=("12:00-12:30",))


def sewing_room(crews=(ANN,), seats=1, by="rush", shifts=(LUNCH,), place=None, **changes):
    room = centre("sewing", "sewing", seats=seats, interrupted_by=by, second_person_above_m=5.0,
                  two_person_labour_factor=1.5, **(place or {}))  # fmt: skip
    return shop(**{"work_centres": [room], "crews": list(crews), "shifts": list(shifts),
                   "products": [FRAME, STOCK, KEY], **changes})  # fmt: skip


def interruptions(log):
    """(whose piece, part, when, for whom) of each interruption."""
    whose = {row["task"]: letter(row["order"]) for row in rows(log, "operations")}
    return [
        (whose[row["task"]], row["part"], clock(row["at"]), whose[row["gave_way_to"]])
        for row in rows(log, "interruptions")
    ]


def balanced(scenario, *orders):
    log = run(scenario, *orders)
    assert audit(log, scenario) == []
    return log


def test_rush_work_interrupts_and_the_rest_goes_on_after_it():
    # A has 20 of 60 min done when the rush B comes: B 08:20-09:20, then the 40 min left of A, before C.
    scenario = sewing_room()
    log = balanced(scenario, order("Mon 08:00", "frame"), order("Mon 08:20", "frame", rush=True),
                   order("Mon 08:30", "frame"))  # fmt: skip
    assert story(log) == [
        ("sew A", "ann", "Mon 08:00", "Mon 08:20"),
        ("sew B", "ann", "Mon 08:20", "Mon 09:20"),
        ("sew A", "ann", "Mon 09:20", "Mon 10:00"),
        ("sew C", "ann", "Mon 10:00", "Mon 11:00"),
    ]
    assert interruptions(log) == [("A", 0, "Mon 08:20", "B")]
    assert [(row["part"], row["last"]) for row in rows(log, "operations")] == [(0, 0), (0, 1), (1, 1), (0, 1)]


def test_why_an_order_is_late_tells_the_time_put_aside():
    scenario = sewing_room()
    log = run(scenario, order("Mon 08:00", "frame"), order("Mon 08:20", "frame", rush=True))
    assert order_story(log, scenario, 0) == [
        Stretch(480, 500, "work", "sewing"),
        Stretch(500, 560, "put_aside", "sewing"),
        Stretch(560, 600, "work", "sewing"),
        Stretch(600, 960, "dispatch_wait", ""),
    ]


def test_without_the_rule_rush_work_waits():
    log = run(sewing_room(by="nothing"), order("Mon 08:00", "frame"), order("Mon 08:20", "frame", rush=True))
    assert story(log) == [("sew A", "ann", "Mon 08:00", "Mon 09:00"), ("sew B", "ann", "Mon 09:00", "Mon 10:00")]


def test_rush_does_not_interrupt_rush_nor_a_class_another_where_only_rush_may():
    log = run(sewing_room(), order("Mon 08:00", "frame", rush=True), order("Mon 08:20", "frame", rush=True),
              order("Mon 09:10", "stock"), order("Mon 10:10", "key"))  # fmt: skip
    assert story(log) == [
        ("sew A", "ann", "Mon 08:00", "Mon 09:00"),
        ("sew B", "ann", "Mon 09:00", "Mon 10:00"),
        ("sew C", "ann", "Mon 10:00", "Mon 11:00"),
        ("sew D", "ann", "Mon 11:00", "Mon 12:00"),
    ]


def test_each_class_interrupts_those_below_it():
    # Stock A from 08:00, normal B at 08:10, key account C at 08:20, rush D at 08:30; what is put aside goes on in order
    # of class: C has 50 min left, B 50, A 50. E, another key account of 09:00, comes after C, which is begun.
    scenario = sewing_room(by="more_urgent")
    log = balanced(scenario, order("Mon 08:00", "stock"), order("Mon 08:10", "frame"), order("Mon 08:20", "key"),
                   order("Mon 08:30", "frame", rush=True), order("Mon 09:00", "key", due="Tue"))  # fmt: skip
    assert story(log) == [
        ("sew A", "ann", "Mon 08:00", "Mon 08:10"),
        ("sew B", "ann", "Mon 08:10", "Mon 08:20"),
        ("sew C", "ann", "Mon 08:20", "Mon 08:30"),
        ("sew D", "ann", "Mon 08:30", "Mon 09:30"),
        ("sew C", "ann", "Mon 09:30", "Mon 10:20"),
        ("sew E", "ann", "Mon 10:20", "Mon 11:20"),
        ("sew B", "ann", "Mon 11:20", "Mon 12:40"),
        ("sew A", "ann", "Mon 12:40", "Mon 13:30"),
    ]


def test_a_piece_begun_at_that_very_minute_goes_back_into_line():
    # Both come at 08:00, the frame first: it has not begun, and no stretch of it is written.
    log = balanced(sewing_room(), order("Mon 08:00", "frame"), order("Mon 08:00", "frame", rush=True))
    assert story(log) == [("sew B", "ann", "Mon 08:00", "Mon 09:00"), ("sew A", "ann", "Mon 09:00", "Mon 10:00")]
    assert interruptions(log) == []


def test_work_that_ends_at_that_minute_is_not_interrupted():
    log = run(sewing_room(), order("Mon 08:00", "frame"), order("Mon 09:00", "frame", rush=True))
    assert story(log) == [("sew A", "ann", "Mon 08:00", "Mon 09:00"), ("sew B", "ann", "Mon 09:00", "Mon 10:00")]
    assert interruptions(log) == []


def test_work_that_ends_at_that_minute_but_for_rounding_is_not_interrupted():
    # A billionth of a minute is left of A at 09:00: no remainder to put aside.
    almost = product("frame", step("sew", "sewing", 60.000000001))
    log = run(sewing_room(products=[almost]), order("Mon 08:00", "frame"), order("Mon 09:00", "frame", rush=True))
    assert rows(log, "operations")[0]["end"] > minute("Mon 09:00")
    assert interruptions(log) == []


def test_nobody_is_called_from_a_break():
    # A: 11:40-12:00, lunch. B comes at 12:10 and is taken at 12:30, when A would have gone on; A's 40 min follow.
    log = balanced(sewing_room(), order("Mon 11:40", "frame"), order("Mon 12:10", "frame", rush=True))
    assert story(log) == [
        ("sew A", "ann", "Mon 11:40", "Mon 12:00"),
        ("sew B", "ann", "Mon 12:30", "Mon 13:30"),
        ("sew A", "ann", "Mon 13:30", "Mon 14:10"),
    ]
    assert interruptions(log) == [("A", 0, "Mon 12:30", "B")]


def test_a_seat_is_set_aside_while_its_piece_pauses_and_busy_with_what_it_gives_way_to():
    # The seat holds A over lunch; from 12:30 on it is B's, then A's again to 14:10.
    scenario = sewing_room()
    log = run(scenario, order("Mon 11:40", "frame"), order("Mon 12:10", "frame", rush=True))
    spans = seat_spans(log, scenario)
    found = [
        (SEAT_STATES[state], clock(start), clock(end))
        for state, start, end in zip(spans.state, spans.start, spans.end, strict=True)
    ]
    assert found[1:6] == [
        ("idle", "Mon 07:00", "Mon 11:40"),
        ("busy", "Mon 11:40", "Mon 12:00"),
        ("set_aside", "Mon 12:00", "Mon 12:30"),
        ("busy", "Mon 12:30", "Mon 14:10"),
        ("idle", "Mon 14:10", "Mon 15:00"),
    ]


def test_an_interruption_after_a_break_counts_the_minutes_worked_only():
    # A: 11:40-12:00 and 12:30-12:35 are 25 min; 35 are left after B, 12:35-13:35.
    log = balanced(sewing_room(), order("Mon 11:40", "frame"), order("Mon 12:35", "frame", rush=True))
    assert story(log) == [
        ("sew A", "ann", "Mon 11:40", "Mon 12:35"),
        ("sew B", "ann", "Mon 12:35", "Mon 13:35"),
        ("sew A", "ann", "Mon 13:35", "Mon 14:10"),
    ]
    assert [row["worked_min"] for row in rows(log, "operations")] == [25, 60, 35]


def test_what_was_cut_by_the_shifts_end_gives_its_seat_up_to_rush_in_the_morning():
    # A: 14:30-15:00, 30 min left on the seat overnight. The rush B of 20:00 comes first at 07:00.
    log = balanced(sewing_room(), order("Mon 14:30", "frame"), order("Mon 20:00", "frame", rush=True))
    assert story(log) == [
        ("sew A", "ann", "Mon 14:30", "Mon 15:00"),
        ("sew B", "ann", "Tue 07:00", "Tue 08:00"),
        ("sew A", "ann", "Tue 08:00", "Tue 08:30"),
    ]
    assert interruptions(log) == [("A", 0, "Tue 07:00", "B")]


def test_a_kept_piece_is_put_aside_when_its_keeper_comes_back():
    keeper = crew("ann", "sewing", at_shift_end="keep")
    log = balanced(sewing_room([keeper]), order("Mon 14:30", "frame"), order("Mon 20:00", "frame", rush=True))
    assert story(log) == [
        ("sew A", "ann", "Mon 14:30", "Mon 15:00"),
        ("sew B", "ann", "Tue 07:00", "Tue 08:00"),
        ("sew A", "ann", "Tue 08:00", "Tue 08:30"),
    ]
    assert interruptions(log) == [("A", 0, "Tue 07:00", "B")]


def test_rush_cut_by_the_shifts_end_goes_on_before_what_it_interrupted():
    # B, 14:20-15:00 and 07:00-07:20; then the 50 min left of A.
    log = balanced(sewing_room(), order("Mon 14:10", "frame"), order("Mon 14:20", "frame", rush=True))
    assert story(log) == [
        ("sew A", "ann", "Mon 14:10", "Mon 14:20"),
        ("sew B", "ann", "Mon 14:20", "Mon 15:00"),
        ("sew B", "ann", "Tue 07:00", "Tue 07:20"),
        ("sew A", "ann", "Tue 07:20", "Tue 08:10"),
    ]


def test_of_two_in_work_the_least_urgent_yields_then_the_one_begun_last():
    # The rush C takes the place of stock B. With two frames in work the rush takes that of the second, begun last; ann
    # goes on undisturbed.
    scenario = sewing_room([ANN, BEN], seats=2, by="more_urgent")
    log = balanced(scenario, order("Mon 08:00", "stock"), order("Mon 08:05", "frame"),
                   order("Mon 08:20", "frame", rush=True))  # fmt: skip
    assert story(log) == [
        ("sew A", "ann", "Mon 08:00", "Mon 08:20"),
        ("sew B", "ben", "Mon 08:05", "Mon 09:05"),
        ("sew C", "ann", "Mon 08:20", "Mon 09:20"),
        ("sew A", "ben", "Mon 09:05", "Mon 09:45"),
    ]
    log = balanced(scenario, order("Mon 08:00", "frame"), order("Mon 08:05", "frame"),
                   order("Mon 08:20", "frame", rush=True))  # fmt: skip
    assert interruptions(log) == [("B", 0, "Mon 08:20", "C")]
    assert story(log)[2:] == [
        ("sew C", "ben", "Mon 08:20", "Mon 09:20"),
        ("sew B", "ann", "Mon 09:00", "Mon 09:45"),
    ]


def test_somebody_else_who_goes_on_takes_the_handover_minutes_and_another_seat():
    # As before with ten minutes of handover: ann goes on with the 45 min left of B on her own seat, 09:00-09:55.
    shifts = [shift("day", handover_min=10.0)]
    log = balanced(sewing_room([ANN, BEN], seats=2, shifts=shifts), order("Mon 08:00", "frame"),
                   order("Mon 08:05", "frame"), order("Mon 08:20", "frame", rush=True))  # fmt: skip
    assert story(log)[-1] == ("sew B", "ann", "Mon 09:00", "Mon 09:55")
    assert [row["seat"] for row in rows(log, "operations")] == [1, 0, 1, 0]


def test_the_same_person_goes_on_without_handover():
    shifts = [shift("day", handover_min=10.0)]
    log = run(sewing_room(shifts=shifts), order("Mon 08:00", "frame"), order("Mon 08:20", "frame", rush=True))
    assert story(log)[-1] == ("sew A", "ann", "Mon 09:20", "Mon 10:00")


def test_with_a_seat_but_nobody_free_the_piece_leaves_its_seat_all_the_same():
    # One person, two seats: her piece yields its seat 0, and so B sits on 0 and A later on 0 again.
    log = balanced(sewing_room(seats=2), order("Mon 08:00", "frame"), order("Mon 08:20", "frame", rush=True))
    assert [(row["seat"], clock(row["start"])) for row in rows(log, "operations")] == [
        (0, "Mon 08:00"), (0, "Mon 08:20"), (0, "Mon 09:20"),
    ]  # fmt: skip


def test_with_somebody_free_but_no_seat_who_is_free_takes_the_rush():
    # One seat, a crew of two: the second sewer, idle all the time, takes the rush on the seat of A, and looks for work
    # first when it is done; the first, set free at 08:20, finds no seat.
    log = balanced(sewing_room([crew("sewer", "sewing", count=2)]), order("Mon 08:00", "frame"),
                   order("Mon 08:20", "frame", rush=True))  # fmt: skip
    assert story(log) == [
        ("sew A", "sewer 1", "Mon 08:00", "Mon 08:20"),
        ("sew B", "sewer 2", "Mon 08:20", "Mon 09:20"),
        ("sew A", "sewer 2", "Mon 09:20", "Mon 10:00"),
    ]


def test_a_pair_is_interrupted_for_one_and_the_other_finds_work():
    # The large A takes both 08:00-08:45 (60 x 1.5 / 2). At 08:15 half an hour of it is left for two. Ann takes the rush
    # B, ben the frame C, begun 08:15 too; at 09:15 both are free and go on with A.
    scenario = sewing_room([ANN, BEN], seats=2, products=[FRAME, BIG])
    log = balanced(scenario, order("Mon 08:00", "big"), order("Mon 08:10", "frame"),
                   order("Mon 08:15", "frame", rush=True))  # fmt: skip
    assert [line[1:] for line in story(log)] == [
        ("ann + ben", "Mon 08:00", "Mon 08:15"),
        ("ann", "Mon 08:15", "Mon 09:15"),
        ("ben", "Mon 08:15", "Mon 09:15"),
        ("ben + ann", "Mon 09:15", "Mon 09:45"),
    ]


def test_rush_work_for_two_interrupts_two_or_nobody():
    # B takes two: both pieces are put aside and go on at 09:05. With ann alone at work nobody is interrupted in vain.
    rush = order("Mon 08:20", "big", rush=True)
    pairs = {"seats": 2, "products": [FRAME, BIG]}
    log = balanced(sewing_room([ANN, BEN], **pairs), order("Mon 08:00", "frame"), order("Mon 08:05", "frame"), rush)
    assert story(log)[2:] == [
        ("sew C", "ann + ben", "Mon 08:20", "Mon 09:05"),
        ("sew A", "ben", "Mon 09:05", "Mon 09:45"),
        ("sew B", "ann", "Mon 09:05", "Mon 09:50"),
    ]
    late = crew("ben", "sewing", shift="late")
    shifts = [shift("day"), shift("late", "10:00-18:00")]
    log = balanced(sewing_room([ANN, late], shifts=shifts, **pairs), order("Mon 09:30", "frame"), rush)
    # The rush A of 08:20 waits for ben, who comes at 10:00 and calls ann from B; he looks for work first afterwards.
    assert story(log) == [
        ("sew B", "ann", "Mon 09:30", "Mon 10:00"),
        ("sew A", "ben + ann", "Mon 10:00", "Mon 10:45"),
        ("sew B", "ben", "Mon 10:45", "Mon 11:15"),
    ]


def test_overtime_is_time_at_work_like_any_other():
    # Three frames wait at 14:00, more than two hours: ann stays until 17:00. A 13:30-14:30, B from 14:30 past 15:00;
    # the rush E of 15:10 interrupts it after 40 min, and its 20 min are done 16:10-16:30.
    rule = {"crews": ["ann"], "when_queue_h": 2.0, "minutes": 120.0, "notice_min": 60.0}
    scenario = sewing_room(policies={"overtime": [rule]})
    log = balanced(scenario, *(order("Mon 13:30", "frame") for _ in range(4)), order("Mon 15:10", "frame", rush=True))
    assert story(log)[:5] == [
        ("sew A", "ann", "Mon 13:30", "Mon 14:30"),
        ("sew B", "ann", "Mon 14:30", "Mon 15:10"),
        ("sew E", "ann", "Mon 15:10", "Mon 16:10"),
        ("sew B", "ann", "Mon 16:10", "Mon 16:30"),
        ("sew C", "ann", "Mon 16:30", "Mon 17:00"),
    ]


def test_a_change_over_is_paid_again_if_the_seat_did_other_work_meanwhile():
    # Ten minutes when the seat's last work had another edge. A 08:00-09:10 would be its change and its hour; at 08:30
    # 40 are left. B has the other edge: 08:30-09:40; A then pays ten minutes again: 09:40-10:30.
    edges = [product(name, step("sew", "sewing", 60.0, all_edges=edge)) for name, edge in
             (("keder", "keder"), ("hem", "hem"))]  # fmt: skip
    scenario = sewing_room(place={"change_over_min": 10.0, "queue_rule": "first_come"}, products=edges)
    log = balanced(scenario, order("Mon 08:00", "keder"), order("Mon 08:30", "hem", rush=True))
    assert story(log) == [
        ("sew A", "ann", "Mon 08:00", "Mon 08:30"),
        ("sew B", "ann", "Mon 08:30", "Mon 09:40"),
        ("sew A", "ann", "Mon 09:40", "Mon 10:30"),
    ]


def test_a_piece_put_aside_whose_order_is_cancelled_is_swept_off():
    scenario = sewing_room()
    log = balanced(scenario, order("Mon 08:00", "frame", cancelled="Mon 09:00"),
                   order("Mon 08:20", "frame", rush=True), order("Mon 08:30", "frame"))  # fmt: skip
    assert story(log) == [
        ("sew A", "ann", "Mon 08:00", "Mon 08:20"),
        ("sew B", "ann", "Mon 08:20", "Mon 09:20"),
        ("sew C", "ann", "Mon 09:20", "Mon 10:20"),
    ]


def test_a_machine_that_runs_less_fails_later():
    # The seat fails by its running hours: interruptions by work on the same seat do not change when. Seat 0 runs from
    # 08:00 without a pause, so with and without the rule it fails at the same minute.
    place = {"stops": {"every_running_h": 3.0, "repairs": [{"share_pct": 100.0, "hours": 100.0}]}}
    orders = [order("Mon 08:00", "frame", 6), order("Mon 08:20", "frame", 6, rush=True)]

    def fails(by):
        log = run(sewing_room(place=place, by=by, crews=[crew("ann", "sewing", shift="long")],
                              shifts=[shift("long", "08:00-24:00")]), *orders)  # fmt: skip
        return max(row["end"] for row in rows(log, "operations") if row["start"] < minute("Tue 00:00"))

    assert fails("rush") == fails("nothing")
    assert fails("rush") < minute("Tue 00:00")


def test_what_is_in_work_at_the_horizon_is_in_the_records():
    log = balanced(sewing_room(crews=[crew("ann", "sewing", shift="always")],
                               shifts=[{"id": "always", "round_the_clock": True}]),
                   order("Sun 23:30", "frame", due="Sun"))  # fmt: skip
    assert story(log) == [("sew A", "ann", "Sun 23:30", "Mon2 00:30")]
