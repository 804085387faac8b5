"""Speed of a scanning head: from physics or from a known area rate, both ways (handbook section 2.1)."""

from shopsim.craft._limits import count, not_negative, part_below_one, positive, share_above_zero

# Section 2.1 example: of a stroke of 3.3167 s at full width, overscan and turnaround take (0.4/1.2 + 0.4) s.
FIXED_SHARE_OF_STROKE = 0.22
# PRN-08: achieved while printing, against the formula below.
ACHIEVED_OF_FORMULA = 0.92


def stroke_time_s(
    image_width_m: float,
    overscan_m: float,
    carriage_m_per_s: float,
    turnaround_s: float,
    return_m_per_s: float | None = None,
) -> float:
    """Return the seconds from one printing stroke to the next (section 2.1; PRN-04..06).

    `overscan_m` is per side. Without `return_m_per_s` every stroke prints (bi-directional); with it the carriage
    returns idle at that speed (uni-directional).

    Raises ValueError for an impossible number.
    """
    stroke_m = positive("image_width_m", image_width_m) + 2.0 * not_negative("overscan_m", overscan_m)
    turn_s = not_negative("turnaround_s", turnaround_s)
    forth_s = stroke_m / positive("carriage_m_per_s", carriage_m_per_s) + turn_s
    if return_m_per_s is None:
        return forth_s
    return forth_s + stroke_m / positive("return_m_per_s", return_m_per_s) + turn_s


def advance_m(swath_m: float, passes: int) -> float:
    """Return the web moved per printing stroke, m: swath height per colour over passes (PRN-01, PRN-02).

    Raises ValueError for an impossible number.
    """
    return positive("swath_m", swath_m) / count("passes", passes, least=1)


def feed_m_per_h(advance_m: float, stroke_time_s: float) -> float:
    """Return the linear feed, m/h: one advance per stroke. Raises ValueError for an impossible number."""
    return 3600.0 * positive("advance_m", advance_m) / positive("stroke_time_s", stroke_time_s)


def feed_from_rate(
    area_rate_m2_per_h: float,
    rated_width_m: float,
    image_width_m: float,
    fixed_share_of_stroke: float = FIXED_SHARE_OF_STROKE,
) -> float:
    """Return the linear feed, m/h, of a mode known by its area rate at one image width.

    A narrower image shortens the stroke only in part: `fixed_share_of_stroke` (0 to below 1) of the stroke time at
    the rated width stays. The default follows from the section 2.1 example; 0 would keep the area rate at any width.

    Raises ValueError for an impossible number.
    """
    fixed = part_below_one("fixed_share_of_stroke", fixed_share_of_stroke)
    rated_m = positive("rated_width_m", rated_width_m)
    stroke_against_rated = fixed + (1.0 - fixed) * positive("image_width_m", image_width_m) / rated_m
    return positive("area_rate_m2_per_h", area_rate_m2_per_h) / rated_m / stroke_against_rated


def achieved_feed_m_per_h(feed_m_per_h: float, achieved_share: float = ACHIEVED_OF_FORMULA) -> float:
    """Return the feed kept up while printing, m/h (PRN-08); against a published rate it is about 0.75.

    Raises ValueError for an impossible number.
    """
    return positive("feed_m_per_h", feed_m_per_h) * share_above_zero("achieved_share", achieved_share)
