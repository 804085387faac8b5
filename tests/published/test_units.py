"""Units beyond the published facts (`shopsim.published.units`): the floor keeps to them, and length and diameter of a
roll are each other's inverse.
"""

from __future__ import annotations

import math

import pytest

from shopsim.craft.rolls import length_on_core_m, roll_diameter_m
from shopsim.floor.record import STATE
from tests.stories.shops import fabric, order, print_shop, printer, run


def test_the_floor_prints_at_the_speed_of_the_units() -> None:
    """90 m2/h at 3.2 m is 28.125 m/h: 10 m of full width take 21 min 20 s on the printer."""
    wide = fabric(roll_width_m=3.2, dwell_s=45.0)
    mode = {"id": "std", "area_rate_m2_per_h": 90.0, "rated_width_m": 3.2, "achieved_share": 1.0}
    machine = printer(print_width_m=3.2, modes=[mode], fixation={"kind": "inline", "plate_m": 1.2, "tail_m": 3.0})
    log = run(print_shop(fabrics=[wide], printers=[machine]), order("Mon 06:00", width_m=3.2, height_m=10.0, due="Fri"))
    spans = log.table("printer_states")
    printing = spans[spans[:, 1] == STATE["printing"]]
    assert sum(printing[:, 3] - printing[:, 2]) == pytest.approx(10 / 28.125 * 60, abs=1e-9)


@pytest.mark.parametrize("length", [0.0, 1.0, 50.0, 100.0, 300.0])
def test_length_and_diameter_are_each_others_inverse(length: float) -> None:
    """Cross-section of the cloth: pi/4 (D^2 - d^2) = length x thickness, and so for one turn pi (d + t) t."""
    diameter = roll_diameter_m(length, 0.00038, 0.0762)
    assert length_on_core_m(diameter, 0.00038, 0.0762) == pytest.approx(length, abs=1e-9)
    assert math.pi / 4 * (diameter**2 - 0.0762**2) == pytest.approx(length * 0.00038, abs=1e-12)
    assert length_on_core_m(0.0762 + 2 * 0.00038, 0.00038, 0.0762) == pytest.approx(math.pi * (0.0762 + 0.00038))
