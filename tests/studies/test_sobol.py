"""Sobol's indices against functions whose indices are known in closed form."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from scipy import stats

from shopsim.studies.sobol import Indices, design, indices
from tests.studies.ishigami import ishigami

Function = Callable[[np.ndarray], np.ndarray]


def found(function: Function, inputs: int, base: int = 1024, seed: int = 3) -> list[Indices]:
    # Two replications without any luck.
    return indices(np.repeat(function(design(inputs, base, seed))[:, None], 2, axis=1), inputs, seed)


def test_ishigami() -> None:
    """With a = 7, b = 0.1 the indices are 0.3139, 0.4424, 0 and 0.5576, 0.4424, 0.2437 (closed form, in many texts)."""
    one = found(ishigami, 3, 4096)
    assert [each.first.estimate for each in one] == pytest.approx([0.3139, 0.4424, 0.0], abs=0.01)
    assert [each.total.estimate for each in one] == pytest.approx([0.5576, 0.4424, 0.2437], abs=0.01)
    for each, first, total in zip(one, (0.3139, 0.4424, 0.0), (0.5576, 0.4424, 0.2437), strict=True):
        assert each.first.low < first < each.first.high
        assert each.total.low < total < each.total.high


G = (0.0, 1.0, 4.5, 9.0, 99.0, 99.0)


def g_function(points: np.ndarray) -> np.ndarray:
    """Sobol's g: the product of (|4 x - 2| + a) / (1 + a)."""
    a = np.array(G)
    return np.asarray(((np.abs(4 * points - 2) + a) / (1 + a)).prod(axis=1))


def test_the_g_function() -> None:
    """A. Saltelli, I. M. Sobol, "About the use of rank transformation in sensitivity analysis of model output",
    Reliability Engineering and System Safety 50 (1995) 225-239: V_i = 1 / (3 (1 + a_i)^2), V = prod(1 + V_i) - 1."""
    parts = np.array([1 / (3 * (1 + a) ** 2) for a in G])
    variance = np.prod(1 + parts) - 1
    total = [part * np.prod(1 + np.delete(parts, i)) / variance for i, part in enumerate(parts)]
    one = found(g_function, 6, 4096)
    assert [each.first.estimate for each in one] == pytest.approx((parts / variance).tolist(), abs=0.01)
    assert [each.total.estimate for each in one] == pytest.approx(total, abs=0.01)


def test_a_straight_line_has_the_squares_of_its_slopes_and_nothing_together() -> None:
    one = found(lambda x: 100 + 3 * x[:, 0] + 4 * x[:, 1] + 0 * x[:, 2], 3, 256)
    for each, share in zip(one, (9 / 25, 16 / 25, 0.0), strict=True):
        assert each.first.estimate == pytest.approx(share, abs=0.02)
        assert each.total.estimate == pytest.approx(share, abs=0.02)


def test_intervals_hold_the_truth_about_as_often_as_they_say() -> None:
    held = 0
    for seed in range(60):
        each = found(ishigami, 3, 128, seed)[0].total
        held += each.low <= 0.5576 <= each.high
    # At least 95 % but for four standard errors of counting; even rows make them wider than they say.
    assert held >= 60 * 0.95 - 4 * math.sqrt(60 * 0.95 * 0.05)


def test_the_design_is_two_matrices_and_one_mixed_for_each_input() -> None:
    points = design(3, 16, 1).reshape(5, 16, 3)
    a, b = points[:2]
    for i in range(3):
        assert (points[2 + i][:, i] == b[:, i]).all()
        assert (np.delete(points[2 + i], i, axis=1) == np.delete(a, i, axis=1)).all()
    # A Sobol sequence has one point in every 16th of each input.
    assert sorted((a[:, 0] * 16).astype(int)) == list(range(16))


