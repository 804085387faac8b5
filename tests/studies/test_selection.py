"""Choosing and deciding: directions, exact ties, budgets that run out; what is refused."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from shopsim.streams import stream
from shopsim.studies.allocation import budget_shares
from shopsim.studies.feasibility import Verdict, meets_target
from shopsim.studies.selection import (
    Observe,
    Selection,
    kn_constants,
    second_stage_sizes,
    select_best,
    select_best_in_two_stages,
)

Choose = Callable[..., Selection]


def noisy(*means: float) -> Observe:
    draws = stream(31, 0, "noisy").standard_normal((len(means), 5000))
    return lambda option, replication: means[option] + float(draws[option, replication])


@pytest.mark.parametrize("choose", [select_best, select_best_in_two_stages])
def test_small_or_large_is_best(choose: Choose) -> None:
    assert choose(noisy(1, 5, 3), 3, 1.0).best == 1
    found = choose(noisy(1, 5, 3), 3, 1.0, largest_is_best=False)
    assert (found.best, found.still_in) == (0, (0,))


def test_observations_are_asked_for_once_each_and_not_from_the_dropped() -> None:
    asked: list[tuple[int, int]] = []

    def observe(option: int, replication: int) -> float:
        asked.append((option, replication))
        return noisy(1, 5, 4.8)(option, replication)

    found = select_best(observe, 3, 0.3)
    assert len(asked) == len(set(asked)) == sum(found.replications)
    assert [sum(option == i for option, _ in asked) for i in range(3)] == list(found.replications)


def test_options_exactly_alike_end_with_the_first() -> None:
    # A third sewer who is never needed gives the same numbers under common random numbers.
    found = select_best(lambda option, replication: 4.0 if option else 1.0, 3, 0.5)
    assert found == Selection(1, (10, 10, 10), (1,))


def test_a_budget_that_does_not_suffice() -> None:
    found = select_best(noisy(5.0, 5.01, -50.0), 3, 0.1, at_most=30)
    assert found == Selection(None, (30, 30, 10), (0, 1))


def test_rinott_counts_what_it_took() -> None:
    asked: list[tuple[int, int]] = []

    def observe(option: int, replication: int) -> float:
        asked.append((option, replication))
        return noisy(1, 1.2)(option, replication)

    found = select_best_in_two_stages(observe, 2, 0.3)
    assert len(asked) == len(set(asked)) == sum(found.replications)
    assert min(found.replications) > 20


def test_second_stage_never_takes_fewer_than_the_first() -> None:
    # (2 * 3 / 1)^2 = 36.
    assert second_stage_sizes([3.0, 0.1], 20, 1.0, 2.0) == (36, 20)


def test_clear_targets_take_the_first_look_only() -> None:
    one = noisy(10.0)
    assert meets_target(lambda k: one(0, k), 7.0, 0.5).meets is True
    verdict = meets_target(lambda k: one(0, k), 13.0, 0.5)
    assert (verdict.meets, verdict.replications) == (False, 10)
    assert verdict.mean == pytest.approx(sum(one(0, k) for k in range(10)) / 10)


def test_a_target_met_exactly_without_spread_is_met() -> None:
    assert meets_target(lambda k: 5.0, 5.0, 0.1) == Verdict(True, 10, 5.0)


def test_more_options_take_more_replications_and_a_budget_may_run_out() -> None:
    one = noisy(10.0)
    alone = meets_target(lambda k: one(0, k), 9.9, 0.2)
    among_many = meets_target(lambda k: one(0, k), 9.9, 0.2, options=20)
    assert alone.replications < among_many.replications
    short = meets_target(lambda k: one(0, k), 9.9, 0.2, at_most=12)
    assert (short.meets, short.replications) == (None, 12)
    assert short.mean == pytest.approx(sum(one(0, k) for k in range(12)) / 12)


def test_two_options_share_by_their_spread() -> None:
    # Theorem 1 for two: N1 / N2 = sigma1 / sigma2.
    assert budget_shares([5.0, 4.0], [3.0, 1.0]) == pytest.approx((0.75, 0.25))


def test_refusals() -> None:
    never: Observe = lambda option, replication: math.nan  # noqa: E731
    for call, text in [
        (lambda: kn_constants(1, 10), "options must be at least 2, found 1"),
        (lambda: kn_constants(2, 1), "first must be at least 2, found 1"),
        (lambda: kn_constants(2, 10, 50), "confidence_pct must be above 50, found 50"),
        (lambda: select_best(never, 2, 0.0), "indifference must be above 0, found 0.0"),
        (lambda: select_best(never, 2, 1.0, at_most=9), "at_most must be at least 10, found 9"),
        (lambda: select_best(never, 2, 1.0), "every replication must give a finite number, found nan"),
        (lambda: select_best_in_two_stages(never, 2, 1.0), "every replication must give a finite number, found nan"),
        (lambda: second_stage_sizes([1.0], 20, 1.0, 0.0), "constant must be above 0, found 0.0"),
        (lambda: meets_target(lambda k: 1.0, 1.0, 0.0), "tolerance must be above 0, found 0.0"),
        (lambda: meets_target(lambda k: 1.0, 1.0, 0.1, options=0), "options must be at least 1, found 0"),
        (
            lambda: meets_target(lambda k: 1.0, 1.0, 0.1, 40),
            "confidence_pct must be above 50 for one option, found 40",
        ),
        (
            lambda: meets_target(lambda k: math.inf, 1.0, 0.1),
            "every replication must give a finite number, found inf",
        ),
        (lambda: budget_shares([1.0], [1.0]), "means must hold at least 2 numbers, found 1"),
        (lambda: budget_shares([1.0, 2.0], [1.0]), "2 means need as many deviations, found 1"),
        (lambda: budget_shares([2.0, 2.0], [1.0, 1.0]), "two options share the best mean, 2.0"),
        (
            lambda: budget_shares([1.0, 2.0], [0.0, 1.0]),
            "deviations must not be negative, nor all 0 but the best's, found (0.0, 1.0)",
        ),
    ]:
        with pytest.raises(ValueError) as error:
            call()
        assert str(error.value) == text
