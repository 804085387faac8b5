"""Figures behind two cautions: from which heat a touched surface burns, and which masses guidelines for lifting name.

They say when to point at a hazard. Below them nothing is called harmless: a risk assessment decides.
"""

from __future__ import annotations

from itertools import pairwise
from math import log

from shopsim.craft._limits import positive

# SAF-01: seconds of contact and the heat in °C from which bare metal burns skin (ISO 13732-1, values from memory).
BURNS = ((1.0, 65.0), (60.0, 51.0), (600.0, 48.0), (28_800.0, 43.0))
# SAF-03: guideline figures, close to the body and waist high, not limits; the lifting equation's ideal maximum.
GUIDELINE_MEN_KG, GUIDELINE_WOMEN_KG, EQUATION_KG = 25.0, 16.0, 23.0


def burn_threshold_c(contact_s: float) -> float:
    """Heat of bare metal in °C from which so long a touch burns; straight between the figures over the logarithm of
    time, and the first and the last beyond them.

    Raises ValueError for an impossible number.
    """
    seconds = min(max(positive("contact_s", contact_s), BURNS[0][0]), BURNS[-1][0])
    for (before_s, hotter), (after_s, cooler) in pairwise(BURNS):
        if seconds <= after_s:
            return hotter + (cooler - hotter) * log(seconds / before_s) / log(after_s / before_s)
    return BURNS[-1][1]


def burns_within_s(surface_c: float) -> float | None:
    """Shortest touch of `BURNS` that burns at bare metal of that heat; None below all of them, which is not to say that
    a longer one does no harm."""
    return next((seconds for seconds, threshold_c in BURNS if surface_c >= threshold_c), None)
