"""Work measurement: basic and standard time, and how many observations a study needs.

Source: G. Kanawaty (ed.), "Introduction to Work Study", 4th revised edition, International Labour Office (1992).
"""

from math import sqrt

from shopsim.craft._limits import not_negative, part_below_one, positive, share

NORMAL_95 = 1.96
RATING_STANDARD_PCT = 100.0


def basic_time_min(observed_min: float, rating_pct: float) -> float:
    """Return basic minutes: observed time at the observer's rating, 100 = standard pace.

    Raises ValueError for an impossible number.
    """
    return not_negative("observed_min", observed_min) * positive("rating_pct", rating_pct) / RATING_STANDARD_PCT


def standard_min_of_total(basic_min: float, allowance_share_of_total: float) -> float:
    """Return standard minutes where the allowance is a share of the total: basic / (1 - share).

    The shop's own convention adds the allowance on basic time, see `sewing.standard_minutes`; do not mix them.

    Raises ValueError for an impossible number.
    """
    return not_negative("basic_min", basic_min) / (
        1.0 - part_below_one("allowance_share_of_total", allowance_share_of_total)
    )


def cycles_needed(mean_min: float, deviation_min: float, accuracy_share: float, normal: float = NORMAL_95) -> float:
    """Return the cycles to time, not rounded, so that the mean is within a share of itself.

    Raises ValueError for an impossible number.
    """
    half_width_min = positive("accuracy_share", accuracy_share) * positive("mean_min", mean_min)
    return (positive("normal", normal) * not_negative("deviation_min", deviation_min) / half_width_min) ** 2


def observations_needed(busy_share: float, half_width: float, normal: float = NORMAL_95) -> float:
    """Return the spot observations for a work sampling study, not rounded: a share within plus or minus `half_width`.

    Raises ValueError for an impossible number.
    """
    spread = share("busy_share", busy_share) * (1.0 - busy_share)
    return positive("normal", normal) ** 2 * spread / positive("half_width", half_width) ** 2


def sampling_half_width(busy_share: float, observations: float, normal: float = NORMAL_95) -> float:
    """Return the half-width of the band around a share seen in so many spot observations.

    Raises ValueError for an impossible number.
    """
    spread = share("busy_share", busy_share) * (1.0 - busy_share)
    return positive("normal", normal) * sqrt(spread / positive("observations", observations))
