"""Ranks that are the innermost allowed, samples too small; what is refused."""

from __future__ import annotations

import math

import pytest

from shopsim.studies.quantiles import QuantileInterval, quantile_interval, quantile_ranks, rank_coverage, wilks_size


def test_too_few_values_for_a_quantile_interval() -> None:
    assert quantile_interval([2.0, math.nan, 1.0], 0.5) == QuantileInterval(1.0, None, None, None, None, None, 2, 1)
    assert math.isnan(quantile_interval([], 0.5).estimate)
    assert quantile_ranks(5, 0.5) is None
    assert quantile_ranks(6, 0.5) == (1, 6)
    # Far out a side alone may be out of reach: 0.95^72 = 0.0249 and 0.95^71 = 0.0262.
    assert quantile_ranks(71, 0.95) is None and quantile_ranks(71, 0.05) is None
    assert quantile_ranks(72, 0.95) is not None and quantile_ranks(72, 0.05) is not None


@pytest.mark.parametrize("n", [24, 45, 100, 333])
@pytest.mark.parametrize("share", [0.1, 0.25, 0.5, 0.9])
def test_ranks_cover_as_asked_and_are_the_innermost(n: int, share: float) -> None:
    ranks = quantile_ranks(n, share, 80)
    assert ranks is not None
    low, high = ranks
    assert rank_coverage(n, share, low, high) >= 0.8
    # One rank further in on either side and that side alone would miss in more than 10 %.
    assert rank_coverage(n, share, low, high) < rank_coverage(n, share, 1, n)
    assert 1 - rank_coverage(n, share, 1, high - 1) - (1 - share) ** n > 0.1
    assert 1 - rank_coverage(n, share, low + 1, n) - share**n > 0.1


def test_refusals() -> None:
    for call, text in [
        (lambda: quantile_interval([1.0], 1.0), "share must be between 0 and 1, found 1.0"),
        (lambda: quantile_ranks(10, 0.5, 100), "confidence_pct must be between 0 and 100, found 100"),
        (lambda: rank_coverage(10, 0.5, 3, 11), "ranks must rise within 1 to 10, found 3 and 11"),
        (lambda: wilks_size(0.95, 0), "confidence_pct must be between 0 and 100, found 0"),
    ]:
        with pytest.raises(ValueError) as error:
            call()
        assert str(error.value) == text
