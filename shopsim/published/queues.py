"""Single queues whose exact waits are published, as shops of one step."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shopsim.floor.record import RunLog
from shopsim.published.case import Case, Finding
from shopsim.published.simulated import SIMULATED, load, mean_of, measured, stays, waits


def _wait(log: RunLog) -> float:
    return float(np.mean(waits(log)))


def _stay(log: RunLog) -> float:
    return float(np.mean(stays(log)))


def _share_waiting(log: RunLog) -> float:
    return float(np.mean(waits(log) > 1e-9))


def _share_over_an_hour(log: RunLog) -> float:
    return float(np.mean(stays(log) > 60))


def _one_server(full: bool) -> Iterator[Finding]:
    found = measured(load("m_m_1", {"study.weeks": 560 if full else 50}),
                     (_wait, _stay, _share_waiting, _share_over_an_hour))  # fmt: skip
    width = 0.02 if full else 0.1
    yield mean_of("mean wait, min", 40, found[0], width)
    yield mean_of("mean time in the shop, min", 60, found[1], width)
    yield mean_of("share that waits", 2 / 3, found[2], width)
    yield mean_of("share inside for over an hour", 0.367879441171, found[3], width)


def _two_servers(full: bool) -> Iterator[Finding]:
    found = measured(load("m_m_2", {"study.weeks": 350 if full else 50}), (_wait, _stay, _share_waiting))
    width = 0.02 if full else 0.1
    yield mean_of("mean wait, min", 2.5, found[0], width)
    yield mean_of("mean time in the shop, min", 22.5, found[1], width)
    yield mean_of("share that waits", 1 / 6, found[2], width)


CASES = (
    Case(
        "A-01", "M/M/1: one server, county hospital",
        "Hillier & Lieberman, Introduction to Operations Research, county hospital, s = 1 (from memory): L 2, W 1 h, "
        "Wq 2/3 h; P(W > 1 h) = exp(-(mu - lambda)) derived",
        SIMULATED, _one_server, seconds=2,
    ),
    Case(
        "A-02", "M/M/2: the same orders, two servers, one line",
        "Hillier & Lieberman, county hospital, s = 2 (from memory): Wq 1/24 h, W 3/8 h; Erlang C 1/6",
        SIMULATED, _two_servers, seconds=2,
    ),
)  # fmt: skip
