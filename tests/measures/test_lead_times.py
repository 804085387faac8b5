"""Days within which orders went, and what was promised, on a hand-written week."""

from __future__ import annotations

import math

import pytest

from shopsim.measures.kpis import measures_of
from shopsim.measures.lead_times import LEAD_SHARES, lead_days_at
from tests.measures.hand_logs import hand_log, hand_shop, shipped


def test_days_within_which_orders_went() -> None:
    # Lead times of 1, 2 and 3 days: the median is 2, and the quantile at p lies at 1 + 2 p. Promised: 2, 2, 4 days.
    scenario = hand_shop()
    days = ((1, 2), (2, 2), (3, 4))
    log = hand_log(
        scenario, orders=[shipped(i, 60.0, 60 + due * 1440, 60 + out * 1440.0) for i, (out, due) in enumerate(days)]
    )
    assert lead_days_at(log, scenario) == pytest.approx([1 + 2 * share for share in LEAD_SHARES])
    assert LEAD_SHARES[9] == 0.5 and len(LEAD_SHARES) == 19
    assert measures_of(log, scenario)["promised_p50_h"] == 48


def test_nothing_sent_out_has_no_days() -> None:
    scenario = hand_shop()
    assert all(map(math.isnan, lead_days_at(hand_log(scenario), scenario)))
    assert math.isnan(measures_of(hand_log(scenario), scenario)["promised_p50_h"])
