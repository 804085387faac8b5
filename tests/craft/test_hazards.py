"""Heat that burns: exact at the figures, straight between them over the logarithm of time, flat beyond."""

from __future__ import annotations

import math

import pytest

from shopsim.craft.hazards import burn_threshold_c, burns_within_s


@pytest.mark.parametrize(
    ("contact_s", "threshold_c"),
    [
        (0.1, 65.0),
        (1.0, 65.0),
        # Half way between 1 s and 60 s on a scale of logarithms.
        (math.sqrt(60), 58.0),
        (60.0, 51.0),
        (600.0, 48.0),
        (28_800.0, 43.0),
        (100_000.0, 43.0),
    ],
)
def test_longer_touch_burns_at_less_heat(contact_s: float, threshold_c: float) -> None:
    assert burn_threshold_c(contact_s) == pytest.approx(threshold_c, abs=1e-9)


def test_an_impossible_time_is_refused() -> None:
    with pytest.raises(ValueError) as caught:
        burn_threshold_c(0.0)
    assert str(caught.value) == "contact_s must be above 0, found 0.0"


@pytest.mark.parametrize(("surface_c", "seconds"), [(195, 1), (64, 60), (48, 600), (43, 28_800), (42, None)])
def test_the_shortest_touch_that_burns(surface_c: float, seconds: float | None) -> None:
    assert burns_within_s(surface_c) == seconds
