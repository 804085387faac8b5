"""Every measure of one hand-written week, and what becomes of measures that do not exist."""

import math
import subprocess
import sys

import pytest

from shopsim.floor.record import STATE
from shopsim.measures.kpis import measures_of
from shopsim.measures.measure_names import (
    LESS_IS_BETTER,
    MEANINGS,
    MORE_IS_BETTER,
    NEITHER_IS_BETTER,
    UNITS,
    unit_of,
    wanted,
)
from tests.measures.hand_logs import WEEK, hand_log, hand_shop, operation, shipped
from tests.measures.weeks import full_shop, full_week

EXPECTED = {
    "orders_received_per_week": 5,
    "orders_per_week": 2,
    # Orders 0, 1 and 3 were due: one on time, one 24 h late, one inside and 480 min late at the end.
    "on_time_share": 1 / 3,
    "late_orders": 2,
    "tardiness_mean_h": (24 + 8) / 3,
    "lead_time_mean_h": (32.5 + 30) / 2,
    "lead_time_p50_h": 31.25,
    "lead_time_p90_h": 30 + 0.9 * 2.5,
    "promised_p50_h": ((2430 - 480) + (960 - 600)) / 2 / 60,
    "work_in_process_orders": ((2430 - 480) + (2400 - 600) + (2000 - 1000) + (10080 - 9000) + (10080 - 9500)) / 10080,
    "held_back_orders": 0,
    "turned_away_orders": 0,
    "turned_away_share": 0,
    "cancelled_orders": 1,
    "claims_share": 1 / 2,
    "lot_broken_orders": 1,
    "printed_m2_per_week": 3,
    "dispatched_m2_per_week": 3,
    # 17 m2 of web used, 8 of it under pieces; one of three square metres printed is printed again.
    "fabric_waste_share": 9 / 17,
    "reprint_share": 1 / 3,
    "first_pass_yield": 2 / 3,
    "roll_changes_per_week": 1,
    # The printer waits hot from 15:30 to 16:00.
    "unattended_hot_h_per_week": 0.5,
    "overtime_h_per_week": 2,
    "handover_h_per_week": 0,
    # 10 kW for 30 min, 4 kW for 510 min.
    "energy_kwh_per_week": 39,
    "revenue_per_week": 110,
    "late_penalties_per_week": 3,
    "cost_per_week": 3521.8,
    "cost_per_m2": 3521.8 / 3,
    "margin_per_week": 110 - 3 - 3521.8,
    # Waits of 5, 45 and 10 min; two pieces waited 20 min for the printer, one 60.
    "wait_mean_h.sewing": 20 / 60,
    "wait_mean_h.print room": (20 + 20 + 60) / 3 / 60,
    # Planned: 10 min printing, 20 warming, 480 of the waiting.
    "busy_share.p1": 30 / 510,
    "printing_share.p1": 10 / 510,
    # 90 seat minutes of 2 seats open 5 x 480 + 60; the op 20 of 2400; the sewers 40 + 20 + 2 x 30 of 4 x 480 + 5 x 480
    # + 2 x 60, one being absent on Thursday.
    "busy_share.sewing": 90 / (2 * 2460),
    "busy_share.op": 20 / 2400,
    "busy_share.sewers": 120 / (9 * 480 + 120),
}


def test_every_measure_of_a_week() -> None:
    scenario = full_shop()
    found = measures_of(full_week(scenario), scenario)
    assert found.keys() == EXPECTED.keys()
    assert found == pytest.approx(EXPECTED)
    assert all(type(value) is float for value in found.values())


def test_the_window_leaves_out_the_warm_up() -> None:
    """From minute 1000 on nothing is printed, sewn or paid overtime; two orders are dispatched, one was due before."""
    scenario = full_shop()
    log = full_week(scenario)
    log.warm_up_min = 1000.0
    found = measures_of(log, scenario)
    weeks = (WEEK - 1000) / WEEK
    assert found["orders_per_week"] == pytest.approx(2 / weeks)
    assert found["orders_received_per_week"] == pytest.approx(3 / weeks)
    assert found["late_orders"] == 1
    assert found["overtime_h_per_week"] == found["printed_m2_per_week"] == found["unattended_hot_h_per_week"] == 0
    assert math.isnan(found["wait_mean_h.sewing"])


def test_measures_that_do_not_exist_are_nan_and_nothing_else_is() -> None:
    found = measures_of(hand_log(hand_shop()), hand_shop())
    absent = {name for name, value in found.items() if math.isnan(value)}
    assert absent == {
        "on_time_share", "tardiness_mean_h", "lead_time_mean_h", "lead_time_p50_h", "lead_time_p90_h", "promised_p50_h",
        "claims_share", "turned_away_share", "fabric_waste_share", "reprint_share", "first_pass_yield", "cost_per_m2",
        "wait_mean_h.sewing", "wait_mean_h.print room", "busy_share.p1", "printing_share.p1",
    }  # fmt: skip


