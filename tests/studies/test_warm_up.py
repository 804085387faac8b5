"""Warm-up rules on series whose answer is plain to see; what they refuse."""

from __future__ import annotations

import math

import pytest

from shopsim.studies.warm_up import Truncation, mean_over_replications, mser, welch_curve


def test_mser_of_a_flat_and_of_a_settled_series() -> None:
    assert mser([3.0] * 20) == Truncation(0, (0.0, 0.0, 0.0), True)
    found = mser([9.0] * 5 + [1.0, 2.0] * 20, batch=1)
    assert (found.leave_out, found.long_enough) == (5, True)


def test_welch_window_of_none_is_the_mean_over_replications() -> None:
    rows = [[1.0, 2.0, 3.0, 4.0], [3.0, 4.0, 5.0, 6.0]]
    assert welch_curve(rows, 0) == mean_over_replications(rows) == [2.0, 3.0, 4.0, 5.0]
    assert welch_curve(rows, 1) == [2.0, 3.0, 4.0]


def test_refusals() -> None:
    for call, text in [
        (lambda: mser([1.0] * 19), "values must hold at least 20 numbers, found 19"),
        (lambda: mser([1.0] * 19, 0), "batch must be at least 1, found 0"),
        (lambda: welch_curve([], 0), "replications must be at least 1, found 0"),
        (lambda: welch_curve([[1.0], [1.0, 2.0]], 0), "rows must be equally long, found 1, 2"),
        (lambda: welch_curve([[1.0, 2.0, 3.0, 4.0]], 2), "window must be from 0 to 1, a quarter of the row, found 2"),
        (lambda: mean_over_replications([[1.0, math.nan]]), "rows must all be finite, found nan"),
    ]:
        with pytest.raises(ValueError) as error:
            call()
        assert str(error.value) == text
