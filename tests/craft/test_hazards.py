"""Heat that burns: the shortest touch of which the figures tell."""

from __future__ import annotations

import pytest

from shopsim.craft.hazards import burns_within_s


@pytest.mark.parametrize(("surface_c", "seconds"), [(195, 1), (64, 60), (48, 600), (43, 28_800), (42, None)])
def test_the_shortest_touch_that_burns(surface_c: float, seconds: float | None) -> None:
    assert burns_within_s(surface_c) == seconds
