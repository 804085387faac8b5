"""Side work of those who find nothing to do, and what it is to the measures."""

import pytest

from shopsim.measures.active_periods import active_periods
from shopsim.measures.audit import audit
from shopsim.measures.facts import Facts
from shopsim.measures.time_split import key_figures, time_split
from tests.stories.shops import centre, crew, order, print_shop, printer, product, run, shift, shop, step, story

FRAME = product("frame", step("sew", "sewing", 60.0))
BIG = product("big", step("sew", "sewing", 60.0), sizes=[{"width_m": 6.0, "height_m": 1.0}])
LUNCH = shift("day", breaks=("12:00-12:30",))


def tidying(name="ann", skills="sewing", minutes=50.0, **changes):
    return crew(name, skills, side_work={"minutes": minutes}, **changes)


def sewing_room(*crews, seats=1, **changes):
    return shop(**{"work_centres": [centre("sewing", "sewing", seats=seats)], "crews": list(crews) or [tidying()],
                   "products": [FRAME], "shifts": [LUNCH], **changes})  # fmt: skip


def pairs(products=(BIG,), seats=1):
    """Where large pieces take two people 45 min."""
    place = centre("sewing", "sewing", seats=seats, second_person_above_m=5.0, two_person_labour_factor=1.5)
    return {"products": list(products), "work_centres": [place]}


def balanced(scenario, *orders):
    log = run(scenario, *orders)
    assert audit(log, scenario) == []
    return log


def monday(log):
    return [line for line in story(log) if line[2].startswith("Mon ")]


def test_side_jobs_follow_each_other_until_there_is_work_and_are_not_interrupted():
    # Jobs of 50 min from 07:00 on; A comes at 08:00, in the middle of the second, and is begun at 08:40. From 09:40 on
    # side work again: 09:40-10:30, 10:30-11:20; the third runs over lunch, 11:20-12:00 and 12:30-12:40; then 12:40,
    # 13:30, and 14:20-15:00, cut by the shift's end. On Tuesday it begins anew.
    log = balanced(sewing_room(), order("Mon 08:00", "frame"))
    assert monday(log) == [
        ("side_work", "ann", "Mon 07:00", "Mon 07:50"),
        ("side_work", "ann", "Mon 07:50", "Mon 08:40"),
        ("sew A", "ann", "Mon 08:40", "Mon 09:40"),
        ("side_work", "ann", "Mon 09:40", "Mon 10:30"),
        ("side_work", "ann", "Mon 10:30", "Mon 11:20"),
        ("side_work", "ann", "Mon 11:20", "Mon 12:40"),
        ("side_work", "ann", "Mon 12:40", "Mon 13:30"),
        ("side_work", "ann", "Mon 13:30", "Mon 14:20"),
        ("side_work", "ann", "Mon 14:20", "Mon 15:00"),
    ]
    assert story(log)[9] == ("side_work", "ann", "Tue 07:00", "Tue 07:50")
    assert log.column("operations", "worked_min")[[5, 8]].tolist() == [50, 40]


def test_a_side_job_that_ends_with_a_break_is_followed_by_work_after_it():
    # 07:00-07:50 and so on without work: the sixth, 11:10-12:00, ends with the morning. B comes at lunch.
    log = balanced(sewing_room(), order("Mon 12:10", "frame"))
    assert monday(log)[5:8] == [
        ("side_work", "ann", "Mon 11:10", "Mon 12:00"),
        ("sew A", "ann", "Mon 12:30", "Mon 13:30"),
        ("side_work", "ann", "Mon 13:30", "Mon 14:20"),
    ]


def test_work_that_comes_as_a_side_job_would_begin_goes_before_it():
    # A ends at 08:50, the minute at which B comes: no side job between.
    log = balanced(sewing_room(), order("Mon 07:40", "frame"), order("Mon 08:50", "frame"))
    assert monday(log)[:3] == [
        ("side_work", "ann", "Mon 07:00", "Mon 07:50"),
        ("sew A", "ann", "Mon 07:50", "Mon 08:50"),
        ("sew B", "ann", "Mon 08:50", "Mon 09:50"),
    ]


