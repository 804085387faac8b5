"""Learning beyond the published tables (`shopsim.published.work_study`). Tolerance 1e-9, for rounding."""

from __future__ import annotations

import pytest

from shopsim.craft.sewers import average_learning_factor, learning_factor


@pytest.mark.parametrize("rate", [0.7, 0.8, 0.88, 0.95])
def test_each_doubling_takes_the_same_share(rate: float) -> None:
    """The definition of the curve (Wright 1936): the factor at 2n over that at n is the rate, for every n."""
    for n in (1, 3, 8, 50, 400):
        assert learning_factor(2 * n, rate) / learning_factor(n, rate) == pytest.approx(rate, abs=1e-9)
        averages = [average_learning_factor(k, rate, "cumulative") for k in (n, 2 * n)]
        assert averages[1] / averages[0] == pytest.approx(rate, abs=1e-9)