@pytest.mark.parametrize(("base", "message"), [
    (4, "base must be at least 8, found 4"), (48, "base must be a power of 2, found 48"),
])  # fmt: skip
def test_impossible_designs_are_refused(base: int, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        design(3, base, 1)


@pytest.mark.parametrize(("answers", "message"), [
    ([1.0] * 41, "answers must be finite and 5 for each base sample, found 41"),
    ([math.nan] * 40, "answers must be finite and 5 for each base sample, found 40"),
])  # fmt: skip
def test_answers_that_do_not_do(answers: list[float], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        indices(np.array(answers)[:, None], 3, 1)


def with_luck(slopes: tuple[float, ...], luck: float, seed: int, each: int = 2, base: int = 64) -> list[Indices]:
    """A straight line with luck of its own at every point and replication."""
    points = design(len(slopes), base, seed)
    noise = np.random.default_rng([seed, 1]).normal(0, luck, (len(points), each))
    return indices((points @ slopes)[:, None] + noise, len(slopes), seed)


def test_luck_is_taken_off_the_shares() -> None:
    """Slopes 3, 4 and 0 have variances 9/12 and 16/12; luck of the mean of two replications adds a half to each."""
    found = [with_luck((3.0, 4.0, 0.0), 1.0, seed) for seed in range(60)]
    for i, share in enumerate((9 / 25, 16 / 25, 0.0)):
        for kind in ("first", "total"):
            # Left in it would make the totals 0.46, 0.68 and 0.19.
            estimates = [getattr(each[i], kind).estimate for each in found]
            assert np.mean(estimates) == pytest.approx(share, abs=0.03)


def with_shared_luck(seed: int, base: int = 64) -> list[Indices]:
    """The mean is 10 times the first input; luck is that of the row at all of its points, the more the
    further the second lies from its middle."""
    points = design(2, base, seed)
    luck = np.tile(np.random.default_rng([seed, 1]).normal(size=(base, 2)), (4, 1))
    return indices(10 * points[:, :1] + 6 * (points[:, 1:] - 0.5) * luck, 2, seed)


def test_luck_that_the_points_of_a_row_share_is_taken_off_both_shares() -> None:
    """Left in, the luck of B and that of the step in the second input, 36 x 1/12 over two replications, would make its
    first index 1.5 / (100 / 12) = 0.18, and its total as much."""
    found = [with_shared_luck(seed) for seed in range(200)]
    for i, share in enumerate((1.0, 0.0)):
        for kind in ("first", "total"):
            estimates = np.array([getattr(each[i], kind).estimate for each in found])
            error = estimates.std() / math.sqrt(len(found))
            # The ratio of two means is off by little at 64 samples.
            assert abs(estimates.mean() - share) < 4 * error + 0.02
            assert error < 0.02


def test_luck_is_not_taken_for_an_effect_more_often_than_promised() -> None:
    told = [[each.told for each in with_luck((9.0, 0.0, 0.0, 0.0), 1.0, seed)] for seed in range(200)]
    assert all(each[0] for each in told)
    assert sum(any(each[1:]) for each in told) <= stats.binom.ppf(0.99, 200, 0.05)


def test_where_luck_makes_all_variance_there_are_no_shares() -> None:
    alike = np.ones((40, 2))
    assert indices(alike, 3, 1) == []
    assert [] in [with_luck((0.0, 0.0), 1.0, seed) for seed in range(8)]


def test_one_total_is_surely_above_another_by_the_bootstrap_of_their_difference() -> None:
    first, second, third = with_luck((5.0, 4.0, 0.5), 0.1, 1)
    assert first.surely_more(third, 95)
    assert second.surely_more(third, 99.9)
    assert not third.surely_more(second, 95)
    apart = np.subtract(first.totals_again, second.totals_again)
    low = [float(np.quantile(apart, 0.5 - pct / 200)) for pct in (50, 95, 99.9)]
    assert low == sorted(low, reverse=True)
    assert [first.surely_more(second, pct) for pct in (50, 95, 99.9)] == [each > 0 for each in low]
    # Alike inputs are told apart no more often than promised.
    alike = [with_luck((3.0, 3.0), 0.3, seed) for seed in range(200)]
    wrong = sum(a.surely_more(b, 95) or b.surely_more(a, 95) for a, b in alike)
    assert wrong <= stats.binom.ppf(0.99, 200, 0.05)


def test_from_one_replication_nothing_is_told_from_luck() -> None:
    assert [each.told for each in with_luck((9.0, 0.0), 0.1, 1, each=1)] == [False, False]
