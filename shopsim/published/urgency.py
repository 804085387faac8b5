"""Classes of urgency with and without interruption, and side work of a server who finds nothing to do."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from shopsim.floor.record import KIND, RunLog
from shopsim.published.case import Case, Finding
from shopsim.published.simulated import SIMULATED, load, mean_of, measured, waits

_CLASSES = ("urgent", "normal", "stock")


def _delays(log: RunLog) -> dict[str, float]:
    """Mean minutes from receipt to dispatch in which nobody worked at the order, by class: of one step, W - 1/mu."""
    product = _by_order(log, "lines", "product")
    received, left = (_by_order(log, "orders", column) for column in ("received", "dispatched"))
    of_order = log.column("operations", "order").astype(np.int64)
    worked = np.bincount(of_order, log.column("operations", "worked_min"), minlength=len(received))
    counted = (received >= log.warm_up_min) & (left >= 0)
    return {
        name: float(np.mean((left - received - worked)[counted & (product == i)])) for i, name in enumerate(_CLASSES)
    }


def _by_order(log: RunLog, table: str, column: str) -> NDArray[np.float64]:
    by_number: NDArray[np.float64] = log.column(table, column)[np.argsort(log.column(table, "order"))]
    return by_number


def _delay(name: str) -> Callable[[RunLog], float]:
    return lambda log: _delays(log)[name]


def _three_classes(full: bool) -> Iterator[Finding]:
    one = {"study.weeks": 160 if full else 8}
    two = one | {"work_centres.desk.seats": 2, "crews.servers.count": 2}
    interrupted = one | {"work_centres.desk.interrupted_by": "more_urgent"}
    widths = (0.05, 0.06, 0.1) if full else (0.22, 0.28, 0.5)
    yield from classes("one server", one, (0.238095238095, 0.324675324675, 0.909090909091), widths[0])
    yield from classes("two servers", two, (0.0287356321839, 0.0331564986737, 0.0480769230769), widths[1])
    yield from classes("one server, interrupted", interrupted, (0.0238095238095, 0.15367965368, 1.0303030303),
                        widths[2])  # fmt: skip


def classes(
    what: str,
    sets: Mapping[str, object],
    hours: tuple[float, float, float],
    width: float,
    wider: tuple[float, float, float] = (1, 1, 1),
) -> Iterator[Finding]:
    """Delays of three classes, most urgent first; `wider` multiplies the width for each."""
    found = measured(load("three_classes", sets), [_delay(name) for name in _CLASSES])
    for name, expected_h, values, times in zip(_CLASSES, hours, found, wider, strict=True):
        yield mean_of(f"{what}: delay of {name} orders, min", 60 * expected_h, values, times * width)


def _share_at_work(log: RunLog) -> float:
    """Of the time after the warm-up."""
    start = np.maximum(log.column("operations", "start"), log.warm_up_min)
    end = np.minimum(log.column("operations", "end"), log.horizon_min)
    mine = log.column("operations", "kind") == KIND["work"]
    return float(np.sum(np.maximum(end - start, 0.0)[mine])) / (log.horizon_min - log.warm_up_min)


def _wait(log: RunLog) -> float:
    return float(np.mean(waits(log)))


def _side_work(full: bool) -> Iterator[Finding]:
    weeks = {"study.weeks": 100 if full else 3.5}
    width = 0.02 if full else 0.13
    found = measured(load("side_work", weeks), (_wait, _share_at_work))
    yield mean_of("share of time at work", 0.7, found[1], width)
    yield mean_of("mean wait, min", 14.6666666667, found[0], width)
    (without,) = measured(load("side_work", weeks | {"crews.servers.side_work": None}), (_wait,))
    yield mean_of("mean wait without side work, min", 8.66666666667, without, 1.5 * width)


CASES = (
    Case(
        "A-08", "Three classes of urgency: waiting in line, two servers, interrupting",
        "A. Cobham, Operations Research 2 (1954) 70-76; Hillier & Lieberman, county hospital, three patient classes "
        "(from memory); all values recomputed, those of the third class and of two servers derived",
        f"{SIMULATED}; few of the urgent orders ever wait, so that 2 % would take twenty times as long",
        _three_classes, seconds=3.3, path="floor",
    ),
    Case(
        "A-17", "Side work when idle: M/G/1 with vacations, taken again and again",
        "Y. Levy & U. Yechiali, Management Science 22 (1975) 202-211; B. T. Doshi, Queueing Systems 1 (1986) 29-66 "
        "(formula from memory; values derived): Wq = lambda E[S^2] / 2 (1 - rho) + E[V^2] / 2 E[V]",
        SIMULATED, _side_work, seconds=2.9, path="floor",
    ),
)  # fmt: skip
