"""The root of a curve known from replications: exact cases by hand, promised coverage, what lies outside the range."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from shopsim.studies.root_finding import Asked, Root, RootPlan, find_roots, root_of

GRID = (0.85, 1.0, 1.15)


def test_two_straight_replications_by_hand() -> None:
    # At x: 1 - x and 3 - x; mean 2 - x, error of the mean 1 everywhere, t(1, 0.75) = 1: |2 - x| <= 1 is not rejected.
    curve = {x: (1 - x, 3 - x) for x in (0.0, 1.0, 2.0, 3.0, 4.0)}
    assert root_of(curve, 0.0, 50.0) == Root(pytest.approx(2.0), pytest.approx(1.0), pytest.approx(3.0), 0, (0, 4), 2)
    rising = {x: (x - 1, x - 3) for x in curve}
    assert root_of(rising, 0.0, 50.0, falling=False) == root_of(curve, 0.0, 50.0)


def test_replications_without_scatter_meet_at_one_point() -> None:
    curve = {x: (2 - x, 2 - x, 2 - x) for x in (0.0, 1.0, 3.0, 4.0)}
    found = root_of(curve, 0.0)
    assert (found.estimate, found.low, found.high) == pytest.approx((2.0, 2.0, 2.0))


def test_a_mean_that_rises_in_between_is_made_to_fall() -> None:
    # 0.4, -0.2, 0.2, -0.4: by symmetry the pooled middle is 0 from where it first to where it last meets 0.
    found = root_of({0.0: (0.3, 0.5), 1.0: (-0.3, -0.1), 2.0: (0.1, 0.3), 3.0: (-0.5, -0.3)}, 0.0, 60.0)
    assert found.estimate == pytest.approx(1.5)
    # t(1, 0.8) = 1.376 and the error of the mean 0.1: from where the first step falls to 0.138 to where the last does.
    assert found.low is not None
    assert found.high is not None
    assert 0 < found.low < 1
    assert found.low + found.high == pytest.approx(3.0)


@pytest.mark.parametrize(("at_0", "at_1", "expected"), [
    ((5.0, 5.2), (4.0, 4.2), (None, 1.0, None, 1)),
    ((-4.0, -4.2), (-5.0, -5.2), (None, None, 0.0, -1)),
    # The mean is above at both ends, but the last is not surely so: 5.1 - 5 x = t(1, 0.9) (x - 0.1), t = 3.0777.
    ((5.0, 5.2), (1.0, -0.8), (None, pytest.approx(5.40777 / 8.0777, abs=1e-4), None, 1)),
    ((math.nan, math.nan), (1.0, 2.0), (None, None, None, 0)),
    ((1.0, math.nan), (-1.0, 2.0), (0.5, None, None, 0)),
])  # fmt: skip
def test_what_lies_outside_or_cannot_be_told(
    at_0: Sequence[float], at_1: Sequence[float], expected: tuple[float | None, float | None, float | None, int]
) -> None:
    found = root_of({0.0: at_0, 1.0: at_1}, 0.0, 80.0)
    assert (found.estimate, found.low, found.high, found.beyond) == expected


def test_fewer_than_two_x_are_refused() -> None:
    with pytest.raises(ValueError, match="x must be at least 2, found 1"):
        root_of({1.0: (1.0, 2.0)}, 0.0)


class Shop:
    """On-time curves 1 / (1 + exp(8 (x - 1.6))) with noise of its own for each replication and each x."""

    def __init__(self, seed: int, shared: float = 0.02, own: float = 0.01) -> None:
        self.seed, self.shared, self.own = seed, shared, own
        self.asked: list[tuple[float, int]] = []

    def value(self, x: float, number: int) -> float:
        shared = np.random.default_rng([self.seed, number]).normal()
        own = np.random.default_rng([self.seed, number, round(x * 1e6)]).normal() if self.own else 0.0
        return 1 / (1 + math.exp(8 * (x - 1.6))) + self.shared * (0.3 + x) * shared + self.own * own

    def __call__(self, asks: Sequence[Asked]) -> list[list[float]]:
        self.asked += [(x, count) for _, x, count in asks]
        return [[self.value(x, number) for number in range(count)] for _, x, count in asks]


TRUE_ROOT = 1.17
TARGET = 1 / (1 + math.exp(8 * (TRUE_ROOT - 1.6)))


def plan(count: int = 10, **changes: float | None) -> RootPlan:
    return RootPlan(GRID, 0.005, 0.4, 4.0, count, **changes)  # type: ignore[arg-type]


@pytest.mark.parametrize("count", [5, 10])
def test_the_interval_holds_the_true_root_as_often_as_promised(count: int) -> None:
    roots = [find_roots(Shop(seed), ["a"], TARGET, plan(count))["a"] for seed in range(300)]
    holds = [(r.low is None or r.low <= TRUE_ROOT) and (r.high is None or r.high >= TRUE_ROOT) for r in roots]
    # 95 % of 300 with three standard errors (0.0126) of counting.
    assert np.mean(holds) == pytest.approx(0.95, abs=0.038)
    estimates = [r.estimate for r in roots if r.estimate is not None]
    assert np.median(estimates) == pytest.approx(TRUE_ROOT, abs=0.02)


def test_the_search_begins_on_the_grid_strides_out_and_closes_in() -> None:
    shop = Shop(1, shared=0.0, own=0.0)
    found = find_roots(shop, ["a"], 0.5, plan(2))["a"]
    # From 1.15 by 1.5 times the last step, rounded to 0.01; then to the root until neighbours are 0.005 apart.
    assert shop.asked[:5] == [(0.85, 2), (1.0, 2), (1.15, 2), (1.37, 2), (1.7, 2)]
    assert found.estimate == pytest.approx(1.6, abs=0.001)
    xs = sorted(x for x, _ in shop.asked)
    after = next(x for x in xs if x > 1.6)
    assert after - xs[xs.index(after) - 1] <= 0.00501
    assert found.tried == (0.85, 1.7)


@pytest.mark.parametrize("knee", [1.02, 1.043, 1.09])
def test_a_knee_between_two_points_of_the_grid_is_found(knee: float) -> None:
    """99 % on time up to a knee, then 3 points less for each per cent more: 95 % are reached 1.33 % beyond it."""

    def observe(asks: Sequence[Asked]) -> list[list[float]]:
        luck = np.random.default_rng(2).normal(0, 0.004, 10)
        return [[0.99 - max(0.0, 3 * (x - knee)) + each for each in luck[:count]] for _, x, count in asks]

    found = find_roots(observe, ["a"], 0.95, plan())["a"]
    luck = np.random.default_rng(2).normal(0, 0.004, 10)
    expected = knee + (0.04 + luck.mean()) / 3
    # The interval is that of the luck's mean over the slope; neighbours 0.15 apart would miss the root by up to 0.04.
    half_width = 2.262157 * luck.std(ddof=1) / math.sqrt(10) / 3
    assert found.estimate == pytest.approx(expected, abs=0.001)
    assert found.half_width == pytest.approx(half_width, abs=0.001)


def test_nobody_looks_nearer_than_the_interval_is_wide() -> None:
    shop = Shop(2, shared=0.05, own=0.02)
    root = find_roots(shop, ["a"], TARGET, plan())["a"]
    xs = sorted({x for x, _ in shop.asked})
    assert root.half_width is not None and root.half_width > 0.05
    assert min(b - a for a, b in pairwise(xs)) > 0.02


def test_a_curve_that_never_breaks_is_followed_to_the_end_of_the_range() -> None:
    found = find_roots(lambda asks: [[0.99, 0.98]] * len(asks), ["a"], 0.9, plan(2))["a"]
    assert (found.estimate, found.low, found.high, found.beyond, found.tried) == (None, 4.0, None, 1, (0.85, 4.0))
    found = find_roots(lambda asks: [[0.5, 0.51]] * len(asks), ["a"], 0.9, plan(2))["a"]
    assert (found.estimate, found.low, found.high, found.beyond, found.tried) == (None, None, 0.4, -1, (0.4, 1.15))


def test_replications_are_added_where_they_tell_until_the_root_is_known_well_enough() -> None:
    shop, grid = Shop(3), (0.5, *GRID, 1.3)
    loose = find_roots(shop, ["a"], TARGET, replace(plan(10), grid=grid))["a"]
    shop.asked.clear()
    close = find_roots(shop, ["a"], TARGET, replace(plan(10, half_width=0.03), grid=grid))["a"]
    assert loose.half_width is not None and loose.half_width > 0.05
    assert close.half_width is not None and close.half_width <= 0.03
    assert close.estimate == pytest.approx(TRUE_ROOT, abs=0.045)
    assert close.n > 10
    # 0.5 lies far from the root: it is asked once only.
    assert [count for x, count in shop.asked if x == 0.5] == [10]


def test_replications_end_at_the_most_that_is_allowed() -> None:
    shop = Shop(3)
    found = find_roots(shop, ["a"], TARGET, plan(10, half_width=0.001, at_most=25))["a"]
    assert max(count for _, count in shop.asked) == 25
    assert found.half_width is not None and found.half_width > 0.001


def test_several_curves_are_asked_together() -> None:
    rounds = []

    def observe(asks: Sequence[Asked]) -> list[list[float]]:
        rounds.append({name for name, _, _ in asks})
        return [[(2.0 if name == "late" else 1.0) - x] * 2 for name, x, _ in asks]

    found = find_roots(observe, ["soon", "late"], 0.0, plan(2))
    assert rounds[0] == {"soon", "late"}
    assert found["soon"].estimate == pytest.approx(1.0)
    assert found["late"].estimate == pytest.approx(2.0)


@pytest.mark.parametrize(("changes", "message"), [
    ({"grid": (1.0, 1.0)}, "grid must be at least 2, found 1"),
    ({"count": 1}, "count must be at least 2, found 1"),
    ({"closeness": 0.0}, "closeness must be above 0, found 0.0"),
])  # fmt: skip
def test_impossible_plans_are_refused(changes: dict[str, object], message: str) -> None:
    values = {"grid": GRID, "closeness": 0.05, "lowest": 0.4, "highest": 4.0, "count": 10, **changes}
    with pytest.raises(ValueError, match=message):
        RootPlan(**values)  # type: ignore[arg-type]
