"""Rolls for a list of lengths beyond the published cutting stock (`shopsim.published.roll_cutting`): first fit against
its published bound, and impossible numbers."""

from __future__ import annotations

import math
import random

import pytest

from shopsim.craft.roll_allocation import allocate_rolls, first_fit_decreasing


@pytest.mark.parametrize("seed", range(20))
def test_first_fit_stays_within_eleven_ninths(seed: int) -> None:
    """Johnson et al. (1974), sharpened by G. Dosa (2007), from memory: at most 11/9 of the best and 6/9 of a roll.

    The plan is never worse than first fit and never better than its bound.
    """
    rng = random.Random(seed)
    lengths = [rng.randint(2, 60) / 2 for _ in range(12)]
    counts = [rng.randint(0, 9) for _ in lengths]
    plan, plain = allocate_rolls(lengths, counts, 60.0), first_fit_decreasing(lengths, counts, 60.0)
    assert math.ceil(plan.bound - 1e-6) <= plan.rolls <= len(plain) <= 11 / 9 * plan.rolls + 6 / 9
    assert sum(length * n for length, n in zip(lengths, counts, strict=True)) / 60.0 <= plan.bound + 1e-6


def test_lengths_that_add_up_in_decimals_fill_a_roll() -> None:
    assert allocate_rolls([0.1], [30], 0.3).rolls == 10
    assert allocate_rolls([10.0], [0], 60.0) == allocate_rolls([], [], 60.0)


@pytest.mark.parametrize(
    ("lengths", "counts", "message"),
    [
        ([70.0], [1], "lengths_m must be at most the roll's 60 m, found 70.0"),
        ([0.0], [1], "lengths_m must be above 0, found 0.0"),
        ([1.0], [-1], "counts must be a whole number of at least 0, found -1"),
    ],
)
def test_impossible_numbers_are_refused(lengths: list[float], counts: list[int], message: str) -> None:
    for cut in (allocate_rolls, first_fit_decreasing):
        with pytest.raises(ValueError) as caught:
            cut(lengths, counts, 60.0)
        assert str(caught.value) == message
