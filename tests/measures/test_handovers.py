"""Minutes lost at handovers: only when somebody else goes on, by the shift of whoever goes on."""

from __future__ import annotations

import pytest

from shopsim.measures.kpis import measures_of
from tests.stories.shops import order, run
from tests.stories.test_hours import two_shifts


@pytest.mark.parametrize(("at_shift_end", "hours"), [("hand_over", 10 / 60), ("keep", 0.0)])
def test_a_seam_cut_by_shift_end(at_shift_end: str, hours: float) -> None:
    shop = two_shifts(at_shift_end)
    measures = measures_of(run(shop, order("Mon 13:30", "frame")), shop)
    assert measures["handover_h_per_week"] == pytest.approx(hours / shop.study.weeks)
