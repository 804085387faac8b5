"""Lead times taken apart, by hand: each minute of an order from receipt to dispatch has one reason."""

import numpy as np
import pytest

from shopsim.floor.record import KIND, STATE, RunLog
from shopsim.measures.why_late import REASONS, Stretch, order_story, reasons_by_place, why_late
from tests.measures.hand_logs import WEEK, hand_log, hand_shop, operation, shipped
from tests.stories.shops import crew, printer

Rows = list[dict[str, float]]
LINE = {"order": 0, "pieces": 1, "width_m": 1, "height_m": 1}


def states(*edges: tuple[str, float]) -> Rows:
    ends = [start for _, start in edges[1:]] + [WEEK]
    return [
        {"printer": 0, "state": STATE[state], "start": start, "end": end}
        for (state, start), end in zip(edges, ends, strict=True)
    ]


def stages(log: RunLog, order: int = 0) -> list[Stretch]:
    return order_story(log, hand_shop(), order)


def everything() -> RunLog:
    """An order that meets every reason. Received 50 min before the start, artwork looked at on Monday; printed twice,
    the second run over the night; sewn over a break and a night, repaired, finished outside, checked, collected on
    Wednesday at 16:00 (3840). Monday ends at 930, Tuesday is 1860-2100 and 2130-2370, Wednesday begins at 3300."""
    sew, at = KIND["sew"], {"order": 0, "seat": 0, "person": 1}
    return hand_log(
        hand_shop(),
        orders=[shipped(0, -50, 2430, 3840, released=500, complete=3510, last_bundle=1, check_task=9)],
        lines=[LINE],
        bundles=[{"bundle": 0, "order": 0, "pieces": 2, "attempt": 1, "made": 1870},
                 {"bundle": 1, "order": 0, "pieces": 1, "attempt": 1, "made": 3320, "parent": 0}],
        prints=[{"printer": 0, "order": 0, "bundle": 0, "pieces": 2, "attempt": 1, "ready": 600, "gang_ready": 640,
                 "start": 680, "end": 1870}],
        printer_states=states(("off", 0), ("printing", 680), ("off", 930), ("tail", 1860), ("waiting_job", 1870)),
        operations=[
            operation(1, KIND["artwork"], 440, 450, ready=0, wait_seat_min=12, **at),
            operation(2, sew, 2080, 2370, ready=1900, worked_min=260, wait_seat_min=100, last=0, bundle=0, **at),
            operation(2, sew, 3310, 3320, ready=1900, part=1, bundle=0, **at),
            # The rest of the bundle went on to this step without the piece to be repaired.
            operation(4, KIND["pack"], 3321, 3400, ready=3320, bundle=0, order=0, seat=1, person=2),
            operation(5, KIND["repair"], 3330, 3345, ready=3320, bundle=1, **at),
            {"task": 6, "kind": KIND["bought_in"], "ready": 3345, "start": 3345, "end": 3500, "worked_min": 155,
             "last": 1, "order": 0, "bundle": 1},
            operation(9, KIND["order_check"], 3500, 3510, **at),
        ],
    )  # fmt: skip


def test_the_story_of_an_order_that_meets_every_reason() -> None:
    room, seats = "print room", "sewing"
    assert stages(everything()) == [
        (-50, 0, "before_start", ""),
        (0, 420, "off_shift", seats), (420, 432, "seat_wait", seats), (432, 440, "people_wait", seats),
        (440, 450, "artwork_check", seats), (450, 500, "approval", ""),
        (500, 600, "rework", ""),
        (600, 640, "gang_wait", room), (640, 680, "printer_wait", room),
        (680, 930, "printing", room), (930, 1860, "off_shift", room), (1860, 1870, "printing", room),
        (1870, 1900, "drying", ""),
        (1900, 2000, "seat_wait", seats), (2000, 2080, "people_wait", seats), (2080, 2100, "work", seats),
        (2100, 2130, "off_shift", seats), (2130, 2370, "work", seats), (2370, 3300, "off_shift", seats),
        (3300, 3310, "people_wait", seats), (3310, 3320, "work", seats),
        (3320, 3330, "people_wait", seats), (3330, 3345, "rework", seats),
        (3345, 3500, "bought_in", seats),
        (3500, 3510, "order_check", seats), (3510, 3840, "dispatch_wait", ""),
    ]  # fmt: skip


def test_the_row_of_that_order_adds_up() -> None:
    (row,) = why_late(everything(), hand_shop()).to_dict("records")
    reasons = {name: row[name] for name in REASONS}
    assert reasons == {
        "before_start": 50, "artwork_check": 10, "approval": 50, "release_wait": 0, "gang_wait": 40, "printer_wait": 40,
        "printing": 260, "drying": 30, "people_wait": 8 + 80 + 10 + 10, "put_aside": 0, "seat_wait": 112,
        "room_wait": 0, "work": 270,
        "off_shift": 420 + 930 + 30 + 930, "rework": 115, "bought_in": 155, "order_check": 10, "dispatch_wait": 330,
    }  # fmt: skip
    assert row["lead_min"] == sum(reasons.values()) == 3890
    assert row["late_min"] == 3840 - 2430


def test_reasons_by_place() -> None:
    table = reasons_by_place(everything(), hand_shop(), late_only=True).set_index(["reason", "place"])
    assert table.loc[("off_shift", "print room"), "mean_h"] == pytest.approx(930 / 60)
    assert table["mean_h"].sum() == pytest.approx(3890 / 60)
    assert table["share"].sum() == pytest.approx(1)


