"""How long work usually waits in line at a place, by how full the place is: a rough figure, no simulation."""

from __future__ import annotations

from math import inf, sqrt

from shopsim.craft._limits import count, not_negative

MODERATE_CV2 = 1.0
"""Squared coefficient of variation of arrivals and of job times that Hopp & Spearman call moderate."""


def wait_in_line_min(
    job_min: float, seats: int, load: float, arrivals_cv2: float = MODERATE_CV2, jobs_cv2: float = MODERATE_CV2
) -> float:
    """Return the mean wait before a place of equal seats, in the unit of `job_min`; infinite from a load of 1 on.

    The product of variability, utilisation and time (Hopp & Spearman, Factory Physics, 3rd ed., section 8.6.6), with H.
    Sakasegawa's term (1977) for several seats. It knows one line, no shifts, no batches and no urgent work.
    Raises ValueError for an impossible number.
    """
    seats = count("seats", seats, least=1)
    load = not_negative("load", load)
    if load >= 1:
        return inf
    spread = (not_negative("arrivals_cv2", arrivals_cv2) + not_negative("jobs_cv2", jobs_cv2)) / 2
    return float(spread * load ** (sqrt(2 * (seats + 1)) - 1) / (seats * (1 - load)) * not_negative("job_min", job_min))
