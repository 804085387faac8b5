"""Heat after the head: speed caps, dwell, the tail, set-point changes, the calender (sections 2.1, 2.4 and 4)."""

from math import pi
from typing import NamedTuple

from shopsim.craft._limits import not_negative, positive, share_above_zero
from shopsim.craft.printing import run_min

# Textbook values, rounded: polyester and water in kJ/(kg K), heat of evaporation in kJ/kg, steam in kJ/(kg K).
POLYESTER_KJ_PER_KG_K = 1.3
WATER_KJ_PER_KG_K = 4.19
EVAPORATION_KJ_PER_KG = 2257.0
STEAM_KJ_PER_KG_K = 2.0
BOILING_C = 100.0


def fixation_cap_m_per_h(plate_m: float, dwell_s: float) -> float:
    """Return the highest speed, m/h, that gives the least dwell on a heated length (FIX-05).

    Raises ValueError for an impossible number.
    """
    return 3600.0 * positive("plate_m", plate_m) / positive("dwell_s", dwell_s)


def run_speed_m_per_h(feed_m_per_h: float, cap_m_per_h: float | None) -> float:
    """Return the speed of printing, m/h: the feed or the fixation cap, whichever is lower; None is no cap (offline).

    Raises ValueError for an impossible number.
    """
    positive("feed_m_per_h", feed_m_per_h)
    return feed_m_per_h if cap_m_per_h is None else min(feed_m_per_h, positive("cap_m_per_h", cap_m_per_h))


def dwell_s(plate_m: float, speed_m_per_h: float) -> float:
    """Return the seconds in heat contact at a speed. Raises ValueError for an impossible number."""
    return 3600.0 * positive("plate_m", plate_m) / positive("speed_m_per_h", speed_m_per_h)


def width_at_cap_m(area_rate_m2_per_h: float, cap_m_per_h: float) -> float:
    """Return the image width, m, below which fixation and not the area rate limits the speed.

    Raises ValueError for an impossible number.
    """
    return positive("area_rate_m2_per_h", area_rate_m2_per_h) / positive("cap_m_per_h", cap_m_per_h)


def tail_min(tail_m: float, feed_m_per_h: float) -> float:
    """Return the minutes until the last printed metre has left the plate (FIX-06), by default at printing speed.

    `tail_m` is the path from head to plate exit (FIX-03). Raises ValueError for an impossible number.
    """
    return run_min(tail_m, feed_m_per_h)


def stabilise_min(from_c: float, to_c: float, up_min_per_10_c: float = 4.0, down_min_per_10_c: float = 8.0) -> float:
    """Return the minutes until a new plate set point is steady, in proportion to the change (FIX-14).

    Raises ValueError for an impossible number.
    """
    up_min = not_negative("up_min_per_10_c", up_min_per_10_c)
    down_min = not_negative("down_min_per_10_c", down_min_per_10_c)
    rise_c = not_negative("to_c", to_c) - not_negative("from_c", from_c)
    return rise_c / 10.0 * up_min if rise_c >= 0.0 else -rise_c / 10.0 * down_min


def calender_speed_m_per_h(drum_m: float, wrapped_share: float, dwell_s: float) -> float:
    """Return the web speed of a calender, m/h (CAL-03): wrapped share of the drum's girth over the contact dwell.

    Raises ValueError for an impossible number.
    """
    contact_m = share_above_zero("wrapped_share", wrapped_share) * pi * positive("drum_m", drum_m)
    return 3600.0 * contact_m / positive("dwell_s", dwell_s)


class UsefulHeat(NamedTuple):
    """Heat taken up by the fabric and by the ink's water, kW; losses come on top and are larger."""

    fabric_kw: float
    ink_water_kw: float


def useful_heat_kw(
    area_rate_m2_per_h: float, fabric_g_per_m2: float, ink_ml_per_m2: float, plate_c: float, room_c: float = 20.0
) -> UsefulHeat:
    """Return the heat that fixation needs without losses (FIX-17), the ink counted as water and heated to the plate.

    Raises ValueError for an impossible number and for a plate below the boiling point of water.
    """
    not_negative("room_c", room_c)
    if not BOILING_C <= plate_c < 300.0:
        raise ValueError(f"plate_c must be from 100 to below 300, found {plate_c!r}")
    area_m2_per_s = positive("area_rate_m2_per_h", area_rate_m2_per_h) / 3600.0
    fabric_kg_per_s = area_m2_per_s * positive("fabric_g_per_m2", fabric_g_per_m2) / 1000.0
    water_kg_per_s = area_m2_per_s * not_negative("ink_ml_per_m2", ink_ml_per_m2) / 1000.0
    water_kj_per_kg = (
        WATER_KJ_PER_KG_K * (BOILING_C - room_c) + EVAPORATION_KJ_PER_KG + STEAM_KJ_PER_KG_K * (plate_c - BOILING_C)
    )
    return UsefulHeat(fabric_kg_per_s * POLYESTER_KJ_PER_KG_K * (plate_c - room_c), water_kg_per_s * water_kj_per_kg)
