"""Elementary effects: exact for straight lines, and Morris' own test function of 20 inputs."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from itertools import combinations, product

import numpy as np
import pytest
from scipy import stats

from shopsim.studies.morris import Screened, screen, trajectories
from shopsim.studies.precision import interval
from tests.studies.ishigami import ishigami


def screened(function: Callable[[np.ndarray], float], inputs: int, count: int, seed: int = 1) -> list[Screened]:
    runs = trajectories(inputs, count, seed)
    # Two replications without any luck.
    return screen(runs, [np.array([[function(point)] * 2 for point in run.points]) for run in runs])


def test_each_step_moves_one_input_by_two_thirds_and_every_input_once() -> None:
    for run in trajectories(5, 50, 7):
        assert run.points.shape == (6, 5)
        assert sorted(run.moved) == [0, 1, 2, 3, 4]
        steps = np.diff(run.points, axis=0)
        for step, which in zip(steps, run.moved, strict=True):
            assert abs(step[which]) == pytest.approx(2 / 3)
            assert np.count_nonzero(step) == 1
        assert set(np.round(run.points * 3, 9).flat) <= {0.0, 1.0, 2.0, 3.0}


def test_inputs_start_at_every_level_and_go_both_ways() -> None:
    runs = trajectories(3, 400, 2)
    first = np.array([run.points[0] for run in runs])
    for level in (0, 1 / 3, 2 / 3, 1):
        # A quarter each, within four standard errors of 1200 draws.
        assert np.isclose(first, level).mean() == pytest.approx(0.25, abs=0.05)


def test_a_straight_line_has_its_slopes_as_effects_and_no_deviation() -> None:
    found = screened(lambda x: 3 * x[0] - 2 * x[1] + 7, 3, 8)
    assert [one.mean for one in found] == pytest.approx([3, -2, 0])
    assert [one.mean_absolute.mean for one in found] == pytest.approx([3, 2, 0])
    assert [one.deviation for one in found] == pytest.approx([0, 0, 0], abs=1e-12)


def test_effects_that_cancel_show_in_the_mean_of_absolute_effects() -> None:
    # 9 (x - 1/2)^2 between levels 2/3 apart: 9/4 at 0 and 1, 1/4 at 1/3 and 2/3, so -3 or 3.
    found = screened(lambda x: 9 * (x[0] - 0.5) ** 2, 1, 400)[0]
    assert found.mean == pytest.approx(0, abs=0.6)
    assert found.mean_absolute.mean == pytest.approx(3)
    assert found.deviation == pytest.approx(3, abs=0.01)


def morris_function(seed: int = 5) -> Callable[[np.ndarray], float]:
    """The test function of Morris (1991), section 5: 20 inputs, of which the first ten matter.

    w = 2 (x - 1/2), but for inputs 3, 5, 7: 2 (1.1 x / (x + 0.1) - 1/2); coefficients 20 for inputs 1 to 10, -15 for
    pairs of 1 to 6, -10 for triples of 1 to 5, 5 for fours of 1 to 4; other single and pair coefficients are standard
    normal, other triples and fours 0.
    """
    rng = np.random.default_rng(seed)
    single = np.concatenate([np.full(10, 20.0), rng.normal(size=10)])
    pairs = {pair: -15.0 if max(pair) < 6 else rng.normal() for pair in combinations(range(20), 2)}

    def value(x: np.ndarray) -> float:
        w = 2 * (x - 0.5)
        w[[2, 4, 6]] = 2 * (1.1 * x[[2, 4, 6]] / (x[[2, 4, 6]] + 0.1) - 0.5)
        total = float(single @ w) + sum(each * w[i] * w[j] for (i, j), each in pairs.items())
        total += sum(-10 * w[i] * w[j] * w[k] for i, j, k in combinations(range(5), 3))
        return total + 5 * w[0] * w[1] * w[2] * w[3]

    return value


def test_morris_own_function_shows_its_three_groups() -> None:
    found = screened(morris_function(), 20, 40)
    effects = [one.mean_absolute.mean for one in found]
    ratios = [one.deviation / one.mean_absolute.mean for one in found]
    # The paper's Figure 1: 1 to 10 stand apart, 8 to 10 with a clear mean and little deviation, 1 to 7 with much.
    assert min(effects[:10]) > 2.5 * max(effects[10:])
    assert [one.mean for one in found[7:10]] == pytest.approx([40, 40, 40], abs=6)
    assert max(ratios[7:10]) < 0.2
    assert min(ratios[:7]) > 0.5


def effects_of_ishigami(i: int) -> np.ndarray:
    """Every effect of an input there is on four levels: both steps of two thirds, wherever the others stand."""
    others = product(range(4), repeat=2)
    starts = np.array([[*place[:i], level, *place[i:]] for place in others for level in (0, 1)]) / 3
    ends = starts.copy()
    ends[:, i] += 2 / 3
    return np.asarray((ishigami(ends) - ishigami(starts)) / (2 / 3))


def test_ishigami_on_four_levels() -> None:
    """Its indices are Sobol's (`test_sobol`); on the grid -pi, -pi/3, pi/3, pi all effects can be counted out. By hand
    the sine of x1 rises by sqrt 3 / 2 in either step, sin^2 x2 moves by 3/4, x3^4 by 80/81 pi^4."""
    exact = [effects_of_ishigami(i) for i in range(3)]
    by_hand = (
        math.sqrt(3) / 2 * (1 + 0.05 * math.pi**4 * 82 / 81) * 1.5, 7 * 0.75 * 1.5,
        0.1 * math.pi**4 * 80 / 81 * math.sqrt(3) / 4 * 1.5,
    )  # fmt: skip
    assert [np.abs(each).mean() for each in exact] == pytest.approx(by_hand)
    assert by_hand == pytest.approx((7.7041, 7.875, 6.2488), abs=5e-5)
    count = 400
    found = screened(lambda x: float(ishigami(x[None, :])[0]), 3, count)
    for one, each in zip(found, exact, strict=True):
        error = 3.5 / math.sqrt(count)
        assert one.mean_absolute.mean == pytest.approx(np.abs(each).mean(), abs=error * np.abs(each).std() + 1e-9)
        assert one.mean == pytest.approx(each.mean(), abs=error * each.std() + 1e-9)
        # The effects are bounded; the variance of their variance is that of their squares about the mean.
        squares = (each - each.mean()) ** 2
        assert one.deviation**2 == pytest.approx(each.var(), abs=error * squares.std() + 0.01 * each.var())
    # An interval of 95 % holds what is known, in as many of 200 screenings as 1 % of bad luck allows.
    held = [0, 0]
    for seed in range(200):
        run = screened(lambda x: float(ishigami(x[None, :])[0]), 3, 30, seed)
        for k, i in enumerate((0, 2)):
            reach = run[i].mean_absolute
            held[k] += reach.low <= by_hand[i] <= reach.high
    assert min(held) >= stats.binom.ppf(0.01, 200, 0.95)


def test_answers_that_are_missing_leave_their_effects_out() -> None:
    runs = trajectories(2, 3, 1)
    answers = [run.points.sum(axis=1)[:, None] for run in runs]
    answers[0][0, 0] = math.nan
    found = screen(runs, answers)
    moved_first = runs[0].moved[0]
    assert found[moved_first].mean_absolute.n == 2
    assert found[1 - moved_first].mean_absolute.n == 3
    nothing = screen(runs, [np.full((3, 2), math.nan)] * 3)
    assert math.isnan(nothing[0].mean)
    assert not nothing[0].told


def with_luck(slopes: tuple[float, ...], seed: int, count: int = 10, each: int = 3) -> list[Screened]:
    """A straight line with luck of 1 at every point and replication, none of it shared."""
    runs, rng = trajectories(len(slopes), count, seed), np.random.default_rng([seed, 1])
    return screen(runs, [(run.points @ slopes)[:, None] + rng.normal(size=(len(run.points), each)) for run in runs])


def test_luck_is_not_taken_for_an_effect_more_often_than_promised() -> None:
    """Four inputs that do nothing: in at most 5 % of studies any of them is told from luck."""
    wrong = sum(any(one.told for one in with_luck((0.0,) * 4, seed)) for seed in range(300))
    assert wrong <= stats.binom.ppf(0.99, 300, 0.05)


def test_an_effect_well_above_luck_is_told_and_luck_is_known() -> None:
    # A step is 2/3 of the range, its mean over three replications has a variance of 2/3, its effect one of 3/2.
    found = [with_luck((6.0, 0.0), seed) for seed in range(100)]
    assert np.mean([each[0].told for each in found]) > 0.95
    assert np.mean([each[1].luck for each in found]) == pytest.approx(math.sqrt(2 / math.pi * 1.5), rel=0.04)
    assert np.mean([each[1].mean_absolute.mean for each in found]) == pytest.approx(math.sqrt(3 / math.pi), rel=0.05)


def test_one_effect_is_surely_above_another_in_pairs_and_with_its_luck_taken_off() -> None:
    sizes = ((3.0, 4.0, 5.0, 6.0), (2.0, 3.1, 3.9, 5.0))
    one, other = (Screened(0.0, interval(each), 1.0, 0.0, True, each) for each in sizes)
    # Differences 1.0, 0.9, 1.1, 1.0: mean 1, t(3, 0.975) x 0.08165 / 2 = 0.13; side by side their intervals overlap.
    assert one.surely_more(other, 95)
    assert not other.surely_more(one, 95)
    assert not one.surely_more(other, 99.99)
    assert [replace(one, luck=luck).surely_more(other, 95) for luck in (0.86, 0.88)] == [True, False]
    assert not replace(one, luck=math.nan).surely_more(other, 95)
    # What one trajectory could not measure leaves its pair out.
    gap = replace(other, sizes=(math.nan, 3.1, 3.9, 5.0))
    assert one.surely_more(gap, 95)
    assert not one.surely_more(gap, 99.9)


def test_effects_alike_are_told_apart_no_more_often_than_promised() -> None:
    found = [with_luck((4.0, 4.0), seed) for seed in range(300)]
    wrong = sum(a.surely_more(b, 95) or b.surely_more(a, 95) for a, b in found)
    assert wrong <= stats.binom.ppf(0.99, 300, 0.05)


def test_from_one_replication_nothing_is_told_from_luck() -> None:
    found = with_luck((50.0, 0.0), 1, each=1)
    assert [one.told for one in found] == [False, False]
    assert math.isnan(found[0].luck)


@pytest.mark.parametrize(("arguments", "message"), [
    ((0, 1), "inputs must be at least 1, found 0"), ((1, 0), "trajectories must be at least 1, found 0"),
    ((1, 1, 1, 5), "levels must be even, found 5"),
])  # fmt: skip
def test_impossible_designs_are_refused(arguments: tuple[int, ...], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        trajectories(*arguments[:2], *(arguments[2:] or (1,)))  # type: ignore[arg-type]
