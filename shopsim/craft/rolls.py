"""Rolls of fabric: mass, length left on the core, and when a lift is called for."""

from math import pi

from shopsim.craft._limits import not_negative, positive

CORE_KG = 6.0  # MAT-32
# SAF-03: a guideline figure for lifting close to the body, not a limit; the shop's risk assessment decides.
LIFT_ABOVE_KG = 25.0


def roll_mass_kg(fabric_g_per_m2: float, width_m: float, length_m: float, core_kg: float = CORE_KG) -> float:
    """Return the mass of a roll with its core, kg (section 2.1, MAT-32). Raises ValueError for an impossible number."""
    fabric_kg = positive("fabric_g_per_m2", fabric_g_per_m2) * positive("width_m", width_m) / 1000.0
    return fabric_kg * not_negative("length_m", length_m) + not_negative("core_kg", core_kg)


def length_on_core_m(diameter_m: float, thickness_m: float, core_m: float) -> float:
    """Return the length on a roll of known outer diameter, m (MAT-33): its ring over the thickness;
    `core_m` is the outer diameter of the core.

    Raises ValueError for an impossible number and for a diameter below the core's.
    """
    if positive("diameter_m", diameter_m) < positive("core_m", core_m):
        raise ValueError(f"diameter_m must be at least the core's {core_m:g} m, found {diameter_m!r}")
    return pi * (diameter_m**2 - core_m**2) / (4.0 * positive("thickness_m", thickness_m))


def needs_lift(mass_kg: float) -> bool:
    """Tell whether a roll calls for the caution "use lift or trolley, see risk assessment" (SAF-03: above 25 kg).

    Raises ValueError for an impossible number.
    """
    return positive("mass_kg", mass_kg) > LIFT_ABOVE_KG