def test_a_side_job_runs_on_into_overtime():
    # At 14:00 A is in work and B waits, 1 h, more than half an hour: ann stays until 16:30. Side work 15:20-16:10, and
    # 16:10-16:30, cut by the end of the overtime.
    rule = {"crews": ["ann"], "when_queue_h": 0.5, "minutes": 90.0, "notice_min": 60.0}
    log = balanced(sewing_room(policies={"overtime": [rule]}), order("Mon 13:20", "frame"), order("Mon 13:20", "frame"))
    assert monday(log)[-4:] == [
        ("sew A", "ann", "Mon 13:20", "Mon 14:20"),
        ("sew B", "ann", "Mon 14:20", "Mon 15:20"),
        ("side_work", "ann", "Mon 15:20", "Mon 16:10"),
        ("side_work", "ann", "Mon 16:10", "Mon 16:30"),
    ]


def test_no_side_job_is_shorter_than_a_minute():
    short = tidying(minutes={"uniform": {"low": 0.0, "high": 2.0}})
    log = balanced(sewing_room(short, shifts=[shift("day", "07:00-17:00")]))
    minutes = log.column("operations", "worked_min")
    assert (minutes[:-1] >= 1 - 1e-9).sum() >= len(minutes) - 5
    assert (abs(minutes - 1) < 1e-9).mean() == pytest.approx(0.5, abs=0.05)


def test_only_the_crew_that_has_it_does_side_work_and_whoever_is_idle_takes_the_work():
    # Ben has none: he stands idle and takes A at once, while ann is at her side job.
    log = balanced(sewing_room(tidying(), crew("ben", "sewing")), order("Mon 08:00", "frame"))
    assert [line for line in monday(log) if line[0] != "side_work"] == [("sew A", "ben", "Mon 08:00", "Mon 09:00")]
    assert {line[1] for line in story(log, "side_work")} == {"ann"}


def test_a_pair_waits_for_whoever_is_at_a_side_job():
    # The large piece of 08:00 needs ben, idle, and ann, who ends a side job at 08:40.
    log = balanced(sewing_room(tidying(), crew("ben", "sewing"), **pairs()), order("Mon 08:00", "big"))
    assert story(log, "sew") == [("sew A", "ann + ben", "Mon 08:40", "Mon 09:25")]


def test_who_is_wanted_for_a_pair_waits_for_the_second_person():
    # Ben's side jobs of 30 min end at 08:30, ann's of 50 min at 08:40: he takes up no other, and both begin together.
    scenario = sewing_room(tidying(), tidying("ben", minutes=30.0), **pairs())
    log = balanced(scenario, order("Mon 08:10", "big"))
    assert story(log, "sew") == [("sew A", "ann + ben", "Mon 08:40", "Mon 09:25")]


def test_who_would_be_at_a_side_job_when_the_second_person_comes_waits():
    # Ben, 07:00-15:00, is alone and does side work, but not the job of 14:30-15:00, for ann comes at 14:45. A
    # quarter of an hour a day is theirs, on three days. After 15:00 ann does side work.
    shifts = [shift("day"), shift("late", "14:45-23:00")]
    scenario = sewing_room(tidying(shift="late"), tidying("ben", minutes=30.0), shifts=shifts, **pairs())
    log = balanced(scenario, order("Mon 08:10", "big"))
    assert story(log, "sew") == [
        ("sew A", "ann + ben", "Mon 14:45", "Mon 15:00"),
        ("sew A", "ann + ben", "Tue 14:45", "Tue 15:00"),
        ("sew A", "ann + ben", "Wed 14:45", "Wed 15:00"),
    ]
    tidied = [line[1:] for line in monday(log) if line[0] == "side_work"]
    assert ("ben", "Mon 14:00", "Mon 14:30") in tidied
    assert ("ben", "Mon 14:30", "Mon 15:00") not in tidied
    assert ("ann", "Mon 15:00", "Mon 15:50") in tidied


