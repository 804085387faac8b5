"""Effectiveness, ISO 22400-2 key figures and yields: checks F-01 to F-03. Tolerance 1e-9: plain division.

F-01: S. Nakajima, Introduction to TPM (1988), worked example, OEE 42.6 % (from memory; arithmetic recomputed).
F-02: ISO 22400-2:2014; availability, effectiveness, quality and OEE confirmed in a public annex, the others from memory
of the standard; numbers derived.
F-03: rolled throughput yield as in ISO 13053-1; numbers derived, recomputed and simulated.
"""

from __future__ import annotations

import pytest

from shopsim.floor.record import STATE, RunLog
from shopsim.measures.busy_time import printer_times
from shopsim.measures.facts import Facts
from shopsim.measures.iso_terms import Output, UnitTimes, oee_after_nakajima
from shopsim.measures.yields import chance_of_enough, rolled_yield, starts_needed, yield_with_rework
from tests.stories.shops import crew, fabric, print_shop, printer, run


def test_oee_after_nakajima() -> None:
    found = oee_after_nakajima(460, 60, 400, 0.5, 0.8, 0.02)
    assert found == pytest.approx({
        "availability": 0.869565217391, "operating_speed_rate": 0.625, "net_operating_rate": 0.8, "performance": 0.5,
        "quality": 0.98, "oee": 0.426086956522,
    }, abs=1e-9)  # fmt: skip
    assert round(found["oee"], 3) == 0.426


# State of the printer and its minutes in one shift of 450: production 345, set-up 45, delays 30, nothing to do 30.
SHIFT = {"printing": 330, "tail": 15, "roll_change": 25, "nozzle_check": 12, "set_point": 8, "minor_stop": 18,
         "waiting_operator": 12, "waiting_job": 30}  # fmt: skip
ISO = {
    "availability": 0.766666666667, "allocation_efficiency": 0.933333333333, "utilisation_efficiency": 0.821428571429,
    "set_up_ratio": 0.115384615385, "technical_efficiency": 0.92,
    "effectiveness": 0.9, "quality_ratio": 0.946859903382, "oee": 0.653333333333,
    "net_equipment_effectiveness": 0.738550724638, "throughput_per_h": 28.5517241379, "scrap_ratio": 0.0338164251208,
    "rework_ratio": 0.0193236714976,
}  # fmt: skip


def times_of_a_shift() -> UnitTimes:
    """The times as the measures find them in the records of a printer, attended throughout the shift."""
    scenario = print_shop(fabrics=[fabric()], printers=[printer()], crews=[crew("op", "printing")])
    log: RunLog = run(scenario)
    log.columns["printer_states"] = type(log.columns["printer_states"])("d")
    at = 7 * 60
    for state, minutes in SHIFT.items():
        log.columns["printer_states"].extend((0, STATE[state], at, at + minutes))
        at += minutes
    return printer_times(Facts(log, scenario))[0]


def test_iso_22400_figures_of_one_printer_and_one_shift() -> None:
    times = times_of_a_shift()
    assert times == UnitTimes(production_min=345, set_up_min=45, delay_min=30, down_min=30)
    assert (times.planned_busy_min, times.busy_min, times.processing_min) == (450, 420, 390)
    output = Output(produced=207, good=196, scrap=7, rework=4, planned_min_each=1.5)
    found = times.key_figures() | output.key_figures(times, order_execution_min=435)
    assert found == pytest.approx(ISO, abs=1e-9)
    assert found["oee"] == pytest.approx(1.5 * 196 / 450, abs=1e-9)


def test_yields() -> None:
    steps = [0.96, 0.985, 0.995, 0.97, 0.99]
    rolled = rolled_yield(steps)
    assert rolled == pytest.approx(0.9035193816, abs=1e-9)
    assert starts_needed(200, rolled) == 222
    sewn = yield_with_rework(0.97, 0.6)
    assert sewn == pytest.approx(0.988, abs=1e-9)
    assert rolled_yield([0.96, 0.985, 0.995, sewn, 0.99]) == pytest.approx(0.92028572064, abs=1e-9)
    assert chance_of_enough(200, 222, rolled) == pytest.approx(0.608120275875, abs=1e-9)
