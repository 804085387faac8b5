"""Machines that share technicians (finite source): the textbook's five machines, told in two ways.

L. G. Peck & R. N. Hazelwood's model with the numbers of Heizer & Render, Operations Management, module D: each of five
machines runs 20 h, a repair takes 2 h (both exponential). Their table, which has no row for X = 1/11, prints 4.36 and
4.54 machines at work and a wait of 0.350 and 0.044; the exact values below are derived.
"""

from __future__ import annotations

import numpy as np
import pytest

from shopsim.floor.record import STATE, RunLog
from shopsim.published.simulated import load, orders_every, run, waits
from tests.published.theory import assert_agrees

TECHNICIANS = [(1, 4.36047823145, 0.353336782204), (2, 4.53520560444, 0.0452158494169)]


def _share_waiting(log: RunLog, kind: str) -> float:
    return float(np.mean(waits(log, kind) > 1e-9))


def _minutes_inside(log: RunLog, start: np.ndarray, end: np.ndarray) -> float:
    inside = np.minimum(end, log.horizon_min) - np.maximum(start, log.warm_up_min)
    return float(np.sum(np.maximum(0.0, inside)))


def _out_on_hire(log: RunLog) -> float:
    inside = _minutes_inside(log, log.column("orders", "received"), log.column("orders", "ended"))
    return 5 - inside / (log.horizon_min - log.warm_up_min)


def _printing(log: RunLog) -> float:
    start, end = log.column("printer_states", "start"), log.column("printer_states", "end")
    printing = log.column("printer_states", "state") == STATE["printing"]
    return _minutes_inside(log, start[printing], end[printing]) / (log.horizon_min - log.warm_up_min)


@pytest.mark.parametrize(("technicians", "at_work", "wait"), TECHNICIANS)
def test_pieces_on_hire_that_come_back_for_repair(technicians: int, at_work: float, wait: float) -> None:
    logs = run(load(f"repair_{technicians}"))
    assert_agrees([_out_on_hire(log) for log in logs], at_work, 0.005)
    assert_agrees([_share_waiting(log, "work") for log in logs], wait, 0.06)


@pytest.mark.parametrize(("technicians", "at_work", "wait"), TECHNICIANS)
def test_printers_that_fail_by_running_hours(technicians: int, at_work: float, wait: float) -> None:
    scenario = load(f"printers_{technicians}")
    # Thirty pieces a day are more than five printers can print: none of them ever waits for work.
    logs = run(scenario, orders_every(scenario, 1440, pieces=30))
    assert_agrees([_printing(log) for log in logs], at_work, 0.005)
    assert_agrees([_share_waiting(log, "machine_repair") for log in logs], wait, 0.12)