def test_a_collection_after_the_end_is_no_dispatch() -> None:
    """Complete, but the cut-off lies at the horizon: half-open, so the order is still inside; due then is not due."""
    orders = [shipped(0, 100, WEEK - 1, WEEK), shipped(1, 100, WEEK, math.inf)]
    log = hand_log(hand_shop(), orders=orders, lines=[{"order": 0, "pieces": 1}, {"order": 1, "pieces": 1}])
    found = measures_of(log, hand_shop())
    assert found["orders_per_week"] == 0
    assert found["late_orders"] == 1
    assert found["tardiness_mean_h"] == pytest.approx(1 / 60)


def test_only_the_first_stretch_of_a_task_waits() -> None:
    parts = [
        operation(1, 4, 430, 450, ready=420, part=0, last=0, seat=0, person=1, order=0),
        operation(1, 4, 500, 510, ready=420, part=1, seat=0, person=1, order=0),
    ]
    found = measures_of(hand_log(hand_shop(), operations=parts), hand_shop())
    assert found["wait_mean_h.sewing"] == pytest.approx(10 / 60)


@pytest.mark.parametrize(("crew", "hours"), [(0, 0.0), (1, 1.0)])
def test_overtime_of_the_operators_looks_after_the_printer(crew: int, hours: float) -> None:
    """Hot until 16:30, with overtime of the operator, or of the sewers, who do not look after it."""
    states = [("off", 0, 420), ("waiting_job", 420, 990), ("off", 990, WEEK)]
    log = hand_log(
        hand_shop(),
        printer_states=[{"printer": 0, "state": STATE[name], "start": a, "end": b} for name, a, b in states],
        overtime=[{"crew": crew, "start": 930, "end": 990, "people": 1}],
    )
    assert measures_of(log, hand_shop())["unattended_hot_h_per_week"] == hours


def test_printed_area_is_that_of_the_line_and_of_the_window() -> None:
    """Order 0 has no printed line, order 1 a line of 2 m2 and one of 6 m2, of which 3 pieces are printed in the window;
    2 m2 found faulty in the window are of a product printed here, as are 5 m2 before it."""
    lines = [(0, 0, 1.0), (1, 0, 2.0), (1, 1, 6.0)]
    log = hand_log(
        hand_shop(), 1000,
        orders=[shipped(0, 0, 0, 500), shipped(1, 0, 0, 500)],
        lines=[{"order": o, "line": n, "pieces": 1, "width_m": area, "height_m": 1} for o, n, area in lines],
        bundles=[{"bundle": 0, "order": 1, "line": 1, "made": 900}, {"bundle": 1, "order": 1, "line": 1, "made": 2000}],
        prints=[{"bundle": 0, "pieces": 9, "end": 900}, {"bundle": 1, "pieces": 3, "end": 2000}],
        remakes=[{"at": 900, "m2": 5}, {"at": 2100, "m2": 2}],
    )  # fmt: skip
    found = measures_of(log, hand_shop())
    assert found["printed_m2_per_week"] == pytest.approx(18 / ((WEEK - 1000) / WEEK))
    assert found["reprint_share"] == pytest.approx(2 / 18)


def test_each_measure_is_explained() -> None:
    names = {name.partition(".")[0] for name in EXPECTED}
    # Only shops with limited room before a place have blocked seats.
    assert names | {"blocked_share"} == UNITS.keys() == MEANINGS.keys()
    assert unit_of("wait_mean_h.sewing") == "h"
    with pytest.raises(KeyError):
        unit_of("speed")


def test_of_each_measure_it_is_known_whether_a_shop_wants_more_or_less() -> None:
    """Whatever is in no class would be taken for something a shop wants more of: the worst would be called best."""
    kinds = (MORE_IS_BETTER, LESS_IS_BETTER, NEITHER_IS_BETTER)
    assert sorted(name for kind in kinds for name in kind) == sorted(UNITS)
    wants = {name: wanted(name) for name in ("turned_away_share", "blocked_share.sewing", "first_pass_yield.print")}
    assert wants == {"turned_away_share": -1, "blocked_share.sewing": -1, "first_pass_yield.print": 1}
    assert wanted("busy_share.printer_1") == 0


def test_a_row_of_measures_needs_no_pandas() -> None:
    """Every worker process of a study pays for what this module imports."""
    code = "import sys, shopsim.measures.kpis, shopsim.measures.bottleneck; sys.exit('pandas' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
