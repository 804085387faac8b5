"""Time stamps become rows of a work log, every stamp accounted for."""

from __future__ import annotations

import datetime
from typing import Any

from shopsim.shop.exports.stamps import work_of_stamps
from shopsim.studies.fit_shop import fit_shop
from tests.evidence.recorded_shop import true_shop

MONDAY = datetime.datetime(2026, 1, 5, 8)
BETWEEN = "of them run from one stamp of a person to the next, waiting in between counted as work"
ORDERS = [
    {"order_id": "A1", "product": "frame", "pieces": 2, "width_m": 2.8, "height_m": 1.0},
    {"order_id": "A1", "product": "frame", "pieces": 3, "width_m": 2.8, "height_m": 1.0},
    {"order_id": "A2", "product": "frame", "pieces": 1, "width_m": 2.8, "height_m": 1.0},
    {"order_id": "A2", "product": "light", "pieces": 4, "width_m": 2.8, "height_m": 1.5},
]


def stamp(order: str, step: str, minute: float, **more: Any) -> dict[str, Any]:
    return {"order_id": order, "step": step, "at": MONDAY + datetime.timedelta(minutes=minute), **more}


def test_start_and_end_make_a_row_with_what_the_order_is() -> None:
    stamps = [
        stamp("A1", "sewing", 0, moment="start"), stamp("A1", "sewing", 45, moment="end", person="Kraft 1"),
        stamp("A2", "sewing", 10, moment="start"), stamp("A2", "sewing", 70, moment="end"),
        stamp("A1", "cutting", 5, moment="start"), stamp("A2", "cutting", 9, moment="end"),
        stamp("A2", "table", 9, moment="end"), stamp("A2", "table", 9, moment="start"), stamp("A1", "printed", 3),
    ]  # fmt: skip
    rows, told = work_of_stamps(stamps, ORDERS, true_shop(1))
    first, second = rows
    assert first == {
        "place": "sewing", "order_id": "A1", "person": "Kraft 1", "start": MONDAY,
        "end": MONDAY + datetime.timedelta(minutes=45), "pieces": 5, "product": "frame", "width_m": 2.8,
        "height_m": 1.0,
    }  # fmt: skip
    # Lines of different products: their minutes cannot be told apart.
    assert (second["pieces"], "product" in second) == (5, False)
    assert told == [
        "9 time stamps make 2 rows of work",
        "of 2 time stamps no row is made: the other end of the step is missing",
        "of 2 time stamps no row is made: the end is not after the start",
        "of 1 time stamps no row is made: 'printed' is no place of the scenario",
    ]


def test_what_is_done_runs_from_the_stamp_before_of_the_same_person_and_day() -> None:
    stamps = [
        stamp("A1", "sewing", 30, person="Kraft 1"), stamp("A2", "sewing", 90, person="Kraft 1"),
        stamp("A2", "cutting", 20, person="Kraft 2"), stamp("A1", "sewing", 24 * 60, person="Kraft 1"),
        stamp("A1", "cutting", 7),
    ]  # fmt: skip
    rows, told = work_of_stamps(stamps, ORDERS, true_shop(1))
    assert [(row["order_id"], row["start"], row["end"]) for row in rows] == [
        ("A2", MONDAY + datetime.timedelta(minutes=30), MONDAY + datetime.timedelta(minutes=90))
    ]
    assert told == [
        f"5 time stamps make 1 rows of work; 1 {BETWEEN}",
        "of 3 time stamps no row is made: the first of a person's day, the start is not known",
        "of 1 time stamps no row is made: they say neither start or end nor a person",
    ]


def test_stamps_tell_the_pace_of_a_place() -> None:
    # A hem round 2.8 m x 1 m: 0.30 min a metre and a corner, 1.0 a piece (SEW-14), here at 80 % and 4 min of set-up.
    orders, stamps = [], []
    for i in range(120):
        pieces = 1 + i % 7
        orders.append({"order_id": f"A{i}", "product": "frame", "pieces": pieces, "width_m": 2.8, "height_m": 1.0})
        minutes = (4 + pieces * (0.30 * 7.6 + 4 * 0.30 + 1.0)) / 0.8 * (1 + (i % 3 - 1) * 0.02)
        day = 24 * 60 * (7 * (i // 5) + i % 5)
        stamps += [stamp(f"A{i}", "sewing", day, moment="start"), stamp(f"A{i}", "sewing", day + minutes, moment="end")]
    scenario = true_shop(1)
    rows, _ = work_of_stamps(stamps, orders, scenario)
    found = {one.path: one.estimate for one in fit_shop(scenario, work_log=rows).fitted}
    efficiency, set_up = found["crews.sewers.efficiency_pct"], found["work_centres.sewing.set_up_min"]
    assert efficiency.low < 80 < efficiency.high < 83
    assert set_up.low < 4 < set_up.high < 4.5
