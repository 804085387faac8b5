"""Work in process with orders nobody saw the end of; Little's law itself is case A-21 of `shopsim.published`."""

import numpy as np
import pytest

from shopsim.measures.kpis import measures_of
from tests.measures.hand_logs import WEEK, hand_log, hand_shop, shipped


def test_the_measure_counts_orders_cut_off_by_the_window() -> None:
    """Inside [1000, 10080): order 0 for 500 min, order 1 from 10000 on for 80, order 2 cancelled after 100 min; order 3
    leaves with a collection beyond the end, so it is inside for 40. 720 order-minutes."""
    orders = [
        shipped(0, 500, 9000, 1500),
        {"order": 1, "received": 10000, "ended": np.inf},
        {"order": 2, "received": 2000, "ending": 2, "ended": 2100},
        shipped(3, 10040, 12000, 12000),
    ]
    log = hand_log(hand_shop(), 1000, orders=orders, lines=[{"order": i, "pieces": 1} for i in range(4)])
    assert measures_of(log, hand_shop())["work_in_process_orders"] == pytest.approx(720 / (WEEK - 1000))
