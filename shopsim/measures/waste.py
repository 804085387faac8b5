"""Web used in the window, and how much of it lies under printed pieces."""

from __future__ import annotations

import numpy as np

from shopsim.floor.record import METRE_CAUSE
from shopsim.measures.facts import Facts
from shopsim.measures.intervals import Bools


def used_rows(facts: Facts) -> Bools:
    """Rows of `metres` that take web from stock inside the window: all but what was bought."""
    bought = facts.column("metres", "cause") == METRE_CAUSE["bought"]
    return np.asarray(~bought & facts.window.holds(facts.column("metres", "at")))


def used_m2(facts: Facts) -> float:
    """Square metres of web used in the window, waste included."""
    return float(facts.column("metres", "m2")[used_rows(facts)].sum())


def pieces_m2(facts: Facts) -> float:
    """Square metres of web under printed pieces in the window, at print size and reprints included."""
    return float(facts.column("metres", "pieces_m2")[used_rows(facts)].sum())
