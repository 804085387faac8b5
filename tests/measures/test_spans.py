"""What people and seats did, laid out by hand: the hand shop's Monday, 07:00-11:00 and 11:30-15:30."""

import itertools

import pytest

from shopsim.floor.record import KIND, RunLog
from shopsim.measures.spans import BUSY, PERSON_STATES, SEAT_STATES, person_spans, seat_spans
from shopsim.shop.scenario import Scenario
from tests.measures.hand_logs import WEEK, hand_log, hand_shop, operation
from tests.stories.shops import centre, crew, shift

Spans = list[tuple[str, float, float]]


def of_person(log: RunLog, scenario: Scenario, person: int, until: float = 1440) -> Spans:
    spans = person_spans(log, scenario)
    mine = spans.person == person
    names = [
        PERSON_STATES[state] + (" overtime" if over else "")
        for state, over in zip(spans.state[mine].tolist(), spans.overtime[mine].tolist(), strict=True)
    ]
    rows = zip(names, spans.start[mine].tolist(), spans.end[mine].tolist(), strict=True)
    return [row for row in rows if row[1] < until]


def of_seat(log: RunLog, scenario: Scenario, seat: int, until: float = 1440) -> Spans:
    spans = seat_spans(log, scenario)
    mine = (spans.place == 0) & (spans.seat == seat)
    names = [SEAT_STATES[state] for state in spans.state[mine].tolist()]
    rows = zip(names, spans.start[mine].tolist(), spans.end[mine].tolist(), strict=True)
    return [row for row in rows if row[1] < until]


def sewing(task: int, start: float, end: float, **more: float) -> dict[str, float]:
    return operation(task, KIND["sew"], start, end) | {"seat": 0, "person": 1} | more


def test_a_day_of_work_idleness_and_break() -> None:
    """Two operations follow each other; the second runs over the break."""
    log = hand_log(hand_shop(), operations=[sewing(1, 450, 500), sewing(2, 500, 700, worked_min=170)])
    assert of_person(log, hand_shop(), 1) == [
        ("off_shift", 0, 420), ("idle", 420, 450), ("sew", 450, 660), ("break", 660, 690), ("sew", 690, 700),
        ("idle", 700, 930), ("off_shift", 930, 1860),
    ]  # fmt: skip
    assert of_person(log, hand_shop(), 2)[:3] == [("off_shift", 0, 420), ("idle", 420, 660), ("break", 660, 690)]
    assert of_seat(log, hand_shop(), 0) == [
        ("closed", 0, 420), ("idle", 420, 450), ("busy", 450, 660), ("set_aside", 660, 690), ("busy", 690, 700),
        ("idle", 700, 930), ("closed", 930, 1860),
    ]  # fmt: skip
    assert of_seat(log, hand_shop(), 1)[1:4] == [("idle", 420, 660), ("closed", 660, 690), ("idle", 690, 930)]


def test_an_unfinished_piece_lies_on_its_seat_overnight() -> None:
    """Put down at 15:30 and taken up on Tuesday at 07:00 by the other sewer; done at 07:30."""
    log = hand_log(
        hand_shop(),
        operations=[
            sewing(1, 900, 930, last=0),
            sewing(1, 1860, 1890, part=1, person=2),
            sewing(2, 1880, 1900, seat=1),
        ],
    )
    assert of_seat(log, hand_shop(), 0, 2000)[3:] == [
        ("idle", 690, 900), ("busy", 900, 930), ("set_aside", 930, 1860), ("busy", 1860, 1890), ("idle", 1890, 2100),
    ]  # fmt: skip
    assert ("sew", 1860, 1890) in of_person(log, hand_shop(), 2, 2000)


def test_a_piece_never_finished_lies_until_the_end() -> None:
    log = hand_log(hand_shop(), operations=[sewing(1, 900, 930, last=0)])
    assert of_seat(log, hand_shop(), 0, WEEK)[-1] == ("set_aside", 930, WEEK)


