"""Figures behind two cautions: from which heat a touched surface burns, and which masses guidelines for lifting name.

They say when to point at a hazard. Below them nothing is called harmless: a risk assessment decides.
"""

from __future__ import annotations

# SAF-01: seconds of contact and the heat in °C from which bare metal burns skin (ISO 13732-1, values from memory).
BURNS = ((1.0, 65.0), (60.0, 51.0), (600.0, 48.0), (28_800.0, 43.0))
# SAF-03: guideline figures, close to the body and waist high, not limits; the lifting equation's ideal maximum.
GUIDELINE_MEN_KG, GUIDELINE_WOMEN_KG, EQUATION_KG = 25.0, 16.0, 23.0


def burns_within_s(surface_c: float) -> float | None:
    """Shortest touch of `BURNS` that burns at bare metal of that heat; None below all of them, which is not to say that
    a longer one does no harm."""
    return next((seconds for seconds, threshold_c in BURNS if surface_c >= threshold_c), None)
