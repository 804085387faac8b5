"""When to renew a worn part: what holds beside the published case A-25 (`shopsim verify`)."""

import math

import pytest
from scipy.integrate import quad

from shopsim.craft.age_replacement import best_age_h, loss_a_running_hour, mean_run_h


def test_lives_that_always_reach_the_age_cost_one_planned_renewal_each() -> None:
    # A very steep law is nearly a fixed life of 100 h.
    assert loss_a_running_hour(500, 100, 2.0, 7.0, age_h=50) == pytest.approx(2 / 50)
    assert loss_a_running_hour(500, 100, 2.0, 7.0) == pytest.approx(7 / 100, rel=0.01)


@pytest.mark.parametrize(("shape", "age_h"), [(0.7, 30.0), (1.0, 250.0), (2.5, 80.0), (6.0, 140.0), (2.5, 500.0)])
def test_the_mean_run_is_the_area_under_the_share_still_running(shape: float, age_h: float) -> None:
    area, _ = quad(lambda h: math.exp(-((h / 100) ** shape)), 0, age_h, epsabs=1e-12)
    assert mean_run_h(shape, 100, age_h) == pytest.approx(area, rel=1e-9)


@pytest.mark.parametrize(("shape", "planned", "failed"), [(1.0, 1.0, 50.0), (0.8, 1.0, 50.0), (3.0, 2.0, 2.0)])
def test_planning_does_not_pay_without_wear_or_dear_failures(shape: float, planned: float, failed: float) -> None:
    assert best_age_h(shape, 100, planned, failed) == math.inf


def test_the_best_age_is_best_and_moves_as_it_should() -> None:
    best = best_age_h(2.0, 100, 1, 4)
    least = loss_a_running_hour(2.0, 100, 1, 4, best)
    assert all(loss_a_running_hour(2.0, 100, 1, 4, best * factor) > least for factor in (0.98, 1.02))
    assert best_age_h(2.0, 100, 1, 8) < best < best_age_h(2.0, 100, 1, 3)
    assert best_age_h(2.0, 300, 1, 4) == pytest.approx(3 * best)


@pytest.mark.parametrize("wrong", [(0, 1, 1, 1), (1, -1, 1, 1), (1, 1, -1, 1), (1, 1, 1, 0)])
def test_impossible_numbers(wrong: tuple[float, float, float, float]) -> None:
    with pytest.raises(ValueError, match="must be"):
        loss_a_running_hour(*wrong)


def test_an_age_far_beyond_all_lives_is_none() -> None:
    # Wear that hardly shows (shape 1.0001) and a failure that costs hardly more than the renewal.
    assert best_age_h(1.0001, 100, 1.0, 1.0001) == math.inf