def test_a_piece_of_a_cancelled_order_lies_until_the_cancellation() -> None:
    log = hand_log(
        hand_shop(),
        operations=[sewing(1, 900, 930, last=0, order=0)],
        orders=[{"order": 0, "ending": 3, "ended": 1200}],
    )
    assert of_seat(log, hand_shop(), 0)[-2:] == [("set_aside", 930, 1200), ("closed", 1200, 1860)]


def test_absence_takes_the_whole_shift_and_overtime_follows_it() -> None:
    """Sewer 1 (person 1) works overtime to 16:30, half of it idle; sewer 2 is absent, so neither at work nor paid."""
    log = hand_log(
        hand_shop(),
        operations=[sewing(1, 900, 960)],
        absences=[{"person": 2, "day": 0}],
        overtime=[{"crew": 1, "start": 930, "end": 990, "people": 1}],
    )
    assert of_person(log, hand_shop(), 1)[-4:] == [
        ("sew", 900, 930), ("sew overtime", 930, 960), ("idle overtime", 960, 990), ("off_shift", 990, 1860),
    ]  # fmt: skip
    assert of_person(log, hand_shop(), 2) == [("off_shift", 0, 420), ("absent", 420, 990), ("off_shift", 990, 1860)]
    assert of_seat(log, hand_shop(), 0)[-3:] == [("busy", 900, 960), ("idle", 960, 990), ("closed", 990, 1860)]


def test_a_machine_repair_takes_a_seat_where_the_repairers_work() -> None:
    """Booked at the place whose machine stands still; the seat is the workshop's."""
    stops = {"every_running_h": 10.0, "repair_at": "workshop"}
    scenario = hand_shop(
        work_centres=[centre("sewing", seats=1, stops=stops), centre("workshop")],
        crews=[crew("op", "printing workshop"), crew("sewers", "sewing")],
    )
    log = hand_log(scenario, operations=[operation(1, KIND["machine_repair"], 450, 500, place=0, seat=0, person=0)])
    spans = seat_spans(log, scenario)
    busy = [log.places[place] for place, state in zip(spans.place, spans.state, strict=True) if state == BUSY]
    assert busy == ["workshop"]


def test_two_people_of_different_crews_work_while_both_are_there() -> None:
    """The helper's crew comes at 08:00 (480): the first hour of the stretch the sewer waits for the helper."""
    scenario = hand_shop(
        shifts=[shift("day", "07:00-15:30"), shift("late", "08:00-15:30")],
        crews=[{"id": "sewers", "skills": {"sewing": 3}, "shift": "day", "count": 1},
               {"id": "op", "skills": {"printing": 3, "helper": 3}, "shift": "late"}],
    )  # fmt: skip
    log = hand_log(scenario, operations=[sewing(1, 420, 500, person=0, helper=1, worked_min=20)])
    assert of_person(log, scenario, 0)[:3] == [("off_shift", 0, 420), ("idle", 420, 480), ("sew", 480, 500)]
    assert of_person(log, scenario, 1)[:2] == [("off_shift", 0, 480), ("sew", 480, 500)]


@pytest.mark.parametrize("kind", ["person", "seat"])
@pytest.mark.parametrize("nearly", [500 + 1e-10, 500 - 1e-10])
def test_spans_tile_the_horizon_bit_for_bit(kind: str, nearly: float) -> None:
    """Endings and beginnings that differ in the last bit neither overlap nor leave a gap."""
    log = hand_log(hand_shop(), operations=[sewing(1, 450, nearly), sewing(2, 500, 700, worked_min=170)])
    rows = of_person(log, hand_shop(), 1, WEEK) if kind == "person" else of_seat(log, hand_shop(), 0, WEEK)
    assert rows[0][1] == 0.0
    assert rows[-1][2] == WEEK
    assert all(one[2] == other[1] and one[0] != other[0] for one, other in itertools.pairwise(rows))
    if kind == "person":
        assert rows[2] == ("sew", 450, 660)
