"""How much later one curve breaks than another: by hand, as often right as promised, and what it cannot tell."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shopsim.studies.root_differences import root_difference
from shopsim.studies.root_finding import Curve, root_of
from tests.evidence.slices import at_least

XS = (0.5, 1.0, 2.0, 3.0)


def lines(roots: list[float]) -> Curve:
    """A replication's curve is a line that falls by 1 and crosses 0 at its own root."""
    return {x: [root - x for root in roots] for x in XS}


def test_lines_by_hand() -> None:
    luck, own = (0.3, -0.2, 0.1, -0.4), (0.0, 0.1, -0.1, 0.2)
    base = lines([1.0 + u for u in luck])
    option = lines([1.5 + u + v for u, v in zip(luck, own, strict=True)])
    found = root_difference(option, base, 0.0)
    # Of lines the jackknife is the t interval of the roots' differences: 0.5 + 0.05, deviation 0.1291, t(3) 3.18245.
    assert (found.mean, found.half_width) == (pytest.approx(0.55), pytest.approx(3.18245 * 0.1290994 / 2, rel=1e-5))
    assert (found.low, found.high, found.n, found.sign) == (
        pytest.approx(0.344575, abs=1e-5), pytest.approx(0.755425, abs=1e-5), 4, 1,
    )  # fmt: skip
    # Each for itself they cannot be told apart: the luck they share is ten times as wide.
    assert root_of(option, 0.0).low < root_of(base, 0.0).high
    rising = ({x: [-v for v in values] for x, values in curve.items()} for curve in (option, base))
    assert root_difference(*rising, 0.0, falling=False) == found


def test_the_interval_holds_the_true_difference_as_often_as_told() -> None:
    rng, held = np.random.default_rng(17), 0
    # Near to either break, as a search looks: what is between two x is not what is asked here.
    looked_at = (0.8, 0.95, 1.0, 1.05, 1.1, 1.15, 1.3)

    def bent(root: float, luck: np.ndarray) -> Curve:
        # Falls ever steeper, as on-time does, and spreads the more the further it has fallen.
        return {x: (0.05 * (1 - np.exp(1.5 * (x - root))) + luck * x / 200).tolist() for x in looked_at}

    for _ in range(400):
        shared = rng.normal(size=12)
        base, option = (bent(root, shared + 0.3 * rng.normal(size=12)) for root in (1.0, 1.1))
        found = root_difference(option, base, 0.0)
        held += found.low is not None and found.high is not None and found.low <= 0.1 <= found.high
    assert held >= at_least(0.95, 400)


def test_replications_that_only_one_has_are_left_out() -> None:
    base, option = lines([1.0, 1.2, 0.9]), lines([1.3, 1.6, 1.2, 2.9])
    option[2.0][1] = math.nan
    found = root_difference(option, base, 0.0)
    assert (found.mean, found.n, found.left_out) == (pytest.approx(0.3), 2, 1)
    assert found.half_width == pytest.approx(0.0, abs=1e-9)


def test_what_does_not_break_has_no_difference() -> None:
    base = lines([1.0, 1.2])
    found = root_difference(lines([9.0, 8.0]), base, 0.0)
    assert math.isnan(found.mean)
    assert (found.low, found.n) == (None, 2)
    # Without its second replication this one no longer breaks within what was tried.
    found = root_difference(lines([3.4, 2.0]), base, 0.0)
    assert (found.mean, found.low) == (pytest.approx(1.6), None)
    assert math.isnan(root_difference(lines([math.nan]), base, 0.0).mean)
    with pytest.raises(ValueError, match="confidence"):
        root_difference(base, base, 0.0, 100)
