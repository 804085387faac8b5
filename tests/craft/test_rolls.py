"""Rolls against handbook rows MAT-01..08, MAT-33, SAF-03 and check J-01 (e)."""

import pytest

from shopsim.craft import rolls


@pytest.mark.parametrize(
    ("g_per_m2", "width_m", "length_m", "mass_kg"),
    [(205, 3.1, 100, 64), (220, 3.1, 80, 55), (115, 3.1, 150, 53), (280, 3.1, 50, 43), (220, 1.6, 60, 21)],
)
def test_net_roll_mass(g_per_m2, width_m, length_m, mass_kg):
    assert rolls.roll_mass_kg(g_per_m2, width_m, length_m, core_kg=0) == pytest.approx(mass_kg, abs=0.5)


def test_the_core_is_counted():
    assert rolls.roll_mass_kg(200, 3.0, 50) == pytest.approx(36.0)  # MAT-32
    assert rolls.roll_mass_kg(200, 3.0, 0) == 6.0


def test_length_on_a_core():
    length_m = rolls.length_on_core_m(0.32, 0.38e-3, 0.09)
    assert length_m == pytest.approx(194.902754759, abs=1e-6)
    assert rolls.roll_mass_kg(210, 3.2, length_m, core_kg=0) == pytest.approx(130.974651198, abs=1e-6)
    assert rolls.length_on_core_m(0.23, 0.35e-3, 0.09) == pytest.approx(100, abs=1)  # MAT-33
    assert rolls.length_on_core_m(0.09, 0.38e-3, 0.09) == 0.0


def test_lift_above_25_kg():
    assert not rolls.needs_lift(25.0)
    assert rolls.needs_lift(25.1)


def test_impossible_rolls_are_refused():
    with pytest.raises(ValueError) as caught:
        rolls.length_on_core_m(0.05, 0.38e-3, 0.09)
    assert str(caught.value) == "diameter_m must be at least the core's 0.09 m, found 0.05"
    with pytest.raises(ValueError) as caught:
        rolls.roll_mass_kg(200, 3.0, -1)
    assert str(caught.value) == "length_m must be at least 0, found -1"
