"""Heat after the head: speed caps, set-point changes, the calender (sections 2.1, 2.4 and 4)."""

from math import pi

from shopsim.craft._limits import not_negative, positive, share_above_zero


def fixation_cap_m_per_h(plate_m: float, dwell_s: float) -> float:
    """Return the highest speed, m/h, that gives the least dwell on a heated length (FIX-05).

    Raises ValueError for an impossible number.
    """
    return 3600.0 * positive("plate_m", plate_m) / positive("dwell_s", dwell_s)


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