def test_who_waited_for_a_second_person_in_vain_takes_up_side_work_when_that_one_has_gone():
    # Ben sews 14:30-15:00 and leaves the rest; ann, wanted from 14:45 on, waits for him until 15:00.
    shifts = [shift("day"), shift("late", "14:45-23:00")]
    shop_of_two = pairs(products=[FRAME, BIG], seats=2)
    scenario = sewing_room(tidying(shift="late"), crew("ben", "sewing"), shifts=shifts, **shop_of_two)
    log = balanced(scenario, order("Mon 14:30", "frame", due="Tue"), order("Mon 14:40", "big"))
    assert monday(log)[:3] == [
        ("sew A", "ben", "Mon 14:30", "Mon 15:00"),
        ("sew A", "ann", "Mon 15:00", "Mon 15:30"),
        ("side_work", "ann", "Mon 15:30", "Mon 16:20"),
    ]


def test_nobody_waits_for_a_second_person_who_is_away():
    # Ben falls ill every day: no second person, so ann does side work although a large piece waits.
    ill = {"new_spell_pct_per_day": 100.0, "spell_days": 1.0}
    log = balanced(sewing_room(tidying(), crew("ben", "sewing", absence=ill), **pairs()), order("Mon 08:10", "big"))
    assert monday(log)[2] == ("side_work", "ann", "Mon 08:40", "Mon 09:30")


def test_a_printer_waits_for_an_operator_at_a_side_job_then_has_all_its_hands_in_a_row():
    # While the plate warms up, 07:00-07:20, the operator takes up a job of 45 min: the roll is changed from 07:45 on,
    # and the nozzles are checked at once when it is in, before the next side job.
    check = {"minutes": 3.0, "at_shift_start": False, "after_roll_change": True, "every_running_h": None,
             "fails_pct": 0.0, "fails_after_idle_pct": 0.0, "test_strip_m": 0.0}  # fmt: skip
    log = balanced(print_shop(crews=[tidying("op", "printing", minutes=45.0)], printers=[printer(nozzle_check=check)]),
                   order("Mon 07:10"))  # fmt: skip
    assert monday(log)[:4] == [
        ("side_work", "op", "Mon 07:00", "Mon 07:45"),
        ("roll_change", "op", "Mon 07:45", "Mon 08:05"),
        ("nozzle_check", "op", "Mon 08:05", "Mon 08:08"),
        ("side_work", "op", "Mon 08:08", "Mon 08:53"),
    ]


def test_time_split_shows_side_work_as_attendance_and_not_as_work():
    # A week of 5 x 7.5 h; one hour of work: 2250 min attended, of which 2190 of side work, none idle.
    scenario = sewing_room(study={"warm_up_weeks": 0})
    log = run(scenario, order("Mon 08:00", "frame"))
    split = time_split(log, scenario).query("kind == 'crew'").set_index("state")
    assert split["minutes"].to_dict() == pytest.approx({"sew": 60, "side_work": 2190, "break": 150, "off_shift": 7680})
    assert split["term"].to_dict() == {"sew": "APWT", "side_work": "APAT", "break": "", "off_shift": ""}
    figures = key_figures(log, scenario).set_index(["id", "figure"])["value"]
    assert figures["ann", "worker_efficiency"] == pytest.approx(60 / 2250)


def test_people_at_side_work_hold_nothing_back():
    scenario = sewing_room()
    facts = Facts(run(scenario, order("Mon 08:00", "frame")), scenario)
    assert active_periods(facts)["sewing people"][1].total_min == pytest.approx(60)
