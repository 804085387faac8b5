"""Sewing lines: check F-04. Stations are exact; shares 1e-9.

J. R. Jackson, Management Science 2 (1956) 261-271, as data set of A. Scholl (1993): optimal stations (cycle 10
confirmed on a public page; times and arcs from memory, all six optima proved again). J. Heizer, B. Render, Operations
Management, wing component (from memory).
"""

from __future__ import annotations

import pytest

from shopsim.craft.line_balance import balance_efficiency, balance_line, cycle_min, places_bound

JACKSON = [6, 2, 5, 7, 1, 2, 3, 6, 5, 5, 4]
JACKSON_ARCS = "1-2 1-3 1-4 1-5 2-6 3-7 4-7 5-7 6-8 7-9 8-10 9-11 10-11"
WING = {"A": 10, "B": 11, "C": 5, "D": 4, "E": 11, "F": 3, "G": 7, "H": 11, "I": 3}
WING_ARCS = "A-B A-E B-C B-D C-F D-F F-G E-H G-I H-I"


def arcs(text: str, names: str) -> list[tuple[int, int]]:
    order = names.split()
    return [(order.index(a), order.index(b)) for a, b in (arc.split("-") for arc in text.split())]


def assert_kept(places: list[list[int]], minutes: list[int], before: list[tuple[int, int]], cycle: float) -> None:
    at = {step: place for place, steps in enumerate(places) for step in steps}
    assert sorted(at) == list(range(len(minutes)))
    assert all(at[a] <= at[b] for a, b in before)
    assert all(sum(minutes[step] for step in steps) <= cycle for steps in places)


@pytest.mark.parametrize(("cycle", "stations"), [(7, 8), (9, 6), (10, 5), (13, 4), (14, 4), (21, 3)])
def test_jacksons_eleven_tasks(cycle: int, stations: int) -> None:
    before = arcs(JACKSON_ARCS, "1 2 3 4 5 6 7 8 9 10 11")
    places = balance_line(JACKSON, before, cycle)
    assert_kept(places, JACKSON, before, cycle)
    assert len(places) == stations


def test_jacksons_efficiency_at_ten() -> None:
    assert balance_efficiency(JACKSON, 5, 10) == pytest.approx(0.92, abs=1e-9)


def test_the_wing_component() -> None:
    minutes, before = list(WING.values()), arcs(WING_ARCS, " ".join(WING))
    assert cycle_min(480, 40) == 12
    assert places_bound(minutes, 12) == pytest.approx(5.41666666667, abs=1e-9)
    places = balance_line(minutes, before, 12)
    assert_kept(places, minutes, before, 12)
    assert len(places) == 6
    assert balance_efficiency(minutes, 6, 12) == pytest.approx(0.902777777778, abs=1e-9)


@pytest.mark.parametrize(
    ("minutes", "before", "message"),
    [
        ([13.0], [], "step_min must be at most the cycle of 12 min, found 13.0"),
        ([1.0, 1.0], [(0, 1), (1, 0)], "before must not run in a circle"),
        ([1.0] * 21, [], "a line is balanced for at most 20 steps, found 21"),
    ],
)
def test_lines_that_cannot_be_balanced(minutes: list[float], before: list[tuple[int, int]], message: str) -> None:
    with pytest.raises(ValueError) as caught:
        balance_line(minutes, before, 12)
    assert str(caught.value) == message
