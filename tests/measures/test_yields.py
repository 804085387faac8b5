"""Yields: case F-03 of the outside checks, and a hand-written log."""

import math

import pytest

from shopsim.floor.record import KIND, REMAKE_CAUSES
from shopsim.measures.yields import chance_of_enough, first_pass_yields, rolled_yield, starts_needed, yield_with_rework
from tests.measures.hand_logs import hand_log, hand_shop, operation

# F-03: print, fixation, cut, sew, final inspection.
FIRST_PASS = (0.96, 0.985, 0.995, 0.97, 0.99)


def test_f03_rolled_throughput_yield_and_starts() -> None:
    rolled = rolled_yield(FIRST_PASS)
    assert rolled == pytest.approx(0.9035193816, abs=1e-9)
    assert starts_needed(200, rolled) == 222
    assert chance_of_enough(200, 222, rolled) == pytest.approx(0.608120275875, abs=1e-9)


def test_f03_rework() -> None:
    sewn = yield_with_rework(0.97, 0.6)
    assert sewn == pytest.approx(0.988, abs=1e-9)
    assert rolled_yield((0.96, 0.985, 0.995, sewn, 0.99)) == pytest.approx(0.92028572064, abs=1e-9)


@pytest.mark.parametrize("rolled", [0.0, 1.1, math.nan])
def test_no_start_helps_a_yield_of_nothing(rolled: float) -> None:
    with pytest.raises(ValueError) as found:
        starts_needed(1, rolled)
    assert str(found.value) == f"a rolled yield lies above 0 and at most at 1, got {rolled!r}"


def test_first_pass_yields_of_a_log() -> None:
    """18 pieces in bundles + 2 lost at a stop = 20 started. Faults at the first make: print 1 + 2 at stops, cutting 1,
    sewing 1 made again + 3 repaired. A remade bundle, a repaired single and a second remake are not first makes."""
    cause = {name: code for code, name in enumerate(REMAKE_CAUSES)}
    names = ["print_fault", "stop", "stop", "cut_loss", "sewing_fault"]
    remakes = [{"at": 500, "cause": cause[name]} for name in names]
    log = hand_log(
        hand_shop(),
        bundles=[
            {"bundle": 0, "pieces": 18, "made": 450},
            {"bundle": 1, "pieces": 5, "made": 600, "attempt": 1},
            {"bundle": 2, "pieces": 3, "made": 600, "parent": 0},
        ],
        remakes=[*remakes, {"at": 700, "cause": cause["print_fault"], "attempt": 1}],
        operations=[
            operation(1, KIND["repair"], 600, 610, part=0, last=0, pieces=3, person=1),
            operation(1, KIND["repair"], 700, 710, part=1, pieces=3, person=1),
            operation(2, KIND["repair"], 800, 810, pieces=1, person=1, attempt=1),
        ],
    )
    expected = {"print": 17 / 20, "calender": 1.0, "cut": 19 / 20, "sew": 16 / 20}
    rolled = 17 / 20 * 19 / 20 * 16 / 20
    assert first_pass_yields(log, hand_shop()) == pytest.approx(expected | {"rolled": rolled})


def test_nothing_started_has_no_yield() -> None:
    assert all(math.isnan(value) for value in first_pass_yields(hand_log(hand_shop()), hand_shop()).values())
