"""Queues whose exact waits are published, as shops of one step: the engine itself must find them."""

from __future__ import annotations

import numpy as np

from shopsim.published.simulated import load, run, stays, waits
from tests.published.theory import assert_agrees


def test_a_server_that_fails_and_goes_on_where_it_stopped() -> None:
    """B. Avi-Itzhak & P. Naor, Operations Research 11 (1963) 303-320 (model from memory), derived by completion times:
    E[C] = 12.5 min, SCV 1.94, rho 0.625."""
    logs = run(load("stops"))
    assert_agrees([float(np.mean(waits(log))) for log in logs], 30.625, 0.08)
    assert_agrees([float(np.mean(stays(log))) for log in logs], 43.125, 0.06)


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
