"""People: absence, skill, learning, two-person pieces, helpers, overtime, and work given out."""

import pytest

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

JOB = product("job", step("sew", "sewing", 60.0))
BIG = product("big", step("sew", "sewing", 60.0), sizes=[{"width_m": 6.0, "height_m": 1.0}])
ILL = {"new_spell_pct_per_day": 100.0, "spell_days": 1.0}


def sewing_room(crews, products=(JOB,), seats=2, **changes):
    place = centre("sewing", "sewing", seats=seats, second_person_above_m=5.0, two_person_labour_factor=1.5)
    return shop(**{"work_centres": [place], "crews": crews, "products": list(products), **changes})


def test_one_of_two_is_away_every_day():
    # Two crews of one; ben falls ill every day. Both jobs are ann's, one after the other, although there are two seats.
    log = run(sewing_room([crew("ann", "sewing"), crew("ben", "sewing", absence=ILL)]),
              order("Mon 07:00", "job"), order("Mon 07:00", "job"))  # fmt: skip
    assert story(log) == [
        ("sew A", "ann", "Mon 07:00", "Mon 08:00"),
        ("sew B", "ann", "Mon 08:00", "Mon 09:00"),
    ]
    assert [row["day"] for row in rows(log, "absences") if row["day"] < 7] == [0, 1, 2, 3, 4]


def test_a_printer_stays_off_while_its_only_operator_is_away():
    log = run(print_shop(crews=[crew("op", "printing", absence=ILL)]), order("Mon 07:00"))
    assert [row["end"] - row["start"] for row in rows(log, "printer_states")] == [log.horizon_min]
    assert story(log) == []


@pytest.mark.parametrize(
    ("changes", "ends"),
    [
        # SEW-38: a trainee works at half speed, a checked sewer at 0.75; an efficiency of 80 % counts on top.
        ({"skills": {"sewing": 1}}, "Mon 09:00"),
        ({"skills": {"sewing": 2}}, "Mon 08:20"),
        ({"skills": {"sewing": 2}, "efficiency_pct": 80.0}, "Mon 08:40"),
    ],
)
def test_skill_and_efficiency_set_the_pace(changes, ends):
    log = run(sewing_room([{**crew("ann", "sewing"), **changes}]), order("Mon 07:00", "job"))
    assert story(log) == [("sew A", "ann", "Mon 07:00", ends)]


def test_beginners_get_faster_in_a_straight_line():
    # From 50 % at Monday 00:00 to 100 % after two weeks. A week and 7 h = 10500 min are 10500/20160 of the way:
    # 50 % + 50 % x 0.520833 = 76.0417 %, so 60 min take 60/0.760417 = 78.9041 min = 1 h 18 min 54.2466 s.
    learner = crew("ann", "sewing", learning={"start_speed_pct": 50.0, "weeks_to_full": 2.0})
    log = run(sewing_room([learner], study={"weeks": 2}), order("Mon2 07:00", "job", due="Fri2"))
    assert story(log) == [("sew A", "ann", "Mon2 07:00", "Mon2 08:18:54.2466")]


def test_a_large_piece_waits_for_the_second_person_without_holding_the_first():
    # Longest side 6 m: two people, 60 min x 1.5 / 2 = 45 min. Ann sews A until 08:00; ben is alone from 07:00 and takes
    # the single C rather than wait at the large B. B begins when both are free, at 08:00, when ben, the later to be
    # free at that minute, calls ann.
    crews = [crew("ann", "sewing"), crew("ben", "sewing")]
    log = run(sewing_room(crews, [JOB, BIG]), order("Mon 07:00", "job", due="Tue"),
              order("Mon 07:00", "big", due="Wed"), order("Mon 07:00", "job", due="Thu"))  # fmt: skip
    assert story(log) == [
        ("sew A", "ann", "Mon 07:00", "Mon 08:00"),
        ("sew C", "ben", "Mon 07:00", "Mon 08:00"),
        ("sew B", "ben + ann", "Mon 08:00", "Mon 08:45"),
    ]


def test_a_large_piece_due_as_early_but_come_first_is_taken_first():
    # Equal due dates: in order of arrival, so the large A before the single B.
    crews = [crew("ann", "sewing"), crew("ben", "sewing")]
    log = run(sewing_room(crews, [JOB, BIG]), order("Mon 06:00", "big"), order("Mon 06:01", "job"))
    assert story(log) == [
        ("sew A", "ann + ben", "Mon 07:00", "Mon 07:45"),
        ("sew B", "ann", "Mon 07:45", "Mon 08:45"),
    ]


