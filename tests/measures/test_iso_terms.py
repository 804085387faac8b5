"""Key figures against printed and derived values: cases F-01 and F-02 of the outside checks."""

import math

import pytest

from shopsim.floor.record import STATES
from shopsim.measures.iso_terms import STATE_TERMS, Output, UnitTimes, oee_after_nakajima, ratio

# F-02, one printer and one shift, min and m2: PBT 450 = AUBT 420 + 30, AUPT 390 = APT 345 + AUST 45, ADET 30.
TIMES = UnitTimes(production_min=345, set_up_min=45, delay_min=30, down_min=30)
OUTPUT = Output(produced=207, good=196, scrap=7, rework=4, planned_min_each=1.5)


def test_the_times_nest_as_the_standard_says() -> None:
    assert (TIMES.processing_min, TIMES.busy_min, TIMES.planned_busy_min) == (390, 420, 450)


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("availability", 0.766666666667),
        ("effectiveness", 0.9),
        ("quality_ratio", 0.946859903382),
        ("oee", 0.653333333333),
        ("net_equipment_effectiveness", 0.738550724638),
        ("allocation_efficiency", 0.933333333333),
        ("utilisation_efficiency", 0.821428571429),
        ("set_up_ratio", 0.115384615385),
        ("technical_efficiency", 0.92),
        ("throughput_per_h", 28.5517241379),
        ("scrap_ratio", 0.0338164251208),
        ("rework_ratio", 0.0193236714976),
    ],
)
def test_f02_iso_22400_2(name: str, expected: float) -> None:
    figures = TIMES.key_figures() | OUTPUT.key_figures(TIMES, order_execution_min=435)
    assert figures[name] == pytest.approx(expected, abs=1e-9)


def test_f02_identity_of_oee() -> None:
    assert OUTPUT.key_figures(TIMES)["oee"] == pytest.approx(1.5 * 196 / 450, abs=1e-9)


def test_f01_nakajima() -> None:
    figures = oee_after_nakajima(460, 60, 400, ideal_cycle_min=0.5, actual_cycle_min=0.8, defects=0.02)
    expected = {
        "availability": 0.869565217391, "performance": 0.5, "operating_speed_rate": 0.625, "net_operating_rate": 0.8,
        "quality": 0.98, "oee": 0.426086956522,
    }  # fmt: skip
    assert figures == pytest.approx(expected, abs=1e-9)


def test_every_printer_state_has_a_term() -> None:
    assert set(STATE_TERMS) == set(STATES)


def test_a_figure_without_a_whole_is_nan() -> None:
    assert math.isnan(ratio(0.0, 0.0))
    idle = UnitTimes(0, 0, 0, 60).key_figures()
    assert idle["availability"] == 0.0
    assert math.isnan(idle["utilisation_efficiency"])
