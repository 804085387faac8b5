"""Little's identity on the log of case A-21 of the outside checks, and with an order nobody saw the end of."""

import numpy as np
import pytest

from shopsim.measures.audit import work_in_process_area
from shopsim.measures.intervals import Window
from shopsim.measures.kpis import measures_of
from tests.measures.hand_logs import WEEK, hand_log, hand_shop, shipped

# checks/data/little_log.csv: order, arrival and departure, h.
LOG = [
    (0.5, 3.25), (1.0, 4.0), (2.5, 6.75), (3.0, 9.5), (5.25, 8.0), (6.0, 11.5), (7.5, 13.0), (9.0, 12.25), (9.75, 16.0),
    (14.0, 17.5), (18.0, 21.25), (19.5, 23.0),
]  # fmt: skip
CAME, LEFT = (np.array(column) for column in zip(*LOG, strict=True))


def test_a21_window_that_starts_and_ends_empty() -> None:
    mean_inside = work_in_process_area(CAME, LEFT, Window(0.0, 24.0)) / 24
    assert mean_inside == pytest.approx(2.08333333333, abs=1e-9)
    assert np.mean(LEFT - CAME) == pytest.approx(4.16666666667, abs=1e-9)
    assert mean_inside == pytest.approx(12 / 24 * np.mean(LEFT - CAME), abs=1e-9)


def test_a21_window_that_ends_with_orders_inside() -> None:
    assert work_in_process_area(CAME, LEFT, Window(0.0, 10.0)) / 10 == pytest.approx(2.7, abs=1e-9)


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
