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