def test_a_helper_lends_a_hand_only_while_there():
    # The helper is there 08:00-10:00, the sewer from 07:00. 45 min together: 08:00-08:45. The second large piece, come
    # at 09:40, gets 20 min on Monday and 25 on Tuesday, when the helper is back at 08:00.
    crews = [crew("ann", "sewing"), crew("hand", "helper", shift="short")]
    log = run(sewing_room(crews, [BIG], shifts=[shift("day"), shift("short", "08:00-10:00")]),
              order("Mon 07:00", "big"), order("Mon 09:40", "big"))  # fmt: skip
    assert story(log) == [
        ("sew A", "ann + hand", "Mon 08:00", "Mon 08:45"),
        ("sew B", "ann + hand", "Mon 09:40", "Mon 10:00"),
        ("sew B", "ann + hand", "Tue 08:00", "Tue 08:25"),
    ]


def overtime(**changes):
    rule = {"crews": ["ann"], "when_queue_h": 2.0, "minutes": 120.0, "notice_min": 60.0, **changes}
    return sewing_room([crew("ann", "sewing")], seats=1, policies={"overtime": [rule]})


def test_overtime_is_agreed_when_the_queue_is_long():
    # Four jobs at 13:30. At 14:00 A is at work and three hours wait, more than two: ann stays until 17:00 and ends C
    # at 16:30; of D she does half an hour. B, begun after the decision, runs over 15:00 in one stretch.
    log = run(overtime(), *(order("Mon 13:30", "job") for _ in range(4)))
    assert story(log) == [
        ("sew A", "ann", "Mon 13:30", "Mon 14:30"),
        ("sew B", "ann", "Mon 14:30", "Mon 15:30"),
        ("sew C", "ann", "Mon 15:30", "Mon 16:30"),
        ("sew D", "ann", "Mon 16:30", "Mon 17:00"),
        ("sew D", "ann", "Tue 07:00", "Tue 07:30"),
    ]
    assert [(clock(r["start"]), clock(r["end"]), r["people"]) for r in rows(log, "overtime")] == [
        ("Mon 15:00", "Mon 17:00", 1)
    ]


def test_overtime_is_not_agreed_for_a_queue_that_just_reaches_the_limit():
    # Three jobs: two hours wait at 14:00, not more than two.
    log = run(overtime(), *(order("Mon 13:30", "job") for _ in range(3)))
    assert story(log) == [
        ("sew A", "ann", "Mon 13:30", "Mon 14:30"),
        ("sew B", "ann", "Mon 14:30", "Mon 15:00"),
        ("sew B", "ann", "Tue 07:00", "Tue 07:30"),
        ("sew C", "ann", "Tue 07:30", "Tue 08:30"),
    ]
    assert rows(log, "overtime") == []


def test_a_pair_at_work_when_overtime_begins_stays_together():
    # The large A, begun 14:30 before the decision (notice 15 min, at 14:45), was to stop at 15:00. Both stay and go on
    # with A until 15:15, then with the singles that waited.
    rule = {"crews": ["sewer"], "when_queue_h": 0.5, "minutes": 120.0, "notice_min": 15.0}
    scenario = sewing_room([crew("sewer", "sewing", count=2)], [JOB, BIG], policies={"overtime": [rule]})
    log = run(scenario, order("Mon 14:30", "big"), order("Mon 14:31", "job"), order("Mon 14:31", "job"))
    assert story(log) == [
        ("sew A", "sewer 1 + sewer 2", "Mon 14:30", "Mon 15:00"),
        ("sew A", "sewer 1 + sewer 2", "Mon 15:00", "Mon 15:15"),
        ("sew B", "sewer 1", "Mon 15:15", "Mon 16:15"),
        ("sew C", "sewer 2", "Mon 15:15", "Mon 16:15"),
    ]


def test_sewing_is_given_out_when_too_much_waits():
    # More than one hour a seat waiting: A is at work, B finds 0 h before it, C finds 1 h, which is not more; D finds 2
    # and goes out for two working days, back on Wednesday 08:00, at 4 m of edge x 2.2 + 2.5 = 11.3.
    scenario = sewing_room([crew("ann", "sewing")], seats=1, policies={
        "bought_in": [{"at": "sewing", "when_queue_h": 1.0, "back_after_days": 2.0}]})  # fmt: skip
    log = run(scenario, *(order("Mon 08:00", "job") for _ in range(4)))
    assert story(log) == [
        ("sew A", "ann", "Mon 08:00", "Mon 09:00"),
        ("bought_in D", "outside", "Mon 08:00", "Wed 08:00"),
        ("sew B", "ann", "Mon 09:00", "Mon 10:00"),
        ("sew C", "ann", "Mon 10:00", "Mon 11:00"),
    ]
    assert rows(log, "bought_in")[0]["cost"] == pytest.approx(11.3, abs=1e-6)
    assert endings(log)[3] == ("dispatched", "D", "Wed 08:00", "Wed 16:00")
