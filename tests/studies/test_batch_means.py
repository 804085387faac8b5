"""Batch means and summaries by hand; what they refuse."""

from __future__ import annotations

import math

import pytest

from shopsim.studies.batch_means import Summary, batch_interval, means_of_batches, summary, von_neumann_ratio


def test_summary_by_hand() -> None:
    # Mean 3; deviations -2, -1, 3; squares 14; products of neighbours 2 - 3 = -1.
    assert summary([1.0, 2.0, 6.0]) == Summary(3, 3.0, math.sqrt(7), -1 / 14)


def test_values_that_do_not_vary() -> None:
    assert summary([4.0, 4.0]) == Summary(2, 4.0, 0.0, None)
    found = batch_interval([4.0] * 16, 8)
    assert (found.lag_1, found.von_neumann, found.chance) == (None, None, None)
    assert (found.interval.low, found.interval.high) == (4.0, 4.0)


def test_von_neumann_ratio_by_hand() -> None:
    # Steps 1 and 4: 17 over 14.
    assert von_neumann_ratio([1.0, 2.0, 6.0]) == pytest.approx(17 / 14)


def test_batches_leave_the_first_values_out_means_the_last() -> None:
    assert means_of_batches([1.0, 3.0, 5.0, 7.0, 100.0], 2) == [2.0, 6.0]
    found = batch_interval([100.0, *map(float, range(16))], 8)
    assert found.means == tuple(2 * i + 0.5 for i in range(8))
    assert (found.batch_size, found.interval.n) == (2, 8)


def test_rising_batches_do_not_look_independent() -> None:
    found = batch_interval([float(i) for i in range(100)], 10)
    assert found.chance is not None and found.chance < 0.001
    # Alternating ones have a high ratio, and a chance near 1 of one as low.
    found = batch_interval([float(i % 2) for i in range(10)], 10)
    assert found.chance is not None and found.chance > 0.99


def test_refusals() -> None:
    for call, text in [
        (lambda: summary([1.0]), "values must hold at least 2 numbers, found 1"),
        (lambda: summary([1.0, math.nan]), "values must all be finite, found nan"),
        (lambda: batch_interval([1.0] * 20, 7), "batches must be at least 8, found 7"),
        (lambda: batch_interval([1.0] * 9, 10), "values must hold at least 10 numbers, found 9"),
        (lambda: means_of_batches([1.0], 0), "size must be at least 1, found 0"),
        (lambda: means_of_batches([1.0], 2), "values must hold at least 2 numbers, found 1"),
    ]:
        with pytest.raises(ValueError) as error:
            call()
        assert str(error.value) == text
