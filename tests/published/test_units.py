"""Units beyond the published facts (`shopsim.published.units`): the floor keeps to them."""

from __future__ import annotations

import pytest

from shopsim.floor.record import STATE
from tests.stories.shops import fabric, order, print_shop, printer, run


def test_the_floor_prints_at_the_speed_of_the_units() -> None:
    """90 m2/h at 3.2 m is 28.125 m/h: 10 m of full width take 21 min 20 s on the printer."""
    wide = fabric(roll_width_m=3.2, dwell_s=45.0)
    mode = {"id": "std", "area_rate_m2_per_h": 90.0, "rated_width_m": 3.2, "achieved_share": 1.0}
    machine = printer(print_width_m=3.2, modes=[mode], fixation={"kind": "inline", "plate_m": 1.2, "tail_m": 3.0})
    log = run(print_shop(fabrics=[wide], printers=[machine]), order("Mon 06:00", width_m=3.2, height_m=10.0, due="Fri"))
    spans = log.table("printer_states")
    printing = spans[spans[:, 1] == STATE["printing"]]
    assert sum(printing[:, 3] - printing[:, 2]) == pytest.approx(10 / 28.125 * 60, abs=1e-9)
