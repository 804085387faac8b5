"""Queues whose exact waits are published, as shops of one step: the engine itself must find them.

Each value lies within three standard errors of ten replications, and the 95 % interval is as narrow as the table says.
"""

from __future__ import annotations

import numpy as np
import pytest

from shopsim.floor.record import RunLog
from tests.published.theory import assert_agrees, load, orders_every, run, stays, waits


def mean_wait(log: RunLog) -> float:
    return float(np.mean(waits(log)))


def mean_stay(log: RunLog) -> float:
    return float(np.mean(stays(log)))


def share_waiting(log: RunLog) -> float:
    return float(np.mean(waits(log) > 1e-9))


def share_over_an_hour(log: RunLog) -> float:
    return float(np.mean(stays(log) > 60))


# System, sources, then (what, minutes or share stated, half-width of the 95 % interval as a share of it).
QUEUES = [
    # Hillier & Lieberman, Introduction to Operations Research, county hospital, s = 1 (from memory): W 1 h, Wq 2/3 h,
    # P(wait) = rho; P(W > 1 h) = exp(-(mu - lambda)) derived.
    ("m_m_1", [(mean_wait, 40, 0.06), (mean_stay, 60, 0.05), (share_waiting, 2 / 3, 0.02),
               (share_over_an_hour, 0.367879441171, 0.05)]),
    # Hillier & Lieberman, county hospital, s = 2 (from memory): Wq 1/24 h, W 3/8 h; Erlang C 1/6.
    ("m_m_2", [(mean_wait, 2.5, 0.06), (mean_stay, 22.5, 0.01), (share_waiting, 1 / 6, 0.03)]),
    # Gross & Harris, Fundamentals of Queueing Theory, eye clinic (from memory): Wq 8.9 min, W 28.9 min; Erlang C 4/9.
    ("m_m_3", [(mean_wait, 8.88888888889, 0.06), (mean_stay, 28.8888888889, 0.02), (share_waiting, 4 / 9, 0.03)]),
    # Heizer & Render, Operations Management, module D, recycling compactor (from memory): Wq 5 min.
    ("m_d_1", [(mean_wait, 5, 0.05)]),
    # Pollaczek (1930) and Khinchine (1932), derived: Wq = lambda E[S^2] / 2 (1 - rho).
    ("m_u_1", [(mean_wait, 8.66666666667, 0.06)]),
    ("m_ln_1", [(mean_wait, 10, 0.08)]),
    # Avi-Itzhak & Naor, Operations Research 11 (1963) 303-320 (model from memory), derived by completion times:
    # E[C] = 12.5 min, SCV 1.94, rho 0.625.
    ("stops", [(mean_wait, 30.625, 0.08), (mean_stay, 43.125, 0.06)]),
]  # fmt: skip


@pytest.mark.parametrize(("name", "stated"), QUEUES, ids=[name for name, _ in QUEUES])
def test_waits_of_single_queues(name: str, stated: list) -> None:
    logs = run(load(name))
    for measure, value, within in stated:
        assert_agrees([measure(log) for log in logs], value, within)


def test_orders_released_at_equal_gaps() -> None:
    """D/M/1, Gross & Harris (formula from memory), derived: root 0.628629796497, Wq = root / mu (1 - root)."""
    scenario = load("d_m_1")
    logs = run(scenario, orders_every(scenario, 10))
    assert_agrees([mean_wait(log) for log in logs], 13.5418467194, 0.06)
    # J. F. C. Kingman, Biometrika 49 (1962) 315-324: never above 16 min in the long run.
    assert np.mean([mean_wait(log) for log in logs]) < 16


def test_two_servers_in_a_row_do_not_feel_each_other() -> None:
    """J. R. Jackson, Operations Research 5 (1957) 518-521, derived: each is an M/M/1 of its own."""
    logs = run(load("tandem"))
    first, second = ([float(np.mean(waits(log, place=place))) for log in logs] for place in (0, 1))
    assert_agrees(first, 40, 0.06)
    assert_agrees(second, 15, 0.04)
    assert_agrees([mean_stay(log) for log in logs], 90, 0.04)


def test_rush_orders_go_before_the_others_but_interrupt_nothing() -> None:
    """A. Cobham, Operations Research 2 (1954) 70-76, two classes, derived: Wq1 = W0 / (1 - s1), W0 = rho / mu.

    The second is that of the third class of Hillier & Lieberman's county hospital, 0.9091 h: below it all classes act
    as one.
    """
    logs = run(load("two_classes"))
    by_class: dict[bool, list[float]] = {True: [], False: []}
    for log in logs:
        rush = log.column("orders", "rush")[np.argsort(log.column("orders", "order"))] == 1
        of_order = log.column("operations", "order").astype(int)
        ready, start = log.column("operations", "ready"), log.column("operations", "start")
        late = ready >= log.warm_up_min
        for which, found in by_class.items():
            found.append(float(np.mean((start - ready)[late & (rush[of_order] == which)])))
    assert_agrees(by_class[True], 60 * 0.30303030303, 0.05)
    assert_agrees(by_class[False], 60 * 0.909090909091, 0.08)
