"""Queues by hour and constraints by weekday, on hand-written weeks."""

from __future__ import annotations

import pytest

from shopsim.floor.record import KIND
from shopsim.measures.by_hour import constraint_by_weekday, waiting_by_hour
from tests.measures.hand_logs import hand_log, hand_shop, operation

SEW, PRINT_ROOM = 0, 1


def sewing(task: int, start: float, end: float, **more: float) -> dict[str, float]:
    return operation(task, KIND["sew"], start, end, place=SEW, order=0, bundle=task, **more)


def test_waiting_by_hour() -> None:
    # In line 07:00-08:00 and 07:30-08:30: 1.5 bundles on average from 07:00 to 08:00, 0.5 in the next hour. A second
    # stretch of the first task and side work wait for nothing; two printed pieces of one bundle wait 10:00-10:15.
    scenario = hand_shop()
    log = hand_log(
        scenario,
        operations=[
            sewing(0, 480, 490, ready=420, seat=0, person=1),
            sewing(0, 600, 610, ready=420, part=1, seat=0, person=1),
            sewing(1, 510, 520, ready=450, seat=1, person=2),
            operation(2, KIND["side_work"], 540, 600, ready=480, place=SEW, person=2),
        ],
        prints=[{"ready": 600, "start": 615, "end": 620, "pieces": 2}],
    )
    found = waiting_by_hour(log, scenario)
    some = found[found["waiting"] > 0]
    assert list(some.itertuples(index=False, name=None)) == [
        ("sewing", 7, pytest.approx(1.5)), ("sewing", 8, pytest.approx(0.5)), ("print room", 10, pytest.approx(0.25)),
    ]  # fmt: skip
    assert len(found) == 2 * 168


def test_hours_of_several_weeks_fold() -> None:
    # A window that begins on Tuesday at 07:30 has whole hours from 08:00 on, and no Monday.
    scenario = hand_shop()
    log = hand_log(scenario, 1440 + 450.0, operations=[sewing(0, 2000, 2010, ready=1000, seat=0, person=1)])
    found = waiting_by_hour(log, scenario)
    some = found[(found["place"] == "sewing") & (found["waiting"] > 0)]
    assert some["hour"].tolist() == [32, 33]
    assert some["waiting"].tolist() == pytest.approx([1.0, 20 / 60])


def test_constraint_by_weekday() -> None:
    # Both sewers at both seats all Monday: the seats hold the shop back all day (named before the people, who are as
    # long active). On Tuesday they sew for a quarter of the 510 minutes from 07:00 to 15:30.
    scenario = hand_shop()
    both = [(0, 1), (1, 2)]
    log = hand_log(
        scenario,
        operations=[
            sewing(10 * day + seat, 1440 * day + 420, 1440 * day + end, seat=seat, person=person)
            for day, end in ((0, 930.0), (1, 420 + 127.5))
            for seat, person in both
        ],
    )
    found = constraint_by_weekday(log, scenario)
    shares = dict(zip(zip(found["weekday"], found["id"], strict=True), found["share"], strict=True))
    assert {key: share for key, share in shares.items() if share} == {
        (0, "sewing"): pytest.approx(1), (1, "sewing"): pytest.approx(0.25)
    }  # fmt: skip
    assert sorted({day for day, _ in shares}) == [0, 1, 2, 3, 4]


def test_nothing_busy_has_no_constraint() -> None:
    scenario = hand_shop()
    assert constraint_by_weekday(hand_log(scenario), scenario).empty
