"""A stretch of a hand-written week as bars."""

from __future__ import annotations

from shopsim.floor.record import KIND, STATE
from shopsim.measures.day_bars import day_bars
from tests.measures.hand_logs import hand_log, hand_shop, operation, shipped


def test_bars_of_a_morning() -> None:
    # Sewer 1 sews for order 3 from 10:00 to 12:00 with the break 11:00-11:30 between; seen from 10:30 to 12:30.
    scenario = hand_shop()
    log = hand_log(
        scenario,
        orders=[shipped(order, 0, 5000, 4000) for order in range(4)],
        operations=[operation(0, KIND["sew"], 600, 720, place=0, seat=1, person=1, order=3, worked_min=90)],
        printer_states=[
            {"printer": 0, "state": STATE["off"], "start": 0, "end": 640},
            {"printer": 0, "state": STATE["printing"], "start": 640, "end": 700},
            {"printer": 0, "state": STATE["off"], "start": 700, "end": 10080},
        ],
    )
    found = day_bars(log, scenario, 630, 750)
    rows = {
        (kind, row): [] for kind, row in zip(found["kind"], found["row"], strict=True)
    }  # fmt: skip
    for bar in found.sort_values("start_min", kind="stable").itertuples():
        order = None if bar.order != bar.order else bar.order
        rows[bar.kind, bar.row].append((bar.state, bar.start_min, bar.end_min, order))
    idle = [("idle", 630, 660, None), ("break", 660, 690, None), ("idle", 690, 750, None)]
    assert rows == {
        ("printer", "p1"): [("printing", 640, 700, None)],
        ("place", "sewing 2"): [("sew", 630, 660, 3), ("set_aside", 660, 690, None), ("sew", 690, 720, 3)],
        ("person", "op 1"): idle,
        ("person", "sewers 1"): [
            ("sew", 630, 660, 3), ("break", 660, 690, None), ("sew", 690, 720, 3), ("idle", 720, 750, None)
        ],
        ("person", "sewers 2"): idle,
    }  # fmt: skip


def test_a_night_has_no_bars() -> None:
    scenario = hand_shop()
    assert day_bars(hand_log(scenario), scenario, 0, 300).empty
