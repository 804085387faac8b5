"""Bottleneck detection: check K-01.

C. Roser, M. Nakano, M. Tanaka, Winter Simulation Conference 2001, 949-953 and 2002, 1079-1086 (method and definition
confirmed on public pages; the papers' tables could not be opened, so the log is derived and its results were computed
on a grid of minutes). Whole minutes: exact, but for division, 1e-9.
"""

from __future__ import annotations

import statistics

import pytest

from shopsim.measures.bottleneck import mean_active_min, momentary_constraints
from shopsim.measures.intervals import Intervals, merged

# Minutes at which the state changes, and the state from then on: Work, sEt-up, Clean, Repair, Starved, Blocked.
LOG = {
    "M1": "0W 20B 25W 50B 55W 73B 78W 102B 106W 132B 138W 160B 164W 190B",
    "M2": "0S 20W 50E 60W 95S 100W 112C 120W 160S 162W",
    "M3": "0S 30W 46S 55W 70S 82W 102R 142W 152S 163W 177S 185W",
    "M4": "0S 46W 55S 66W 76S 91W 100S 155W 167S 177W 188S",
}
END = 200
ACTIVE = "WECR"


def spans(machine: str) -> list[tuple[int, int, str]]:
    """Start, end and state of each span."""
    changes = [(int(word[:-1]), word[-1]) for word in LOG[machine].split()] + [(END, "")]
    return [(at, changes[i + 1][0], state) for i, (at, state) in enumerate(changes[:-1])]


def active() -> dict[str, Intervals]:
    """Active periods; adjacent active states are one period."""
    chosen = {name: [span for span in spans(name) if span[2] in ACTIVE] for name in LOG}
    return {name: merged([s for s, _, _ in rows], [e for _, e, _ in rows]) for name, rows in chosen.items()}


def test_average_active_periods() -> None:
    periods = active()
    assert {name: len(each.starts) for name, each in periods.items()} == {"M1": 7, "M2": 3, "M3": 5, "M4": 5}
    means = {name: mean_active_min(each) for name, each in periods.items()}
    assert means == pytest.approx({"M1": 23.0, "M2": 57.6666666666667, "M3": 26.0, "M4": 10.2}, abs=1e-9)
    assert max(means, key=lambda name: means[name]) == "M2"
    deviations = {name: statistics.stdev((each.ends - each.starts).tolist()) for name, each in periods.items()}
    assert deviations == pytest.approx(
        {"M1": 3.10912635103, "M2": 18.6100331362771, "M3": 24.6069095987286, "M4": 1.30384048104}, abs=1e-9
    )


def test_utilisation_names_another_machine() -> None:
    shares = {name: sum(end - start for start, end, state in spans(name) if state == "W") / END for name in LOG}
    assert shares == pytest.approx({"M1": 0.805, "M2": 0.775, "M3": 0.45, "M4": 0.255}, abs=1e-12)
    assert max(shares, key=lambda name: shares[name]) == "M1"


def test_the_shifting_bottleneck() -> None:
    found = momentary_constraints(active(), END)
    assert found.periods == [
        ("M1", 0, 20), ("M2", 20, 95), ("M3", 82, 152), ("M2", 100, 160), ("M4", 155, 167), ("M2", 162, 200),
    ]  # fmt: skip
    assert found.sole == pytest.approx({"M1": 0.1, "M2": 0.49, "M3": 0.025, "M4": 0.01}, abs=1e-12)
    assert found.shifting == pytest.approx({"M1": 0.0, "M2": 0.375, "M3": 0.325, "M4": 0.05}, abs=1e-12)
    assert max(found.total, key=lambda name: found.total[name]) == "M2"