def test_orders_are_told_apart() -> None:
    """Two orders without print share the sewing room; the second waits for a seat, then goes out at once."""
    at = {"seat": 0, "person": 1, "pieces": 1}
    log = hand_log(
        hand_shop(),
        orders=[shipped(1, 430, 500, 470, last_bundle=0), shipped(0, 430, 500, 450, last_bundle=1)],
        lines=[LINE, LINE | {"order": 1}],
        bundles=[{"bundle": 0, "order": 1, "made": 430}, {"bundle": 1, "order": 0, "made": 430}],
        operations=[
            operation(1, KIND["sew"], 430, 450, order=0, bundle=1, **at),
            operation(2, KIND["sew"], 450, 470, ready=430, wait_seat_min=20, order=1, bundle=0, **at),
        ],
    )
    assert stages(log, 0) == [(430, 450, "work", "sewing")]
    assert stages(log, 1) == [(430, 450, "seat_wait", "sewing"), (450, 470, "work", "sewing")]
    assert why_late(log, hand_shop())["order"].tolist() == [1, 0]


def test_a_roll_on_the_calender_carries_several_orders() -> None:
    """Off the printer at 450, dry at 465, on the drum 480-500 in one task for both orders."""
    scenario = hand_shop(
        calenders=[{"id": "drum", "people": 1}], crews=[crew("op", "printing calender"), crew("sewers", "sewing")],
        printers=[printer() | {"fixation": {"kind": "offline", "calender": "drum", "drying_min": 15.0}}],
    )  # fmt: skip
    printed = {"printer": 0, "ready": 430, "gang_ready": 430, "start": 430, "end": 450}
    log = hand_log(
        scenario,
        orders=[shipped(i, 430, 500, 500, last_bundle=i) for i in range(2)],
        lines=[LINE, LINE | {"order": 1}],
        bundles=[{"bundle": i, "order": i, "made": 450} for i in range(2)],
        prints=[printed | {"order": i, "bundle": i} for i in range(2)],
        printer_states=states(("printing", 0)),
        operations=[operation(1, KIND["calender"], 480, 500, ready=465, place=1, seat=0, person=0)],
        calendered=[{"task": 1, "bundle": i, "order": i} for i in range(2)],
    )
    log.places = ["sewing", "drum", "print room"]
    log.place_seats, log.place_calendars = [2, 1, None], [log.crew_calendars[0]] * 3
    for order in range(2):
        assert order_story(log, scenario, order) == [
            (430, 450, "printing", "print room"), (450, 465, "drying", ""), (465, 480, "people_wait", "drum"),
            (480, 500, "work", "drum"),
        ]  # fmt: skip


def test_a_line_made_outside_ends_the_order_when_it_comes_back_last() -> None:
    """The log names the bundle finished last inside (at 500); the line printed outside came back at 900."""
    log = hand_log(
        hand_shop(),
        orders=[shipped(0, 430, 500, 960, complete=900, last_bundle=1)],
        lines=[LINE, LINE | {"line": 1}],
        bundles=[{"bundle": 0, "order": 0, "made": 430}, {"bundle": 1, "order": 0, "made": 430, "line": 1}],
        operations=[
            {"task": 1, "kind": KIND["bought_in"], "place": 1, "ready": 430, "start": 430, "end": 900, "last": 1,
             "order": 0, "bundle": 0},
            operation(2, KIND["sew"], 430, 500, seat=0, person=1, order=0, bundle=1),
        ],
    )  # fmt: skip
    assert stages(log) == [(430, 900, "bought_in", "print room"), (900, 960, "dispatch_wait", "")]


def test_a_parent_s_next_step_of_no_length_is_left_out() -> None:
    """It ends at the very minute the piece to be repaired was taken out."""
    at = {"order": 0, "seat": 0, "person": 1}
    log = hand_log(
        hand_shop(),
        orders=[shipped(0, 430, 500, 470, last_bundle=1)],
        lines=[LINE],
        bundles=[{"bundle": 0, "order": 0, "made": 430}, {"bundle": 1, "order": 0, "made": 450, "parent": 0}],
        operations=[
            operation(1, KIND["inspect"], 430, 450, bundle=0, **at),
            operation(2, KIND["repair"], 450, 470, bundle=1, **at),
            operation(3, KIND["work"], 450, 450, bundle=0, **at),
        ],
    )
    assert stages(log) == [(430, 450, "work", "sewing"), (450, 470, "rework", "sewing")]


def test_nights_before_and_in_a_run() -> None:
    """Gang ready at 900, printer free on Tuesday at 1900; that run goes on alone from 2370 to 2400, stands over night
    and ends on Wednesday at 3310."""
    log = hand_log(
        hand_shop(),
        orders=[shipped(0, 900, 500, 3310, last_bundle=0)],
        lines=[LINE],
        bundles=[{"bundle": 0, "order": 0, "made": 3310}],
        prints=[{"printer": 0, "order": 0, "bundle": 0, "ready": 900, "gang_ready": 900, "start": 1900, "end": 3310}],
        printer_states=states(("off", 0), ("printing", 1900), ("waiting_job", 2400), ("tail", 3300), ("off", 3310)),
    )
    room = "print room"
    assert stages(log) == [
        (900, 930, "printer_wait", room), (930, 1860, "off_shift", room), (1860, 1900, "printer_wait", room),
        (1900, 2400, "printing", room), (2400, 3300, "off_shift", room), (3300, 3310, "printing", room),
    ]  # fmt: skip


def test_only_dispatched_orders_have_a_story() -> None:
    log = hand_log(hand_shop(), orders=[{"order": 0, "ended": np.inf}, shipped(1, 0, 0, WEEK)])
    for order in (0, 1, 7):
        with pytest.raises(ValueError) as found:
            stages(log, order)
        assert str(found.value) == f"order {order} was not dispatched in this run"
    assert why_late(log, hand_shop()).empty
    assert reasons_by_place(log, hand_shop()).empty
