"""Units, shrinkage and rolls: check J-01, and what follows from the same definitions.

1 in = 25.4 mm, 1 yd = 0.9144 m, 1 lb = 0.45359237 kg exactly (international agreement 1959); dimensional change as in
ISO 5077: (final - original) / original; a wound roll has the cross-section of its cloth. Numbers derived, recomputed.
"""

from __future__ import annotations

import math

import pytest

from shopsim.craft.fixation import dwell_s, fixation_cap_m_per_h, run_speed_m_per_h, width_at_cap_m
from shopsim.craft.layout import print_size
from shopsim.craft.printing import area_rate_m2_per_h, feed_from_rate
from shopsim.craft.rolls import length_on_core_m, needs_lift, roll_diameter_m, roll_mass_kg
from shopsim.floor.record import STATE
from tests.stories.shops import fabric, order, print_shop, printer, run


def test_speed_and_dwell() -> None:
    feed = feed_from_rate(90, 3.2, 3.2)
    assert feed == pytest.approx(28.125, abs=1e-12)
    assert feed * 1000 / 3600 == pytest.approx(7.8125, abs=1e-9)
    cap = fixation_cap_m_per_h(1.2, 45)
    assert cap == pytest.approx(96, abs=1e-12)
    line = run_speed_m_per_h(feed, cap)
    assert line == pytest.approx(28.125, abs=1e-12)
    assert dwell_s(1.2, line) == pytest.approx(153.6, abs=1e-9)
    assert width_at_cap_m(90, cap) == pytest.approx(0.9375, abs=1e-9)
    # Published rates are in square feet an hour as well: 1 ft = 0.3048 m exactly.
    assert area_rate_m2_per_h(28.125, 3.2) / 0.3048**2 == pytest.approx(968.751937503875, abs=1e-9)


def test_the_floor_prints_at_the_speed_of_the_units() -> None:
    """90 m2/h at 3.2 m is 28.125 m/h: 10 m of full width take 21 min 20 s on the printer."""
    wide = fabric(roll_width_m=3.2, dwell_s=45.0)
    mode = {"id": "std", "area_rate_m2_per_h": 90.0, "rated_width_m": 3.2, "achieved_share": 1.0}
    machine = printer(print_width_m=3.2, modes=[mode], fixation={"kind": "inline", "plate_m": 1.2, "tail_m": 3.0})
    log = run(print_shop(fabrics=[wide], printers=[machine]), order("Mon 06:00", width_m=3.2, height_m=10.0, due="Fri"))
    spans = log.table("printer_states")
    printing = spans[spans[:, 1] == STATE["printing"]]
    assert sum(printing[:, 3] - printing[:, 2]) == pytest.approx(10 / 28.125 * 60, abs=1e-9)


def test_shrinkage_is_divided_out_not_added() -> None:
    size = print_size(4.0, 4.0, 0.0, 0.025, 0.0)
    assert size.along_m == pytest.approx(4.10256410256, abs=1e-9)
    assert size.along_m != pytest.approx(4.1, abs=1e-4)


@pytest.mark.parametrize("change_pct", [-0.5, -1.0, -2.5, -4.0])
def test_the_finished_size_comes_out_by_iso_5077(change_pct: float) -> None:
    size = print_size(2.0, 5.0, -change_pct / 100, -change_pct / 100, 0.012)
    for printed, finished in ((size.across_m, 2.024), (size.along_m, 5.024)):
        assert (finished - printed) / printed * 100 == pytest.approx(change_pct, abs=1e-9)


def test_a_roll_of_fabric() -> None:
    length = length_on_core_m(0.320, 0.00038, 0.090)
    assert length == pytest.approx(194.902754759, abs=1e-6)
    assert roll_mass_kg(210, 3.2, length, core_kg=0.0) == pytest.approx(130.974651198, abs=1e-6)
    # 6.2 oz a square yard; 16 oz are a pound.
    g_per_m2 = 6.2 / 16 * 0.45359237 * 1000 / 0.9144**2
    assert g_per_m2 == pytest.approx(210.215634344, abs=1e-6)


@pytest.mark.parametrize("length", [0.0, 1.0, 50.0, 100.0, 300.0])
def test_length_and_diameter_are_each_others_inverse(length: float) -> None:
    """Cross-section of the cloth: pi/4 (D^2 - d^2) = length x thickness, and so for one turn pi (d + t) t."""
    diameter = roll_diameter_m(length, 0.00038, 0.0762)
    assert length_on_core_m(diameter, 0.00038, 0.0762) == pytest.approx(length, abs=1e-9)
    assert math.pi / 4 * (diameter**2 - 0.0762**2) == pytest.approx(length * 0.00038, abs=1e-12)
    assert length_on_core_m(0.0762 + 2 * 0.00038, 0.00038, 0.0762) == pytest.approx(math.pi * (0.0762 + 0.00038))


def test_the_reference_mass_of_lifting() -> None:
    """ISO 11228-1 takes 25 kg as reference mass for ideal lifting by men (from memory); handbook SAF-03 cites it."""
    assert not needs_lift(25.0)
    assert needs_lift(25.1)
    # 100 m of 210 g/m2 on 3.2 m is far above it, 30 m of 110 g/m2 on 1.6 m far below.
    assert needs_lift(roll_mass_kg(210, 3.2, 100))
    assert not needs_lift(roll_mass_kg(110, 1.6, 30))
