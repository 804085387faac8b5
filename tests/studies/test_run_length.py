"""Stopping when sure enough: at once, at the budget, past gaps; the length of one long run by hand."""

from __future__ import annotations

import math

import pytest

from shopsim.studies.batch_means import batch_interval
from shopsim.studies.run_length import asymptotic_variance, replicate_until, run_length_for


def test_it_stops_at_once_or_at_the_budget() -> None:
    steady = replicate_until(lambda k: 2.0 + 0.001 * k, 1.0)
    assert (len(steady.values), steady.reached) == (10, True)
    wild = replicate_until(lambda k: 100.0 * (k % 2), 1.0, at_most=25)
    assert (len(wild.values), wild.reached, wild.interval.n) == (25, False, 25)


def test_gaps_count_as_run_but_not_as_known() -> None:
    found = replicate_until(lambda k: math.nan if k % 2 else 1.0 + 0.001 * k, 1.0)
    assert (len(found.values), found.interval.n, found.interval.left_out) == (19, 10, 9)
    never = replicate_until(lambda k: math.nan, 1.0, at_most=15)
    assert (never.reached, never.interval.n, len(never.values)) == (False, 0, 15)


def test_asymptotic_variance_and_run_length_by_hand() -> None:
    # Batch means 0.5, 2.5, ... 14.5: variance 4 * 6 = 24, times two values a batch.
    run = batch_interval([float(i) for i in range(16)], 8)
    assert asymptotic_variance(run) == pytest.approx(48)
    assert run_length_for(48, 2.0) == pytest.approx(48 * 1.959963984540054**2 / 4)


def test_refusals() -> None:
    for call, text in [
        (lambda: replicate_until(lambda k: 1.0, 0.0), "half_width must be above 0, found 0.0"),
        (lambda: replicate_until(lambda k: 1.0, 1.0, at_least=1), "at_least must be at least 2, found 1"),
        (lambda: replicate_until(lambda k: 1.0, 1.0, at_most=5), "at_most must be at least 10, found 5"),
        (lambda: run_length_for(0.0, 1.0), "variance must be above 0, found 0.0"),
    ]:
        with pytest.raises(ValueError) as error:
            call()
        assert str(error.value) == text
