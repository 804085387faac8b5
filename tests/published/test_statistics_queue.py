"""A queue from an empty start and over a long run, on the real floor: checks E-08 and E-09.

The single server with Poisson orders is a scenario file; the numbers are taken from its records.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from shopsim.floor.record import RunLog
from shopsim.floor.run import simulate
from shopsim.published.simulated import FOLDER
from shopsim.shop.changes import Change
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_edit import edit_scenario
from shopsim.shop.scenario_file import parse_with_warnings
from shopsim.studies.batch_means import batch_interval
from shopsim.studies.precision import interval
from shopsim.studies.run_length import asymptotic_variance, run_length_for

FILE = FOLDER / "m_m_1.yaml"
# As in the file: 336 orders a week.
GAP_MIN = 30.0
WEEK_MIN = 10_080.0


def one_server(rho: float, weeks: float) -> Scenario:
    """Busy a share `rho` of the time, empty at the start."""
    changes = [
        Change("set", "products.job.route[0].minutes.exponential.mean", rho * GAP_MIN),
        Change("set", "study", {"weeks": weeks, "opening": "empty", "seed": 8}),
    ]
    return parse_with_warnings(edit_scenario(FILE.read_text(encoding="utf-8"), changes), FILE.name)[0]


def delays_min(log: RunLog) -> NDArray[np.float64]:
    """Time in queue of each order served, in order of receipt."""
    delays = log.column("operations", "start") - log.column("operations", "ready")
    return delays[np.argsort(log.column("operations", "order"))]


def from_empty(weeks: float, replications: int, orders: int) -> NDArray[np.float64]:
    """Delays of the first orders, one row a replication, in units of the mean gap."""
    scenario = one_server(0.9, weeks)
    rows = [delays_min(simulate(scenario, replication=k))[:orders] for k in range(replications)]
    return np.array(rows) / GAP_MIN


def test_e08_delays_from_an_empty_start() -> None:
    # W. D. Kelton & A. M. Law, Operations Research 33 (1985) 378-396; transient values computed exactly there, lambda =
    # 1, mu = 10/9. Tolerance: three standard errors of 2000 replications, as the check asks.
    found = from_empty(0.27, 2000, 50)
    assert (found[:, 0] == 0).all()
    exact = {2: 0.426315789474, 3: 0.734538562473, 5: 1.19651832331, 10: 1.97550309331, 50: 4.49860614937}
    # The next order comes before the first is done with chance lambda / (lambda + mu), and then waits 1 / mu.
    assert exact[2] == pytest.approx(0.9 * 1 / (1 + 10 / 9), abs=1e-10)
    for number, expected in exact.items():
        of_number = found[:, number - 1]
        assert of_number.mean() == pytest.approx(expected, abs=3 * of_number.std(ddof=1) / math.sqrt(2000)), number


def test_e08_a_run_of_100_orders_is_biased_and_200_orders_are_not_enough() -> None:
    found = from_empty(0.78, 400, 200)
    for values, expected in ((found[:, :100].mean(axis=1), 4.13418460298), (found[:, 199], 6.89256703848)):
        assert values.mean() == pytest.approx(expected, abs=3 * values.std(ddof=1) / math.sqrt(400))
    # The long-run delay is rho / (mu - lambda) = 8.1 (from memory and recomputed): the 99 % interval misses it.
    naive = interval(found[:, :100].mean(axis=1).tolist(), 99)
    assert naive.high is not None and naive.high < 0.9 / (10 / 9 - 1)


def mean_inside(log: RunLog, bounds: NDArray[np.float64]) -> NDArray[np.float64]:
    """Average number of orders inside between each two bounds."""
    arrived, left = log.column("orders", "received"), log.column("orders", "complete")
    left = np.where(left < 0, log.horizon_min, left)

    def area_until(events: NDArray[np.float64]) -> NDArray[np.float64]:
        # Sum of (bound - event) over the events before each bound.
        events = np.sort(events)
        before = np.searchsorted(events, bounds)
        return before * bounds - np.concatenate([[0.0], np.cumsum(events)])[before]

    return np.diff(area_until(arrived) - area_until(left)) / np.diff(bounds)


def test_e09_asymptotic_variances_at_half_load() -> None:
    # W. Whitt, Management Science 35 (1989) 1341-1366: number inside 2 rho (1 + rho) / (mu (1 - rho)^4) = 24; delays
    # rho (2 + 5 rho - 4 rho^2 + rho^3) / (mu^2 (1 - rho)^4) = 29 per order (D. J. Daley 1968); formulas from memory,
    # the first recomputed from the fundamental matrix, the second by simulation. Service time 1, rho = 0.5.
    rho = 0.5
    assert 2 * rho * (1 + rho) / (1 - rho) ** 4 == pytest.approx(24)
    assert rho * (2 + 5 * rho - 4 * rho**2 + rho**3) / (1 - rho) ** 4 == pytest.approx(29)
    service_min, batches = rho * GAP_MIN, 300
    log = simulate(one_server(rho, 450))
    # One value a service time. Three standard errors of a variance from 300 batches, sqrt(2 / 299) each, are 25 %.
    inside = mean_inside(log, np.arange(0, log.horizon_min, service_min))
    by_time = batch_interval(inside.tolist(), batches, 99)
    assert by_time.batch_size == pytest.approx(1000, abs=10)
    assert asymptotic_variance(by_time) == pytest.approx(24, rel=0.25)
    assert by_time.interval.half_width is not None
    assert by_time.interval.mean == pytest.approx(rho / (1 - rho), abs=by_time.interval.half_width)
    by_order = batch_interval((delays_min(log) / service_min).tolist(), batches, 99)
    assert asymptotic_variance(by_order) == pytest.approx(29, rel=0.25)
    assert by_order.interval.half_width is not None
    assert by_order.interval.mean == pytest.approx(rho / (1 - rho), abs=by_order.interval.half_width)


def test_e09_planned_run_length_reaches_its_precision() -> None:
    # rho = 0.8: asymptotic variance 1800, and 172,872 service times for 5 % of L = 4 with z = 1.96 (Whitt 1989).
    rho = 0.8
    assert 2 * rho * (1 + rho) / (1 - rho) ** 4 == pytest.approx(1800, abs=1e-5)
    planned = run_length_for(1800, 0.05 * 4, 95)
    assert planned == pytest.approx(172_872, rel=1e-3)
    service_min = rho * GAP_MIN
    log = simulate(one_server(rho, round(planned * service_min / WEEK_MIN, 3)))
    found = float(mean_inside(log, np.array([0.0, log.horizon_min]))[0])
    # So that the one run tried here passes in 99 of 100 cases: 2.576 / 1.96 of the half-width.
    assert found == pytest.approx(rho / (1 - rho), abs=0.05 * 4 * 2.576 / 1.96)
